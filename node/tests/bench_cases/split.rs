//! Pots that a case only gives the sum of: how the pieces may have stood in them.

/// Succeeded in each pot of two arms, so that pots differ by `phi_hat`: Pearson's X² within arms over its degrees of freedom.
/// Each arm has `pots` of them with `pieces` in each; `is_fit` is asked of the two lists as well.
pub(crate) fn split(
    sums: [u64; 2],
    pots: [usize; 2],
    pieces: u64,
    phi_hat: impl Fn(f64) -> bool,
    is_fit: impl Fn(&[u64], &[u64]) -> bool,
) -> Option<[Vec<u64>; 2]> {
    let df = (pots[0] + pots[1]).checked_sub(2).filter(|df| *df > 0)? as f64;
    let ways = |side: usize| {
        let mut out = Vec::new();
        parted(sums[side], pots[side], pieces, &mut Vec::new(), &mut out);
        out.into_iter().map(|way| (pearson(&way, pieces), way)).collect::<Vec<_>>()
    };
    let (first, second) = (ways(0), ways(1));
    for (x, one) in &first {
        let other = second.iter().find(|(y, other)| phi_hat((x + y) / df) && is_fit(one, other));
        if let Some((_, other)) = other {
            return Some([one.clone(), other.clone()]);
        }
    }
    None
}

/// All ways to part a sum, the largest pot first.
fn parted(sum: u64, pots: usize, most: u64, so_far: &mut Vec<u64>, out: &mut Vec<Vec<u64>>) {
    if pots == 0 {
        out.extend((sum == 0).then(|| so_far.clone()));
        return;
    }
    for here in (sum.div_ceil(pots as u64)..=most.min(sum)).rev() {
        so_far.push(here);
        parted(sum - here, pots - 1, here, so_far, out);
        so_far.pop();
    }
}

/// X² of pots of one size; none or all of them add nothing.
pub(crate) fn pearson(pots: &[u64], pieces: u64) -> f64 {
    let (sum, all) = (pots.iter().sum::<u64>(), pieces * pots.len() as u64);
    if sum == 0 || sum == all {
        return 0.0;
    }
    let rate = sum as f64 / all as f64;
    let expected = pieces as f64 * rate;
    pots.iter().map(|n| (*n as f64 - expected).powi(2) / (expected * (1.0 - rate))).sum()
}

#[test]
fn pots_that_differ_as_much_are_found_and_none_where_there_are_none() {
    let near = |wanted: f64| move |found: f64| (found - wanted).abs() < 1e-5;
    let found = split([21, 8], [3, 3], 10, near(0.323_323), |_, _| true);
    assert_eq!(found, Some([vec![8, 7, 6], vec![3, 3, 2]]));
    assert_eq!(split([21, 8], [3, 3], 10, near(0.4), |_, _| true), None);
    assert_eq!(split([1, 1], [1, 1], 10, |_| true, |_, _| true), None, "one pot each tells no spread");
}
