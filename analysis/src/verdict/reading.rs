//! The two readings of a pair, and what they say together.

use super::CLEAR;
use super::compare::{Comparison, compare, totals};
use super::design::{Layer, Sorted, Strata, sort};
use super::input::Unit;
use super::outcome::{Design, PairVerdict, Reading, Reason, Verdict};
use crate::Count;

/// A pair's numbers with lost pieces as failures, and without them.
#[derive(Clone, Debug)]
pub(super) struct Read {
    pub(super) headline: Comparison,
    /// `None` where nothing was lost.
    pub(super) without_lost: Option<Comparison>,
    pub(super) holm: Option<f64>,
    pub(super) holm_without_lost: Option<f64>,
    pub(super) is_confounded: bool,
}

/// All that were put in.
pub(super) fn headline(unit: &Unit) -> Option<Count> {
    let succeeded = unit.succeeded?.min(unit.started);
    (unit.started > 0).then_some(Count { started: unit.started, succeeded })
}

/// All that were not lost.
fn without_lost(unit: &Unit) -> Option<Count> {
    let started = unit.started.saturating_sub(unit.lost);
    let succeeded = unit.succeeded?.min(started);
    (started > 0).then_some(Count { started, succeeded })
}

/// Both readings. Where things differ together no p is given, and the totals stand as of single pots.
pub(super) fn read(layers: &[Layer<'_>], by: &Strata, unit_is_piece: bool, is_confounded: bool) -> Read {
    let compared = |count: &dyn Fn(&Unit) -> Option<Count>| {
        let Sorted { design, strata, cells, .. } = sort(layers, by, unit_is_piece, count);
        if is_confounded {
            compare(Design::Single, &[totals(&strata)], &[])
        } else {
            compare(design, &strata, &cells)
        }
    };
    let units = layers.iter().flat_map(|layer| layer.first.units.iter().chain(&layer.second.units));
    let lost: u32 = units.map(|unit| unit.lost).sum();
    Read {
        headline: compared(&headline),
        without_lost: (lost > 0).then(|| compared(&without_lost)),
        holm: None,
        holm_without_lost: None,
        is_confounded,
    }
}

/// Puts the readings into the pair, and says what they say together.
pub(super) fn concluded(pair: &mut PairVerdict, read: Option<Read>) {
    let Some(Read { headline, without_lost, holm, holm_without_lost, is_confounded }) = read else { return };
    let reading = after_holm(headline, holm);
    let other = without_lost.map(|comparison| after_holm(comparison, holm_without_lost));
    if !is_confounded {
        (pair.verdict, pair.reason) = together(&reading, other.as_ref());
        let ahead = reading.comparison.first_is_ahead();
        pair.first_is_better = ahead.filter(|_| pair.verdict == Verdict::Better);
    }
    (pair.reading, pair.lost_left_out) = (Some(reading), other);
}

fn after_holm(comparison: Comparison, p_holm: Option<f64>) -> Reading {
    let is_clear = comparison.verdict == Verdict::Better && p_holm.is_some_and(|p| p <= CLEAR);
    let verdict = match comparison.verdict {
        Verdict::Better if !is_clear => Verdict::CannotTell,
        other => other,
    };
    Reading { comparison, p_holm, verdict }
}

/// One verdict of both readings.
fn together(with: &Reading, without: Option<&Reading>) -> (Verdict, Reason) {
    let Some(without) = without else { return (with.verdict, reason(with)) };
    let clear = |reading: &Reading| reading.verdict == Verdict::Better;
    let same_side = with.comparison.first_is_ahead() == without.comparison.first_is_ahead();
    match (clear(with), clear(without)) {
        (true, true) if same_side => (Verdict::Better, Reason::Clear),
        (true, true) => (Verdict::DependsOnLost, Reason::LostTurnItRound),
        (true, false) => (Verdict::DependsOnLost, Reason::ClearWithLostOnly),
        (false, true) => (Verdict::DependsOnLost, Reason::ClearWithoutLostOnly),
        (false, false) => (with.verdict, reason(with)),
    }
}

fn reason(reading: &Reading) -> Reason {
    let comparison = &reading.comparison;
    match reading.verdict {
        Verdict::SingleUnit => Reason::OneUnit,
        Verdict::NothingToSee => {
            let (a, b) = (comparison.totals.first, comparison.totals.second);
            match (a.succeeded + b.succeeded, a.failed() + b.failed()) {
                (0, _) => Reason::NoneSucceeded,
                (_, 0) => Reason::AllSucceeded,
                _ => Reason::AlikeInEachStratum,
            }
        }
        Verdict::Better => Reason::Clear,
        _ if comparison.p.is_some_and(|p| p <= CLEAR) => Reason::OneOfSeveral,
        _ if comparison.p_exact <= CLEAR => match comparison.pots {
            Some(pots) if pots.phi_hat > 1.0 => Reason::PotsDisagree,
            _ => Reason::FewPots,
        },
        _ => Reason::WithinChance,
    }
}
