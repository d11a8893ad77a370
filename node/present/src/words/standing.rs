//! Sentences on who stands behind a figure: growers that the reader backs, that this home has known for a month, and strangers.

use super::counted;

/// Records of a file that are not taken in today.
pub fn over_the_day(records: u64) -> String {
    format!(
        "{} over what is taken in of one grower in a day; the same command takes in more tomorrow, or at once for a grower \
         you trust: propagule circle trust KEY",
        counted(records, "record is", "records are"),
    )
}
