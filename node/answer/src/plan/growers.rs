//! More growers or more pieces: Var(mean log odds) = (s² + 1/(n p q)) / k for k growers with n pieces each.

use super::method::Planned;
use super::{GrowersOrPieces, leading};
use crate::question::{Asked, PlanQuestion};

/// Numbers of growers that are compared.
pub const GROWERS_TRIED: [u32; 4] = [1, 2, 4, 8];
/// Pieces in all unless told otherwise.
const PIECES: u32 = 48;

/// The leading method's pieces at one grower, or spread over several; empty where nothing succeeded.
pub(super) fn growers_or_pieces(
    planned: &[Planned],
    asked: &Asked<'_, PlanQuestion>,
) -> Vec<GrowersOrPieces> {
    let leading = leading(planned, 1);
    let Some(method) = leading.first() else { return Vec::new() };
    let pieces = asked.question.aim.pieces.unwrap_or(PIECES);
    let fit = &method.plan.fit;
    GROWERS_TRIED
        .into_iter()
        .filter(|growers| pieces >= *growers)
        .map(|growers| GrowersOrPieces {
            method: method.plan.method.clone(),
            growers,
            pieces_each: pieces / growers,
            typical_rate_range: range(fit.mu_mean, fit.tau_mean, growers, pieces / growers),
        })
        .collect()
}

/// 95 % range of a typical grower's rate from that many growers and pieces alone.
fn range(mu: f64, spread: f64, growers: u32, pieces_each: u32) -> [f64; 2] {
    let rate = logistic(mu);
    let sampling = 1.0 / (f64::from(pieces_each) * rate * (1.0 - rate));
    let sd = ((spread * spread + sampling) / f64::from(growers)).sqrt();
    [logistic(mu - 1.96 * sd), logistic(mu + 1.96 * sd)]
}

fn logistic(x: f64) -> f64 {
    1.0 / (1.0 + (-x).exp())
}
