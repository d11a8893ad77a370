//! Where more is held than an answer can wait for: how much each part may give.

/// The largest number up to `most` that fits; at least 1. What fits a number fits every smaller one.
pub(crate) fn share(most: usize, fits: impl Fn(usize) -> bool) -> usize {
    let (mut low, mut high) = (1, most.max(1));
    while low < high {
        let middle = low + (high - low).div_ceil(2);
        if fits(middle) { low = middle } else { high = middle - 1 }
    }
    low
}

#[cfg(test)]
mod tests {
    use super::share;

    #[test]
    fn the_largest_that_fits_is_found() {
        for most in 0..20 {
            for limit in 0..25 {
                let found = share(most, |each| each <= limit);
                assert_eq!(
                    found,
                    (1..=most).rev().find(|each| *each <= limit).unwrap_or(1),
                    "{most} {limit}"
                );
            }
        }
    }
}
