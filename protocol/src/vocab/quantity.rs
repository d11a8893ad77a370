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

/// What a number may be besides, as a grower who writes thousands with a point or decimals with a comma means it: `3.000` is
/// 3 or 3000, and `3,5` is 3.5 or a slip for 3500. `None` where it can be read in one way: `0.125`, `3,000`, `3.5`.
pub(super) fn two_readings(text: &str) -> Option<[f64; 2]> {
    let is_digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    let (lead, sign, rest) = match (text.split_once('.'), text.split_once(',')) {
        (Some((lead, rest)), None) => (lead, '.', rest),
        (None, Some((lead, rest))) => (lead, ',', rest),
        _ => return None,
    };
    let is_lead = (1..=3).contains(&lead.len()) && !lead.starts_with('0') && is_digits(lead);
    let is_open = match sign {
        '.' => rest.len() == 3,
        _ => (1..=2).contains(&rest.len()),
    };
    let decimal = format!("{lead}.{rest}").parse::<f64>().ok()?;
    (is_lead && is_open && is_digits(rest)).then_some([decimal, (decimal * 1000.0).round()])
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
    fn a_point_before_three_digits_and_a_comma_before_fewer_are_read_in_two_ways() {
        assert_eq!(two_readings("3.000"), Some([3.0, 3000.0]));
        assert_eq!(two_readings("12.500"), Some([12.5, 12_500.0]));
        assert_eq!(two_readings("3,5"), Some([3.5, 3500.0]));
        for plain in ["3000", "3,000", "3.5", "0.125", "0,3", "1.0000", "1.000.000", "1,000.5", "3.00x", ""] {
            assert_eq!(two_readings(plain), None, "{plain}");
        }
    }

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
