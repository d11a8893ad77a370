//! Amounts in the reader's units: they are kept metric, and a reader of US units is shown °F, inches and ppm.

use propagule_bench::locale::Units;

use super::reader::reads;

/// A temperature with its unit, rounded to a whole degree.
pub fn degrees(celsius: f64) -> String {
    match reads().units {
        Units::Metric => format!("{celsius:.0} °C"),
        Units::Us => format!("{:.0} °F", fahrenheit(celsius)),
    }
}

/// The same to a tenth of a degree.
pub fn tenths(celsius: f64) -> String {
    match reads().units {
        Units::Metric => format!("{celsius:.1} °C"),
        Units::Us => format!("{:.1} °F", fahrenheit(celsius)),
    }
}

/// Rain with its unit.
pub fn rain(mm: f64) -> String {
    match reads().units {
        Units::Metric => format!("{mm:.0} mm"),
        Units::Us => format!("{:.0} in", mm / 25.4),
    }
}

/// A short length with its unit.
pub fn length(mm: impl Into<f64>) -> String {
    let mm = mm.into();
    match reads().units {
        Units::Metric => format!("{mm:.0} mm"),
        Units::Us => format!("{:.1} in", mm / 25.4),
    }
}

/// Words of a detail or of a log with the amounts in them as the reader has them.
pub fn said(words: &str) -> String {
    said_in(words, reads().units)
}

fn said_in(words: &str, units: Units) -> String {
    if units == Units::Metric {
        return words.to_owned();
    }
    // A solution of 1 mg/L is 1 ppm, and so is a powder of 1 mg/kg.
    in_fahrenheit(&words.replace("mg/L", "ppm").replace("mg/kg", "ppm"))
}

/// Each number before °C, and the one that begins its range, as °F.
fn in_fahrenheit(words: &str) -> String {
    let mut out = String::new();
    let mut rest = words;
    while let Some((before, behind)) = rest.split_once("°C") {
        let (kept, number) = last_number(before.trim_end());
        let range = kept.strip_suffix(" to ").or_else(|| kept.strip_suffix('–'));
        let said = match (range.map(last_number), number) {
            (Some((kept_of_range, Some(low))), Some(high)) => {
                let between = if kept.ends_with('–') { "–" } else { " to " };
                let (low, high) = (fahrenheit(low), fahrenheit(high));
                format!("{kept_of_range}{low:.0}{between}{high:.0} °F")
            }
            (_, Some(number)) => format!("{kept}{:.0} °F", fahrenheit(number)),
            (_, None) => format!("{before}°C"),
        };
        out.push_str(&said);
        rest = behind;
    }
    out + rest
}

/// What stands before the number at the end of a text, and the number.
fn last_number(text: &str) -> (&str, Option<f64>) {
    let digits = text.trim_end_matches(|c: char| c.is_ascii_digit() || c == '.');
    let start =
        digits.strip_suffix(['-', '−']).filter(|before| !before.ends_with(|c: char| c.is_alphanumeric()));
    let kept = start.unwrap_or(digits);
    let number = text[kept.len()..].replace('−', "-").parse().ok();
    if number.is_some() { (kept, number) } else { (text, None) }
}

fn fahrenheit(celsius: f64) -> f64 {
    celsius * 1.8 + 32.0
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Fixed points of the scales: water freezes at 32 °F and boils at 212 °F, and −40 is the same in both.
    #[test]
    fn temperatures_and_strengths_are_shown_in_us_units() {
        let us = |words| said_in(words, Units::Us);
        assert_eq!(us("0 °C, then 100 °C"), "32 °F, then 212 °F");
        assert_eq!(us("bottom heat set to -40 °C"), "bottom heat set to -40 °F");
        assert_eq!(us("20 to 22 °C"), "68 to 72 °F");
        assert_eq!(us("20–22 °C in the medium"), "68–72 °F in the medium");
        assert_eq!(
            us("IBA quick dip 3000 mg/L + NAA powder 500 mg/kg"),
            "IBA quick dip 3000 ppm + NAA powder 500 ppm"
        );
        assert_eq!(us("softwood"), "softwood");
        assert_eq!(us("warm (°C not known)"), "warm (°C not known)");
        assert_eq!(said_in("20 to 22 °C", Units::Metric), "20 to 22 °C");
    }
}
