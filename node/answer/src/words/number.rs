//! How numbers are written.

pub use propagule_present::number::{
    about_pieces, end_in_hundred, grouped, in_hundred, percent, percent_range, percent_with_range,
    small_number,
};
