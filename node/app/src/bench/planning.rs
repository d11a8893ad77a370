//! What a trial of this size can and cannot show, said before anything is put in.

use std::sync::LazyLock;

use propagule_analysis::exact::fisher_power;
use propagule_analysis::planning::arm_size;
use propagule_analysis::verdict::{PRIOR_ICC, pots_needed, power_with_pots};
use propagule_analysis::{Count, interval};

use crate::App;
use crate::evidence::{gather, parse_species};
use crate::outcome::new_trial::{
    ArmsOutlook, CanShow, LotOutlook, NeededPots, OutlookLine, POWER_WANTED, PairDiffers, Power, PowerInPots,
};
use crate::outcome::said::Said;
use propagule_answer as answer;
use propagule_answer::plan::TellApart;
use propagule_answer::question::{Aim, Layout, PlanQuestion};
use propagule_bench::kind::Kind;
use propagule_bench::{Arm, Bench, Season, Trial, compared, design};
use propagule_files::fault::Fault;

/// Rates that a trial is measured by: a large difference, and a modest one.
const RATES: [(f64, f64); 2] = [(0.2, 0.8), (0.5, 0.75)];
/// p value below which two arms are told apart.
const ALPHA: f64 = 0.05;
/// The largest arm that is looked for; power is beyond doubt long before.
const MOST: u32 = 120;
/// Pots over which pieces of a single one may be spread.
const MORE_POTS: [u32; 2] = [2, 3];
/// Pieces of an arm that a modest difference needs: always the same, and slow to find.
static MODEST: LazyLock<Option<u32>> =
    LazyLock::new(|| arm_size(RATES[1].0, RATES[1].1, ALPHA, POWER_WANTED, MOST).map(|size| size.stable));

/// What this trial can show.
pub(super) fn outlook(bench: &Bench, trial: &Trial) -> CanShow {
    match &trial.arms[..] {
        [arm] => CanShow::Lot(of_lot(arm, trial.kind())),
        arms => CanShow::Arms(of_arms(bench, trial, arms)),
    }
}

fn of_lot(arm: &Arm, kind: Kind) -> LotOutlook {
    let pieces = u32::from(arm.started);
    let upper_if_none = interval::one_sided_upper(Count { succeeded: 0, started: pieces }, 0.95);
    let (low, high) = interval::wilson(Count { succeeded: pieces / 2, started: pieces }, 0.95);
    let range_if_half = [low, high];
    let words =
        [OutlookLine::Lot { pieces, upper_if_none, range_if_half, kind }, OutlookLine::LotNeedsNoControl];
    LotOutlook { words: words.map(Said::Outlook).to_vec(), pieces, upper_if_none, range_if_half }
}

fn of_arms(bench: &Bench, trial: &Trial, arms: &[Arm]) -> ArmsOutlook {
    let smallest = arms.iter().map(|arm| u32::from(arm.started)).min().unwrap_or(0);
    let pots = pots_of(trial, arms, smallest);
    let power = RATES.map(|rates| power(smallest, pots, rates)).to_vec();
    let needed = *MODEST;
    let (low, high) = RATES[1];
    let needed_pots = pots.and_then(|(_, pieces)| pots_needed(pieces, low, high, PRIOR_ICC, POWER_WANTED));
    // Where each graft or cutting is placed by itself, one pot each is not what stands between two treatments.
    let is_by_pots = !design::unit_is_piece(trial);
    let single = arms.iter().filter(|arm| is_by_pots && arm.replicates.len() < 2);
    let single: Vec<String> = single.map(|arm| arm.label.clone()).collect();
    let said = needed.filter(|needed| *needed > smallest).map(|pieces| OutlookLine::Needed {
        rates: [low, high],
        pieces,
        in_pots: pots.map(|(_, pieces)| NeededPots { pots: needed_pots, pieces }),
    });
    let chances = power.iter().map(|power| OutlookLine::Chance(*power));
    let words = chances.chain(said).chain(of_single_pots(&single, smallest));
    ArmsOutlook {
        words: words.map(Said::Outlook).collect(),
        power,
        pieces_needed_for_modest: needed,
        pots_needed_for_modest: needed_pots,
        single_pots: single,
        pairs: pairs(bench, trial, arms),
    }
}

/// The chance of telling two rates apart; the one that allows for pots that differ stands beside it where there are some.
fn power(per_arm: u32, pots: Option<(u32, u32)>, (rate_a, rate_b): (f64, f64)) -> Power {
    let in_pots = |(pots, pieces)| PowerInPots {
        pots,
        pieces,
        icc: PRIOR_ICC,
        power: power_with_pots(pots, pieces, rate_a, rate_b, PRIOR_ICC),
        power_if_pots_never_differ: power_with_pots(pots, pieces, rate_a, rate_b, 0.0),
    };
    let power = fisher_power(per_arm, per_arm, rate_a, rate_b, ALPHA);
    Power { per_arm, rate_a, rate_b, power, pots: pots.map(in_pots) }
}

/// Which arms stand in a single pot, and how their pieces would stand in more.
fn of_single_pots(labels: &[String], per_arm: u32) -> Vec<OutlookLine> {
    if labels.is_empty() {
        return Vec::new();
    }
    let more = MORE_POTS.into_iter().filter(|pots| per_arm >= 2 * pots);
    let more = more.map(|pots| OutlookLine::SamePieces { pots, pieces: per_arm / pots });
    std::iter::once(OutlookLine::SinglePots { labels: labels.to_vec() }).chain(more).collect()
}

/// Pots of the arm with fewest, and pieces in each; `None` where pieces are the units, or an arm stands in a single pot.
fn pots_of(trial: &Trial, arms: &[Arm], smallest: u32) -> Option<(u32, u32)> {
    let pots = arms.iter().map(|arm| arm.replicates.len() as u32).min()?;
    let is_by_pots = pots > 1 && !design::unit_is_piece(trial);
    is_by_pots.then(|| (pots, (smallest / pots).max(1)))
}

/// What this size would show of methods that growers of this species have tried, where there are any: the chance
/// averaged over what is not known of their rates.
///
/// # Errors
/// When records cannot be read or the model refuses their counts.
pub(super) fn assured(app: &App, trial: &Trial) -> Result<Vec<TellApart>, Fault> {
    let taxon = parse_species(&trial.species)?;
    let smallest = trial.arms.iter().map(|arm| u32::from(arm.started)).min().unwrap_or(0);
    let layout = pots_of(trial, &trial.arms, smallest)
        .map_or(Layout::Pieces, |(pots, pieces)| Layout::Pots { pots, pieces });
    let aim = Aim { pieces: Some(2 * smallest), ..Aim::default() };
    let question = PlanQuestion { aim, layout, ..PlanQuestion::about(taxon.to_string()) };
    let gathered = gather(app, &taxon, question.count, question.scope)?;
    if trial.arms.len() < 2 || gathered.evidence.rows.is_empty() {
        return Ok(Vec::new());
    }
    let answer = answer::plan::plan(&gathered.evidence, &question, &gathered.given())?;
    Ok(answer.tell_apart.into_iter().filter(|row| row.assurance.is_some()).collect())
}

/// All that differs, for each pair of arms.
fn pairs(bench: &Bench, trial: &Trial, arms: &[Arm]) -> Vec<PairDiffers> {
    let season = Season::new(trial, std::iter::empty());
    let stands = bench.as_it_stands(trial);
    let mut pairs = Vec::new();
    for (index, first) in arms.iter().enumerate() {
        for second in &arms[index + 1..] {
            let of = |arm: &Arm| stands.arm(arm.number).unwrap_or(arm).clone();
            let difference = compared::difference(bench, &season, trial, &of(first), &of(second));
            let (first, second) = (first.label.clone(), second.label.clone());
            let (differs, sole) = (difference.names(), difference.sole().map(str::to_owned));
            let line = OutlookLine::Differs {
                first: first.clone(),
                second: second.clone(),
                differs: differs.clone(),
                sole: sole.clone(),
            };
            pairs.push(PairDiffers { words: Said::Outlook(line), first, second, differs, sole });
        }
    }
    pairs
}
