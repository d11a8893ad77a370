//! Why counts and entries cannot be, in words, which stand in `present`.

pub use propagule_present::contradiction::*;
