//! Shares in a table: taken only where they are a whole number of the pieces put in.

/// The count that is `share` per cent of `started`, to the decimals that were written.
///
/// Of n pieces only the shares 100 k / n exist; a share that is none of them, or that fits two of them, is refused.
///
/// # Errors
/// Why, in words.
pub(super) fn whole(share: &str, started: u32) -> Result<u32, String> {
    let text = share.replace(',', ".");
    let value: f64 = text
        .parse()
        .ok()
        .filter(|v: &f64| (0.0..=100.0).contains(v))
        .ok_or_else(|| format!("{share} % is not a share from 0 to 100 %"))?;
    let decimals = text.split_once('.').map_or(0, |(_, behind)| behind.len());
    let half = 0.5 * 10_f64.powi(-(decimals as i32));
    let fits: Vec<u32> = (0..=started)
        .filter(|k| (100.0 * f64::from(*k) / f64::from(started) - value).abs() <= half + 1e-9)
        .collect();
    match fits[..] {
        [count] => Ok(count),
        [] => Err(format!("{share} % of {started} is not whole")),
        _ => Err(format!("{share} % of {started} can be {} to {}", fits[0], fits[fits.len() - 1])),
    }
}

#[cfg(test)]
mod tests {
    use super::whole;

    #[test]
    fn only_shares_that_exist_are_taken() {
        assert_eq!(whole("70", 20), Ok(14));
        assert_eq!(whole("71", 20), Err("71 % of 20 is not whole".to_owned()));
        // "71.11 %" fits 64 of 90, and not k of 40 (granularity, notes on published percentages).
        assert_eq!(whole("71.11", 90), Ok(64));
        assert!(whole("71.11", 40).is_err());
        assert_eq!(whole("66,7", 30), Ok(20));
        assert_eq!((whole("0", 30), whole("100", 30)), (Ok(0), Ok(30)));
        assert!(whole("50", 1000).expect_err("several").contains("can be"));
        assert!(whole("130", 20).is_err() && whole("many", 20).is_err());
    }
}
