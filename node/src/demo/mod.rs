//! The demonstration: invented growers in invented regions, and what they would have published.

pub mod scenario;
