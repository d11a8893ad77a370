//! Sentences about one trial: its treatments at a stage, what became of all of them, how it stands, and what follows it.

use super::at_least;
use super::pieces::state_words;
use super::sentences::rates::{self, OverWinter, Rate};
use super::sentences::{and, number_of, when};
use crate::kind::KindWords;
use propagule_answer::trial::pieces::{self, PieceState};
use propagule_answer::trial::{
    ArmRow, Carried, Group, Life, LifeRow, Lineage, MoveRow, NowRow, RateRow, Suckers,
};
use propagule_bench::{Relation, Stage};

/// Pots that are named before the rest is only counted.
const MOST_NAMED: usize = 6;

fn rate_at(found: &RateRow, stage: Stage) -> Rate {
    let RateRow { count, of, lower, upper } = *found;
    Rate { count, of, lower, upper, stage }
}

/// A treatment at a stage: its rate first, then what else to know, each a sentence.
pub fn arm_line(arm: &ArmRow, words: &KindWords, stage: Stage) -> String {
    let split = finished_split(arm, words, stage);
    let mut sentences: Vec<String> = match (&arm.rate, &split) {
        (Some(_), Some(split)) => vec![format!("{}: {split}", arm.label)],
        (Some(found), None) => vec![rates::rate(words, &arm.label, rate_at(found, stage))],
        (None, _) => vec![format!("{}: {}.", arm.label, not_all_known(arm, words).join("; "))],
    };
    let mut parts = Vec::new();
    if stage != Stage::Final {
        parts.extend(ever(arm, words));
    }
    parts.extend(parts_of_living(arm, words, stage, split.is_some()));
    parts.extend(not_scored(arm, words));
    parts.extend(arm.moves.iter().map(|moved| after_move(moved, words)));
    if !parts.is_empty() {
        sentences.push(format!("{}.", crate::kind::capital(&parts.join("; "))));
    }
    sentences.join(" ")
}

/// Finished plants where some left as finished: those and the ones that were kept.
fn finished_split(arm: &ArmRow, words: &KindWords, stage: Stage) -> Option<String> {
    let found = arm
        .rate
        .as_ref()
        .filter(|found| stage == Stage::Final && arm.left_finished > 0 && found.count > 0)?;
    let here = found.count.saturating_sub(arm.left_finished);
    let gone = (arm.left_finished, "sold, given or planted out");
    Some(rates::finished_split(words, found.count, found.of, gone, (here, arm.kept)))
}

/// What is said of a treatment of which not all pots are known.
fn not_all_known(arm: &ArmRow, words: &KindWords) -> Vec<String> {
    let mut parts = Vec::new();
    if !arm.pending.is_empty() {
        parts.push(format!("not counted yet: {}", named(&arm.pending)));
    }
    match (arm.looked_for, arm.unlooked.is_empty()) {
        (0, _) => parts.push(words.not_looked_for()),
        (some, _) if some < arm.started => parts.push(at_least(arm.at_least, some, words)),
        (_, false) => parts.push(format!("{} in {}", words.not_looked_for(), named(&arm.unlooked))),
        _ if parts.is_empty() => parts.push("not everything is known yet".to_owned()),
        _ => {}
    }
    if arm.rate.is_none() {
        parts.push(format!("{} of {} alive", arm.alive, arm.started));
    }
    parts
}

/// `10 of 10 rooted at some time, 5 of them died`, where that is more than what is seen on the day.
fn ever(arm: &ArmRow, words: &KindWords) -> Option<String> {
    let ever = arm.ever_rooted.filter(|ever| Some(*ever) != arm.succeeded)?;
    let died =
        if arm.dead_rooted > 0 { format!(", {} of them died", arm.dead_rooted) } else { String::new() };
    Some(format!("{ever} of {} {} at some time{died}", arm.started, words.ok))
}

fn parts_of_living(arm: &ArmRow, words: &KindWords, stage: Stage, is_split: bool) -> Vec<String> {
    let mut parts = Vec::new();
    if arm.rate.is_some() {
        let here = arm.succeeded.unwrap_or(0).saturating_sub(arm.left_finished);
        let open = if stage == Stage::Final { arm.alive.saturating_sub(here) } else { arm.waiting };
        if open > 0 && stage == Stage::Final {
            parts.push(format!("{open} alive, not finished yet"));
        } else if open > 0 {
            parts.push(rates::green(words, open));
        }
        if arm.alive == 0 && arm.left_finished == 0 && arm.not_known == 0 {
            parts.push("0 alive".to_owned());
        }
        let says_more = stage != Stage::Final && words.established != words.outcome(stage);
        if let Some(established) = arm.established.filter(|_| says_more) {
            parts.push(format!("{established} {}", words.established));
        }
        if arm.left_finished > 0 && !is_split {
            parts.push(format!("{} gone as finished", arm.left_finished));
            parts.push(format!("of the {} kept, {here} {}", arm.kept, words.outcome(stage)));
        }
    }
    parts
}

fn not_scored(arm: &ArmRow, words: &KindWords) -> Vec<String> {
    let mut parts = Vec::new();
    if arm.not_known > 0 {
        parts.push(format!("{} not seen", arm.not_known));
    }
    if arm.left_below > 0 {
        parts.push(format!("{} gone unfinished", arm.left_below));
    }
    if arm.lost > 0 {
        let without = arm.without_lost.as_ref().map(|without| (without.count, without.of));
        parts.push(rates::lost(words, arm.lost, without));
    }
    parts
}

/// What was first seen after a move.
fn after_move(moved: &MoveRow, words: &KindWords) -> String {
    rates::phase_rate(words, moved.count, moved.of, &moved.to, i64::from(moved.week))
}

/// All treatments together, with a bound where there is no success.
pub fn all_arms(all: &ArmRow, words: &KindWords, stage: Stage) -> String {
    let found = all.rate.unwrap_or(RateRow {
        count: all.succeeded.unwrap_or(0),
        of: all.started,
        lower: 0.0,
        upper: 1.0,
    });
    let said = rates::all_treatments(words, rate_at(&found, stage), all.waiting);
    match ever(all, words).filter(|_| stage != Stage::Final) {
        Some(ever) => format!("{said} {}.", crate::kind::capital(&ever)),
        None => said,
    }
}

/// Totals by stock plant or by who did the work: counts only, in the order of names.
pub fn groups(heading: &str, groups: &[Group], outcome: &str) -> Option<String> {
    if groups.is_empty() {
        return None;
    }
    let said = groups.iter().map(|group| {
        let lost = if group.lost > 0 { format!(" ({} lost)", group.lost) } else { String::new() };
        match group.count {
            Some(count) => format!("{} {count} of {} {outcome}{lost}", group.name, group.of),
            None => format!("{} not all of {} known{lost}", group.name, group.of),
        }
    });
    Some(format!("{heading}: {}", said.collect::<Vec<_>>().join(", ")))
}

/// What became of those that waited at the first stage, and each treatment of several.
pub fn life(life: &Life, words: &KindWords) -> Vec<String> {
    let (first, last) = (when(words, &life.green_at), when(words, &life.on));
    let all = OverWinter {
        green: life.green,
        first: &first,
        rooted: life.rooted_since,
        last: &last,
        still: life.still_waiting,
        died: life.died,
        others: life.others,
        in_all: (life.whole_life.ever_rooted, life.whole_life.of),
    };
    let mut lines = vec![rates::over_winter(words, &all)];
    if life.arms.len() > 1 {
        lines.extend(life.arms.iter().map(|arm| life_of_arm(arm, words)));
    }
    lines
}

fn life_of_arm(arm: &LifeRow, words: &KindWords) -> String {
    let of = OverWinter {
        green: arm.green,
        first: "",
        rooted: arm.rooted_since,
        last: "",
        still: arm.still_waiting,
        died: arm.died,
        others: arm.others,
        in_all: (arm.whole_life.ever_rooted, arm.whole_life.of),
    };
    rates::over_winter_of(words, &arm.arm, &of)
}

/// How a treatment stands: `3 of 15 alive; 11 of 15 rooted at some time; 6 gone as finished, 3 rooted, 4 dead`.
pub fn now(row: &NowRow, words: &KindWords) -> String {
    let mut parts = vec![format!("{} of {} alive", row.alive, row.started)];
    parts.push(match (row.ever_rooted, row.row.looked_for) {
        (Some(ever), _) => format!("{ever} of {} {} at some time", row.started, words.ok),
        (None, 0) => words.not_looked_for(),
        (None, some) => at_least(row.row.at_least, some, words),
    });
    // How many are alive is said already.
    let states: Vec<String> = pieces::states(&row.row, row.finished)
        .into_iter()
        .filter(|(state, _)| *state != PieceState::Alive)
        .map(|(state, count)| format!("{count} {}", state_words(state, words)))
        .collect();
    if !states.is_empty() {
        parts.push(states.join(", "));
    }
    parts.extend(carried(&row.carried, words));
    parts.join("; ")
}

fn carried(places: &[Carried], words: &KindWords) -> Option<String> {
    if places.is_empty() {
        return None;
    }
    let said = places.iter().take(MOST_NAMED);
    let said = said.map(|place| {
        format!("{} {} of {} as on {}", place.place, place.alive, place.started, when(words, &place.since))
    });
    Some(format!("{}{}", said.collect::<Vec<_>>().join(", "), and_more(places.len())))
}

/// Names with the rest counted.
fn named(places: &[String]) -> String {
    if places.len() <= MOST_NAMED {
        return and(places);
    }
    format!("{}{}", places[..MOST_NAMED].join(", "), and_more(places.len()))
}

fn and_more(all: usize) -> String {
    let more = all.saturating_sub(MOST_NAMED);
    if more == 0 { String::new() } else { format!(" and {more} more") }
}

/// Rootstock suckers that were removed, by treatment: `Rootstock suckers removed: whip 3, cleft 11; 14 in all, in 4 checks`.
pub fn suckers(found: &Suckers) -> String {
    if found.looks == 0 {
        return "Rootstock suckers: not checked yet".to_owned();
    }
    let checks = number_of(found.looks, "check", "checks");
    let arms: Vec<String> = found.arms.iter().map(|(arm, count)| format!("{arm} {count}")).collect();
    format!("Rootstock suckers removed: {}; {} in all, in {checks}", arms.join(", "), found.removed)
}

/// The trials that this one follows, or that follow it.
pub fn lineage(code: &str, lineage: &Lineage, words: &KindWords) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(parent) = &lineage.parent {
        let how = match parent.relation {
            Relation::Replaces => format!("New {} for those that failed in", words.plural()),
            Relation::Regraft => "Grafted again on the failed rootstocks of".to_owned(),
            Relation::Repeat => "Repeats".to_owned(),
        };
        lines.push(format!(
            "{how} {}, where {}. The two are never added up.",
            parent.trial,
            said(parent.count, parent.of, words)
        ));
    }
    for child in &lineage.children {
        let outcome = said(child.count, child.of, words);
        lines.push(match child.relation {
            Relation::Regraft => {
                format!("{} of its rootstocks grafted again ({}): {outcome}.", child.of, child.trial)
            }
            Relation::Replaces => {
                format!("Replaced by {} new ones ({}): {outcome}.", child.of, child.trial)
            }
            Relation::Repeat => format!("Repeated with {} ({}): {outcome}.", child.of, child.trial),
        });
        let last_regraft = lineage.children.iter().rfind(|other| other.relation == Relation::Regraft);
        if let Some((stocks, of)) = lineage.stocks_with_scion.filter(|_| last_regraft == Some(child)) {
            lines.push(format!("Rootstocks of {code} that carry a scion now: {stocks} of {of}."));
        }
    }
    lines
}

fn said(count: Option<u32>, of: u32, words: &KindWords) -> String {
    match count {
        Some(count) => format!("{count} of {of} {}", words.ok),
        None => format!("{of} were {}, not all counted yet", words.started),
    }
}

#[cfg(test)]
mod tests;
