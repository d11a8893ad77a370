//! Numbers as growers type them.

/// Splits a leading decimal number from what follows: `0.3 %` is 0.3 and `%`.
///
/// A comma groups thousands when exactly three digits follow it each time, else it is the decimal sign.
pub(super) fn leading_number(text: &str) -> Option<(f64, &str)> {
    let text = text.trim_start();
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+')))
        .unwrap_or(text.len());
    let number = number(&text[..end])?;
    Some((number, text[end..].trim()))
}

/// A whole decimal number.
pub(super) fn number(text: &str) -> Option<f64> {
    let plain = if groups_thousands(text) { text.replace(',', "") } else { text.replace(',', ".") };
    plain.parse::<f64>().ok().filter(|n| n.is_finite())
}

fn groups_thousands(text: &str) -> bool {
    let mut parts = text.split(',');
    let first = parts.next().unwrap_or_default().trim_start_matches(['-', '+']);
    let rest: Vec<&str> = parts.map(|part| part.split('.').next().unwrap_or_default()).collect();
    let is_lead = (1..=3).contains(&first.len()) && first != "0";
    is_lead && !rest.is_empty() && rest.iter().all(|part| part.len() == 3)
}

/// The number without needless decimals.
pub(super) fn shown(number: f64) -> String {
    let rounded = (number * 1000.0).round() / 1000.0;
    format!("{rounded}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_with_points_and_commas() {
        assert_eq!(leading_number("0.3 %"), Some((0.3, "%")));
        assert_eq!(leading_number("0,3%"), Some((0.3, "%")));
        assert_eq!(leading_number("3,000 ppm"), Some((3000.0, "ppm")));
        assert_eq!(leading_number("10,000.5"), Some((10_000.5, "")));
        assert_eq!(leading_number("0,125"), Some((0.125, "")));
        assert_eq!(leading_number("ppm"), None);
        assert_eq!(leading_number("1-2"), None);
    }
}
