//! Maximum likelihood in models with binomial or hypergeometric counts.

use propagule_analysis::Count;
use propagule_analysis::contrast::Pair;

use super::Got;
use crate::reference_runner::case::Check;

pub(crate) fn proportion(_counts: &[Count], _check: &Check) -> Result<Option<Got>, String> {
    Ok(None)
}

pub(crate) fn pairwise(_pairs: &[Pair], _check: &Check) -> Result<Option<Got>, String> {
    Ok(None)
}
