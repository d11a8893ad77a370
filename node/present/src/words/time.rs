//! How long something takes, and how long ago it was.

use std::time::Duration;

use jiff::Timestamp;

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

/// `3 minutes ago`; what is no time of ours is shown as it stands.
pub fn ago(text: &str, now: Timestamp) -> String {
    let Ok(then) = text.parse::<Timestamp>() else { return text.to_owned() };
    let minutes = usize::try_from((now.as_second() - then.as_second()) / 60).unwrap_or(0);
    match minutes {
        0 => "just now".to_owned(),
        1..60 => format!("{} ago", counted(minutes, "minute", "minutes")),
        60..2_880 => format!("{} ago", counted(minutes / 60, "hour", "hours")),
        _ => format!("{} ago", counted(minutes / 1_440, "day", "days")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_gone_by_are_told_in_words() {
        let now = "2026-11-26T10:00:00Z".parse().expect("a time");
        assert_eq!(ago("2026-11-26T09:59:30Z", now), "just now");
        assert_eq!(ago("2026-11-26T09:59:00Z", now), "1 minute ago");
        assert_eq!(ago("2026-11-26T07:10:00Z", now), "2 hours ago");
        assert_eq!(ago("2026-11-20T10:00:00Z", now), "6 days ago");
        assert_eq!(ago("2026-11-27T10:00:00Z", now), "just now");
        assert_eq!(ago("<yesterday>", now), "<yesterday>");
    }

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
