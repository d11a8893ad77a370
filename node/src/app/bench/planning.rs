//! What a trial of this size can and cannot show, said before anything is put in.

use std::fmt::Write;
use std::sync::LazyLock;

use propagule_analysis::exact::fisher_power;
use propagule_analysis::planning::arm_size;
use propagule_analysis::verdict::{PRIOR_ICC, pots_needed, power_with_pots};
use propagule_analysis::{Count, interval};
use serde_json::json;

use crate::answer;
use crate::answer::plan::TellApart;
use crate::answer::question::{Aim, Layout, PlanQuestion};
use crate::answer::words::bench as words;
use crate::answer::words::kind::KindWords;
use crate::app::App;
use crate::app::evidence::{gather, parse_species};
use propagule_bench::{Arm, Bench, Season, Trial, compared, design};
use propagule_files::fault::Fault;

/// Rates that a trial is measured by: a large difference, and a modest one.
const RATES: [(f64, f64); 2] = [(0.2, 0.8), (0.5, 0.75)];
/// p value below which two arms are told apart.
const ALPHA: f64 = 0.05;
/// Chance of seeing a difference that is there, as usually asked for.
const WANTED: f64 = 0.8;
/// The largest arm that is looked for; power is beyond doubt long before.
const MOST: u32 = 120;
/// Pieces of an arm that a modest difference needs: always the same, and slow to find.
static MODEST: LazyLock<Option<u32>> =
    LazyLock::new(|| arm_size(RATES[1].0, RATES[1].1, ALPHA, WANTED, MOST).map(|size| size.stable));

/// What a size can show, for the terminal and as data.
pub(super) struct Outlook {
    pub(super) text: String,
    pub(super) json: serde_json::Value,
}

/// What this trial can show.
pub(super) fn outlook(bench: &Bench, trial: &Trial) -> Outlook {
    match &trial.arms[..] {
        [arm] => of_lot(arm, &KindWords::of_trial(trial)),
        arms => of_arms(bench, trial, arms),
    }
}

fn of_lot(arm: &Arm, said: &KindWords) -> Outlook {
    let n = u32::from(arm.started);
    let upper = interval::one_sided_upper(Count { succeeded: 0, started: n }, 0.95);
    let half = interval::wilson(Count { succeeded: n / 2, started: n }, 0.95);
    let text = words::lot_outlook(n, upper, half, said);
    let said: Vec<&str> = text.trim().lines().skip(1).map(str::trim).collect();
    Outlook {
        json: json!({ "words": said, "pieces": n, "upper_if_none": upper, "range_if_half": [half.0, half.1] }),
        text,
    }
}

fn of_arms(bench: &Bench, trial: &Trial, arms: &[Arm]) -> Outlook {
    let mut text = String::from("\nWhat this size can show\n");
    let smallest = arms.iter().map(|arm| u32::from(arm.started)).min().unwrap_or(0);
    let pots = pots_of(trial, arms, smallest);
    let (mut rows, mut said) = (Vec::new(), Vec::new());
    for (low, high) in RATES {
        let bare = fisher_power(smallest, smallest, low, high, ALPHA);
        let mut row = json!({ "per_arm": smallest, "rate_a": low, "rate_b": high, "power": bare });
        let (line, sentence) = match pots {
            Some((pots, pieces)) => {
                let power = power_with_pots(pots, pieces, low, high, PRIOR_ICC);
                row["pots"] = json!({ "pots": pots, "pieces": pieces, "icc": PRIOR_ICC, "power": power,
                    "power_if_pots_never_differ": power_with_pots(pots, pieces, low, high, 0.0) });
                (
                    words::power_with_pots_row(pots, pieces, (low, high), power, bare),
                    words::power_with_pots_sentence(pots, pieces, (low, high), power, bare),
                )
            }
            None => (
                words::power_row(smallest, low, high, bare),
                words::power_sentence(smallest, low, high, bare),
            ),
        };
        let _ = writeln!(text, "  {line}");
        said.push(format!("{sentence}."));
        rows.push(row);
    }
    let needed = *MODEST;
    let (low, high) = RATES[1];
    let needed_pots = pots.and_then(|(_, pieces)| pots_needed(pieces, low, high, PRIOR_ICC, WANTED));
    if let Some(needed) = needed.filter(|needed| *needed > smallest) {
        let in_pots = pots.map(|(_, pieces)| (needed_pots, pieces));
        let sentence = words::needed_pieces(RATES[1], needed, in_pots);
        let _ = writeln!(text, "  {sentence}");
        said.push(sentence);
    }
    let single: Vec<&str> =
        arms.iter().filter(|arm| arm.replicates.len() < 2).map(|arm| arm.label.as_str()).collect();
    if !single.is_empty() {
        text.push_str(&words::single_pots(&single, smallest));
        said.push(words::single_pots_sentence(&single));
        said.extend(
            words::same_pieces(smallest).map(|(pots, pieces)| words::same_pieces_sentence(pots, pieces)),
        );
    }
    let pairs = pairs(bench, trial, arms, &mut text);
    Outlook {
        text,
        json: json!({ "power": rows, "pieces_needed_for_modest": needed, "pots_needed_for_modest": needed_pots, "single_pots": single, "pairs": pairs, "words": said }),
    }
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
fn pairs(bench: &Bench, trial: &Trial, arms: &[Arm], text: &mut String) -> Vec<serde_json::Value> {
    text.push_str("\nWhat differs\n");
    let season = Season::new(trial, std::iter::empty());
    let stands = bench.as_it_stands(trial);
    let mut pairs = Vec::new();
    for (index, first) in arms.iter().enumerate() {
        for second in &arms[index + 1..] {
            let of = |arm: &Arm| stands.arm(arm.number).unwrap_or(arm).clone();
            let difference = compared::difference(bench, &season, trial, &of(first), &of(second));
            let sentence = words::differs(&first.label, &second.label, &difference);
            let _ = writeln!(text, "  {sentence}");
            pairs.push(json!({ "words": sentence, "first": first.label, "second": second.label, "differs": difference.names(),
                "sole": difference.sole() }));
        }
    }
    pairs
}
