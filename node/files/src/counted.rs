//! A count with its noun.

use std::fmt::Display;

/// `1 trial`, `12 trials`; `one` and `many` are the words.
pub fn counted<N: Copy + Display + TryInto<u64>>(count: N, one: &str, many: &str) -> String {
    let is_one = count.try_into().is_ok_and(|count| count == 1);
    format!("{count} {}", if is_one { one } else { many })
}

#[cfg(test)]
mod tests {
    use super::counted;

    #[test]
    fn only_one_is_one() {
        let said = [0, 1, 2].map(|count: usize| counted(count, "entry", "entries"));
        assert_eq!(said, ["0 entries", "1 entry", "2 entries"]);
        assert_eq!(counted(1_u16, "piece", "pieces"), "1 piece");
        assert_eq!(counted(1_i32, "week", "weeks"), "1 week");
        assert_eq!(counted(-1_i32, "week", "weeks"), "-1 weeks");
        assert_eq!(counted(u64::MAX, "record", "records"), "18446744073709551615 records");
    }
}
