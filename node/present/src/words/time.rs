//! How long something takes.

use std::time::Duration;

use super::counted;

/// `48 hours`, `10 minutes`, `1 second`: the largest unit in which it is at least two, rounded up.
pub fn how_long(time: Duration) -> String {
    let seconds = time.as_millis().div_ceil(1_000) as usize;
    match seconds {
        0..120 => counted(seconds, "second", "seconds"),
        120..7_200 => counted(seconds.div_ceil(60), "minute", "minutes"),
        _ => counted(seconds.div_ceil(3_600), "hour", "hours"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_fit_and_nothing_is_rounded_down() {
        let words = [0, 100, 1_000, 1_001, 119_000, 119_500, 7_199_000, 172_800_000]
            .map(|milliseconds| how_long(Duration::from_millis(milliseconds)));
        assert_eq!(
            words,
            [
                "0 seconds",
                "1 second",
                "1 second",
                "2 seconds",
                "119 seconds",
                "2 minutes",
                "120 minutes",
                "48 hours"
            ]
        );
    }
}
