//! How numbers are written: whole per cent, one decimal below 10 %, never 0 % or 100 % for a rate that is not.

/// A rate as per cent without the sign: whole from 10 up, one decimal below, two below 0.1, and the same
/// towards 100 where whole numbers would claim certainty.
pub fn percent(rate: f64) -> String {
    let per_cent = rate * 100.0;
    let to_hundred = 100.0 - per_cent;
    if per_cent <= 0.0 {
        return "0".to_owned();
    }
    if to_hundred <= 0.0 {
        return "100".to_owned();
    }
    if per_cent < 0.005 {
        return "<0.01".to_owned();
    }
    if to_hundred < 0.005 {
        return ">99.99".to_owned();
    }
    format!("{per_cent:.*}", decimals(per_cent, to_hundred))
}

fn decimals(per_cent: f64, to_hundred: f64) -> usize {
    if per_cent < 0.095 || to_hundred < 0.05 { 2 } else { usize::from(per_cent < 9.95 || to_hundred < 0.5) }
}

/// A rate as a sentence says it, with its sign: whole from 2% to 99%, one decimal towards 0 and 100.
pub fn percent_in_sentence(rate: f64) -> String {
    let per_cent = rate * 100.0;
    match per_cent {
        ..=0.0 => "0%".to_owned(),
        100.0.. => "100%".to_owned(),
        ..0.1 => "less than 0.1%".to_owned(),
        ..1.95 => format!("{per_cent:.1}%"),
        99.95.. => "more than 99.9%".to_owned(),
        99.5.. => format!("{per_cent:.1}%"),
        _ => format!("{per_cent:.0}%"),
    }
}

/// An end of a model's interval for a sentence: outwards at the step of [`percent_in_sentence`].
pub fn outward(rate: f64, is_upper: bool) -> f64 {
    let per_cent = rate * 100.0;
    let steps = if (2.0..=99.0).contains(&per_cent) { 1.0 } else { 10.0 };
    // What stands on a step but for the noise of its last digits stays there.
    let scaled = per_cent * steps;
    let rounded = if is_upper { (scaled - 1e-9).ceil() } else { (scaled + 1e-9).floor() };
    let out = (rounded / steps / 100.0).clamp(0.0, 1.0);
    // A rate that is not none or all is never said to be.
    if (out <= 0.0 && rate > 0.0) || (out >= 1.0 && rate < 1.0) { rate } else { out }
}

/// `11–40%`.
pub fn percent_range(low: f64, high: f64) -> String {
    format!("{}–{}%", percent(low), percent(high))
}

/// `23% (11–40%)`, from the middle and the 2.5, 50 and 97.5% points.
pub fn percent_with_range(rate: f64, points: [f64; 3]) -> String {
    format!("{}% ({})", percent(rate), percent_range(points[0], points[2]))
}

/// Pieces in a hundred, whole: `fewer than 1`, `4`, `more than 99`.
pub fn in_hundred(rate: f64) -> String {
    let hundredths = rate * 100.0;
    if hundredths < 0.5 {
        "fewer than 1".to_owned()
    } else if hundredths >= 99.5 {
        "more than 99".to_owned()
    } else {
        format!("{hundredths:.0}")
    }
}

/// Digits with commas between thousands.
pub fn grouped(number: u64) -> String {
    let digits = number.to_string();
    if digits.len() < 4 {
        return digits;
    }
    let first = digits.len() % 3;
    let mut groups: Vec<&str> = if first > 0 { vec![&digits[..first]] } else { Vec::new() };
    groups.extend((first..digits.len()).step_by(3).map(|start| &digits[start..start + 3]));
    groups.join(",")
}

/// A number of pieces as a plan says it: exact below 20, then to 5, from 200 up to 10, always upwards.
pub fn about_pieces(number: u32) -> u32 {
    let step = match number {
        0..20 => 1,
        20..200 => 5,
        _ => 10,
    };
    number.div_ceil(step) * step
}
