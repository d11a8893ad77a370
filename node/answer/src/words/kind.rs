//! Words by the kind of propagation, which stand in `present`.

pub use propagule_present::kind::*;
