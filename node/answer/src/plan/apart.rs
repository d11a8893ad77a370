//! Pieces in each of two arms: what it takes to tell methods, or rates in general, apart.

use propagule_analysis::exact::fisher_power;
pub use propagule_analysis::verdict::MOST_POTS;
use propagule_analysis::verdict::{PRIOR_ICC, pots_needed, power_with_pots};

use super::beside::{Known, side_by_side};
use super::method::Planned;
use super::{TellApart, leading};
use crate::question::{Asked, Layout, PlanQuestion};
use crate::said::{AnswerSaid, ApartFacts, InPots};

/// Level of Fisher's test.
const ALPHA: f64 = 0.05;
/// Most pieces in an arm that are tried.
pub const MOST_IN_ARM: u32 = 200;
/// Pieces of a pot where nothing is said of pots; common practice, no source.
const OF_A_POT: u32 = 4;
/// Most methods whose pairs are shown.
const MOST_METHODS: usize = 3;
/// True rates in general.
const RATES: [(f64, f64); 5] = [(0.05, 0.2), (0.1, 0.3), (0.2, 0.5), (0.2, 0.8), (0.5, 0.75)];

/// Pairs of the leading methods, the better one first, then rates in general.
pub(super) fn tell_apart(planned: &[Planned], asked: &Asked<'_, PlanQuestion>) -> Vec<TellApart> {
    let ranks = asked.question.count.ranks_methods();
    let methods = if ranks { leading(planned, MOST_METHODS) } else { Vec::new() };
    let mut rows = Vec::new();
    for (index, first) in methods.iter().enumerate() {
        rows.extend(methods.iter().skip(index + 1).map(|second| of_methods(first, second, asked)));
    }
    rows.extend(crate::parallel::map(&RATES, |rates| row(*rates, (None, None), asked, |_| None)));
    rows
}

fn of_methods(first: &Planned, second: &Planned, asked: &Asked<'_, PlanQuestion>) -> TellApart {
    let rate = |planned: &Planned| planned.plan.fit.average_grower_rate_mean;
    let label = |planned: &Planned| Some(planned.plan.method.clone());
    let trial = side_by_side([&Known::of(first, asked), &Known::of(second, asked)], asked);
    row((rate(first), rate(second)), (label(first), label(second)), asked, |per_arm| {
        Some(trial.assurance(per_arm, ALPHA))
    })
}

fn row(
    (rate_a, rate_b): (f64, f64),
    (first, second): (Option<String>, Option<String>),
    asked: &Asked<'_, PlanQuestion>,
    assurance: impl Fn(u32) -> Option<f64>,
) -> TellApart {
    let needed_per_arm = needed(rate_a, rate_b, asked.question.aim.sure.get());
    let per_arm =
        asked.question.aim.pieces.map_or(needed_per_arm.unwrap_or(MOST_IN_ARM), |pieces| (pieces / 2).max(1));
    let power = fisher_power(per_arm, per_arm, rate_a, rate_b, ALPHA);
    let in_pots = in_pots((rate_a, rate_b), per_arm, asked);
    let assurance = assurance(per_arm);
    let facts = ApartFacts {
        first: first.clone(),
        second: second.clone(),
        rates: (rate_a, rate_b),
        sure: asked.question.aim.sure.get(),
        per_arm,
        needed: needed_per_arm,
        power,
        in_pots,
        assurance,
    };
    let sentence = AnswerSaid::Apart(Box::new(facts));
    TellApart { first, second, rate_a, rate_b, per_arm, needed_per_arm, power, in_pots, assurance, sentence }
}

/// The same arm in pots: those asked for, else the pieces that can be spared in pots of about the usual size, or as many
/// pots as are needed. `None` where pieces are not in several pots.
fn in_pots(rates: (f64, f64), per_arm: u32, asked: &Asked<'_, PlanQuestion>) -> Option<InPots> {
    let (wanted, pieces) = match asked.question.layout {
        Layout::Pieces => return None,
        Layout::Pots { pots, pieces } => (Some(pots), pieces),
        Layout::NotSaid if asked.question.aim.pieces.is_none() => (None, OF_A_POT),
        Layout::NotSaid => {
            let pots = (per_arm / OF_A_POT).max(2);
            (Some(pots), Some(per_arm / pots).filter(|pieces| *pieces > 1)?)
        }
    };
    let needed_pots = pots_needed(pieces, rates.0, rates.1, PRIOR_ICC, asked.question.aim.sure.get());
    let pots = wanted.or(needed_pots).unwrap_or(MOST_POTS);
    let power = power_with_pots(pots, pieces, rates.0, rates.1, PRIOR_ICC);
    Some(InPots { pots, pieces, icc: PRIOR_ICC, power, needed_pots })
}

/// Pieces in each arm from which the power stays at `sure`. Power is saw-toothed and every size costs, so sizes are tried
/// downwards from one that reaches it with room to spare.
fn needed(rate_a: f64, rate_b: f64, sure: f64) -> Option<u32> {
    let power = |n: u32| fisher_power(n, n, rate_a, rate_b, ALPHA);
    let enough = sure + (1.0 - sure) / 4.0;
    let mut sizes =
        std::iter::successors(Some(16_u32), |n| (*n < MOST_IN_ARM).then(|| (n * 5 / 4).min(MOST_IN_ARM)));
    let from = sizes.find(|n| power(*n) >= enough).unwrap_or(MOST_IN_ARM);
    let too_small = (2..=from).rev().find(|n| power(*n) < sure);
    too_small.map_or(Some(2), |n| (n < from).then_some(n + 1))
}

#[cfg(test)]
mod tests {
    use propagule_analysis::planning::arm_size;

    use super::*;

    #[test]
    fn the_size_is_that_of_a_search_through_all_sizes() {
        for (a, b, sure) in
            [(0.2, 0.8, 0.8), (0.2, 0.5, 0.8), (0.5, 0.75, 0.6), (0.05, 0.4, 0.9), (0.3, 0.3, 0.8)]
        {
            let all = arm_size(a, b, ALPHA, sure, 80).map(|size| size.stable);
            assert_eq!(needed(a, b, sure), all, "{a} {b} {sure}");
        }
    }
}
