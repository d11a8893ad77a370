//! Shares in a table: taken only where they are a whole number of the pieces put in.

use propagule_files::fault::Fault;

/// The count that is `share` per cent of `started`, to the decimals that were written.
///
/// Of n pieces only the shares 100 k / n exist; a share that is none of them, or that fits two of them, is refused.
///
/// # Errors
/// Why, with the nearest shares that exist.
pub(super) fn whole(share: &str, started: u32) -> Result<u32, Fault> {
    let text = share.replace(',', ".");
    let value: f64 = text
        .parse()
        .ok()
        .filter(|v: &f64| (0.0..=100.0).contains(v))
        .ok_or_else(|| Fault::user("share-out-of-range").with("share", share))?;
    let decimals = text.split_once('.').map_or(0, |(_, behind)| behind.len().min(9));
    let half = 0.5 * 10_f64.powi(-(decimals as i32));
    let of = |k: u32| 100.0 * f64::from(k) / f64::from(started);
    let near = (value * f64::from(started) / 100.0).floor() as u32;
    let reach = (half * f64::from(started) / 100.0).ceil() as u32 + 1;
    let fits: Vec<u32> = (near.saturating_sub(reach)..=(near + reach).min(started))
        .filter(|k| (of(*k) - value).abs() <= half + 1e-9)
        .collect();
    match fits[..] {
        [count] => Ok(count),
        [] => {
            let next = near.saturating_add(1).min(started);
            Err(Fault::user("share-of-no-whole-number")
                .with("share", share)
                .with("started", started)
                .with("below", near)
                .with("share_below", format_args!("{:.decimals$}", of(near)))
                .with("above", next)
                .with("share_above", format_args!("{:.decimals$}", of(next))))
        }
        _ => Err(Fault::user("share-of-several-numbers")
            .with("share", share)
            .with("started", started)
            .with("fit", fits.len())
            .with_data("numbers", &fits)),
    }
}

/// A fraction such as 0.4 as a share; `None` where it is none.
pub(super) fn of_fraction(text: &str) -> Option<String> {
    let text = text.replace(',', ".");
    let behind = text.strip_prefix("0.").or_else(|| text.strip_prefix('.'))?;
    if behind.is_empty() || behind.len() > 12 || !behind.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let digits = format!("{behind:0<2}");
    let (whole, rest) = digits.split_at(2);
    let whole = whole.trim_start_matches('0');
    let whole = if whole.is_empty() { "0" } else { whole };
    Some(if rest.is_empty() { whole.to_owned() } else { format!("{whole}.{rest}") })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_shares_that_exist_are_taken() {
        assert_eq!(whole("70", 20), Ok(14));
        let why = |share, started| whole(share, started).expect_err("none");
        let said = |fault: &Fault, names: [&str; 4]| names.map(|name| fault.params[name].clone());
        let none = why("71", 20);
        assert_eq!(none.code, "share-of-no-whole-number");
        assert_eq!(said(&none, ["below", "share_below", "above", "share_above"]), ["14", "70", "15", "75"]);
        // "71.11 %" fits 64 of 90, and not k of 40 (granularity, notes on published percentages).
        assert_eq!(whole("71.11", 90), Ok(64));
        assert!(whole("71.11", 40).is_err());
        assert_eq!(whole("66,7", 30), Ok(20));
        assert_eq!((whole("0", 30), whole("100", 30)), (Ok(0), Ok(30)));
        assert!(whole("130", 20).is_err() && whole("many", 20).is_err());
        assert_eq!(whole("40.6", 32), Ok(13));
        let several = why("12", 200);
        assert_eq!(several.code, "share-of-several-numbers");
        assert_eq!(several.params["numbers"], "[23,24,25]");
        assert_eq!(why("50", 10_000).params["fit"], "101");
    }

    /// Every share that exists is found again where its decimals tell it from its neighbours.
    #[test]
    fn every_whole_number_is_found_by_its_share() {
        for started in 1..=400_u32 {
            for count in 0..=started {
                let share = format!("{:.3}", 100.0 * f64::from(count) / f64::from(started));
                assert_eq!(whole(&share, started), Ok(count), "{share} of {started}");
            }
        }
    }

    #[test]
    fn fractions_keep_their_decimals() {
        let read = |text: &str| of_fraction(text);
        assert_eq!(read("0.302").as_deref(), Some("30.2"));
        assert_eq!((read("0.4").as_deref(), read("0,05").as_deref()), (Some("40"), Some("5")));
        assert_eq!((read("0.025").as_deref(), read("4"), read("0")), (Some("2.5"), None, None));
    }
}
