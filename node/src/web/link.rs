//! Addresses of rooms: names that growers chose, made fit for a path or a query.

use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, utf8_percent_encode};

/// What stands for itself in a part of a path.
const PART: &AsciiSet = &NON_ALPHANUMERIC.remove(b'-').remove(b'_').remove(b'.');

/// A name as one part of a path or one value of a query.
pub(super) fn part(name: &str) -> String {
    utf8_percent_encode(name, PART).to_string()
}

/// `/bench/trial/M1`, with what follows.
pub(super) fn trial(code: &str, rest: &str) -> String {
    format!("/bench/trial/{}{rest}", part(code))
}

/// `/bench/spot/NAME`, with what follows.
pub(super) fn spot(name: &str, rest: &str) -> String {
    format!("/bench/spot/{}{rest}", part(name))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_stay_one_part() {
        assert_eq!(trial("a/b?c#d\"<é", "/history"), "/bench/trial/a%2Fb%3Fc%23d%22%3C%C3%A9/history");
    }
}
