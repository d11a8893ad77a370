//! Sentences about one trial: its arms at a stage, its whole life, how it stands, and what follows it.

use std::fmt::Write;

use super::{at_least, counted};
use crate::kind::KindWords;
use crate::number::percent;
use propagule_answer::trial::{
    ArmRow, Carried, Group, Life, LifeRow, Lineage, MoveRow, NowRow, RateRow, Suckers,
};
use propagule_bench::{Relation, Row, Stage};

/// Places that are named before the rest is only counted.
const MOST_NAMED: usize = 6;

/// `5 of 12 rooted (42 %; 95 % range 19–68 %)`; at none and at all of them one bound.
pub fn rate(rate: &RateRow, outcome: &str) -> String {
    let RateRow { count, of, lower, upper } = *rate;
    let (lower, upper) = (percent(lower), percent(upper));
    match count {
        0 => format!("0 of {of} {outcome}, up to about {upper} % would fit"),
        all if all == of => format!("{of} of {of} {outcome} (100 %; {lower} % or more would fit)"),
        _ => format!(
            "{count} of {of} {outcome} ({} %; 95 % range {lower}\u{2013}{upper} %)",
            percent(rate.share())
        ),
    }
}

/// An arm at a stage, or all of them.
pub fn arm_line(arm: &ArmRow, words: &KindWords, stage: Stage) -> String {
    let mut parts: Vec<String> = Vec::new();
    match &arm.rate {
        Some(found) => parts.push(rate(found, words.outcome(stage))),
        None => parts.extend(not_all_known(arm, words)),
    }
    if stage != Stage::Final {
        parts.extend(ever(arm, words));
    }
    parts.extend(parts_of_living(arm, words, stage));
    parts.extend(not_scored(arm));
    parts.extend(arm.moves.iter().map(after_move));
    format!("{}: {}", arm.label, parts.join("; "))
}

/// What is said of an arm of which not all places are known.
fn not_all_known(arm: &ArmRow, words: &KindWords) -> Vec<String> {
    let mut parts = Vec::new();
    if !arm.pending.is_empty() {
        parts.push(format!("not counted yet: {}", named(&arm.pending)));
    }
    match (arm.looked_for, arm.unlooked.is_empty()) {
        (0, _) => parts.push(words.not_looked_for()),
        (some, _) if some < arm.started => parts.push(at_least(arm.at_least, some, words.lead)),
        (_, false) => parts.push(format!("{} in {}", words.not_looked_for(), named(&arm.unlooked))),
        _ if parts.is_empty() => parts.push("not all is known".to_owned()),
        _ => {}
    }
    if arm.rate.is_none() {
        parts.push(format!("{} of {} alive", arm.alive, arm.started));
    }
    parts
}

/// `ever rooted 10 of 10, 5 died`, where that is more than what is seen on the day.
fn ever(arm: &ArmRow, words: &KindWords) -> Option<String> {
    let ever = arm.ever_rooted.filter(|ever| Some(*ever) != arm.succeeded)?;
    let died = if arm.dead_rooted > 0 { format!(", {} died", arm.dead_rooted) } else { String::new() };
    Some(format!("ever {} {ever} of {}{died}", words.lead, arm.started))
}

fn parts_of_living(arm: &ArmRow, words: &KindWords, stage: Stage) -> Vec<String> {
    let mut parts = Vec::new();
    if arm.rate.is_some() {
        let here = arm.succeeded.unwrap_or(0).saturating_sub(arm.left_finished);
        let open = if stage == Stage::Final { arm.alive.saturating_sub(here) } else { arm.waiting };
        if open > 0 && stage == Stage::Final {
            parts.push(format!("{open} alive, not finished yet"));
        } else if open > 0 {
            parts.push(waits(open, words));
        }
        if arm.alive == 0 && arm.left_finished == 0 && arm.not_known == 0 {
            parts.push("none alive".to_owned());
        }
        let says_more = stage != Stage::Final && words.established != words.outcome(stage);
        if let Some(established) = arm.established.filter(|_| says_more) {
            parts.push(format!("{established} {}", words.established));
        }
        if arm.left_finished > 0 {
            parts.push(format!("{} left as finished", arm.left_finished));
            parts.push(format!("of {} kept, {here}", arm.kept));
        }
    }
    parts
}

/// `34 green, waiting`.
fn waits(count: u32, words: &KindWords) -> String {
    let more = if words.waiting == "green" { ", waiting" } else { "" };
    format!("{count} {}{more}", words.waiting)
}

fn not_scored(arm: &ArmRow) -> Vec<String> {
    let mut parts = Vec::new();
    if arm.not_known > 0 {
        parts.push(format!("{} not known", arm.not_known));
    }
    if arm.left_below > 0 {
        parts.push(format!("{} left below grade", arm.left_below));
    }
    match (arm.lost, &arm.without_lost) {
        (0, _) => {}
        (lost, None) => parts.push(format!("{lost} lost")),
        (lost, Some(without)) => {
            let them = if lost == 1 { "it" } else { "them" };
            parts.push(format!(
                "{lost} lost: without {them} {} of {}, {} %",
                without.count,
                without.of,
                percent(without.share())
            ));
        }
    }
    parts
}

/// `of these 3 after a move to the frame in week 15`.
fn after_move(moved: &MoveRow) -> String {
    format!(
        "of these {} after a move to {} in week {} (of {} put in)",
        moved.count, moved.to, moved.week, moved.of
    )
}

/// All arms together: `All arms: 0 of 54 rooted, up to about 5 % would fit; 34 green, waiting`.
pub fn all_arms(all: &ArmRow, words: &KindWords, stage: Stage) -> String {
    let outcome = words.outcome(stage);
    let (count, of) = (all.succeeded.unwrap_or(0), all.started);
    let mut text = match &all.rate {
        Some(found) if count == 0 => format!("All arms: {}", rate(found, outcome)),
        _ => format!("All arms: {count} of {of} {outcome}"),
    };
    if stage != Stage::Final {
        if let Some(ever) = ever(all, words) {
            let _ = write!(text, "; {ever}");
        }
        if all.waiting > 0 {
            let _ = write!(text, "; {}", waits(all.waiting, words));
        }
    }
    text
}

/// Totals by stock plant or by worker: counts only, in the order of names.
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

/// What became of those that waited at the first stage, and each arm of several.
pub fn life(life: &Life, words: &KindWords) -> Vec<String> {
    let others = gone(life.others);
    let mut lines = vec![format!(
        "Of {} still {} on {}, {} had {} by {}, {} {} still {}, {} died {}{others}. Whole life: {} of {} ever {}.",
        life.green,
        words.waiting,
        life.green_at,
        life.rooted_since,
        words.had,
        life.on,
        life.still_waiting,
        if life.still_waiting == 1 { "is" } else { "are" },
        words.waiting,
        life.died,
        words.without,
        life.whole_life.ever_rooted,
        life.whole_life.of,
        words.lead,
    )];
    if life.arms.len() > 1 {
        lines.extend(life.arms.iter().map(|arm| life_of_arm(arm, words)));
    }
    lines
}

fn life_of_arm(arm: &LifeRow, words: &KindWords) -> String {
    format!(
        "{}: of {} {}, {} {} since, {} still {}, {} died {}{}; whole life {} of {}",
        arm.arm,
        arm.green,
        words.waiting,
        arm.rooted_since,
        words.lead,
        arm.still_waiting,
        words.waiting,
        arm.died,
        words.without,
        gone(arm.others),
        arm.whole_life.ever_rooted,
        arm.whole_life.of
    )
}

fn gone(others: u32) -> String {
    if others == 0 { String::new() } else { format!(", {others} lost, left or not known") }
}

/// How an arm stands: `3 alive of 15 put in; ever rooted 11 of 15; 6 left as finished, 3 with roots, 4 dead`.
pub fn now(row: &NowRow, words: &KindWords) -> String {
    let mut parts = vec![format!("{} alive of {} put in", row.alive, row.started)];
    parts.push(match (row.ever_rooted, row.row.looked_for) {
        (Some(ever), _) => format!("ever {} {ever} of {}", words.lead, row.started),
        (None, 0) => words.not_looked_for(),
        (None, some) => at_least(row.row.at_least, some, words.lead),
    });
    let states: Vec<String> = states(&row.row, row.finished, words)
        .into_iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, word)| format!("{count} {word}"))
        .collect();
    if !states.is_empty() {
        parts.push(states.join(", "));
    }
    parts.extend(carried(&row.carried));
    parts.join("; ")
}

fn states(row: &Row, finished: Option<u32>, words: &KindWords) -> Vec<(u32, &'static str)> {
    let is_looked = row.looked_for > 0;
    vec![
        (row.left_finished, "left as finished"),
        (row.left_below, "left below grade"),
        (finished.unwrap_or(0), "at your grade"),
        (row.rooted_alive, words.with),
        (if is_looked { row.waiting } else { 0 }, words.waiting),
        (row.not_known, "not known"),
        (row.dead, "dead"),
        (row.lost, "lost"),
    ]
}

fn carried(places: &[Carried]) -> Option<String> {
    if places.is_empty() {
        return None;
    }
    let said = places.iter().take(MOST_NAMED);
    let said = said
        .map(|place| format!("{} {} of {} as on {}", place.place, place.alive, place.started, place.since));
    Some(format!("{}{}", said.collect::<Vec<_>>().join(", "), and_more(places.len())))
}

/// Names with the rest counted.
fn named(places: &[String]) -> String {
    let first: Vec<&str> = places.iter().take(MOST_NAMED).map(String::as_str).collect();
    format!("{}{}", first.join(", "), and_more(places.len()))
}

fn and_more(all: usize) -> String {
    let more = all.saturating_sub(MOST_NAMED);
    if more == 0 { String::new() } else { format!(" and {more} more") }
}

/// Suckers that were removed, by arm: `Suckers removed: whip 3, cleft 11; 14 in all, in 4 looks`.
pub fn suckers(found: &Suckers) -> String {
    if found.looks == 0 {
        return "Suckers not looked for yet".to_owned();
    }
    let looks = counted(found.looks, "look", "looks");
    let arms: Vec<String> = found.arms.iter().map(|(arm, count)| format!("{arm} {count}")).collect();
    format!("Suckers removed: {}; {} in all, in {looks}", arms.join(", "), found.removed)
}

/// The trials that this one follows, or that follow it.
pub fn lineage(code: &str, lineage: &Lineage, words: &KindWords) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(parent) = &lineage.parent {
        let how = match parent.relation {
            Relation::Replaces => "Fresh pieces for those that failed in",
            Relation::Regraft => "Worked again on the failed stocks of",
            Relation::Repeat => "The same question as in",
        };
        lines.push(format!(
            "{how} {}, whose own are {}; the two are never added up.",
            parent.trial,
            said(parent.count, parent.of, words)
        ));
    }
    for child in &lineage.children {
        let outcome = said(child.count, child.of, words);
        lines.push(match child.relation {
            Relation::Regraft => {
                format!("{} of its stocks worked again ({}): {outcome}.", child.of, child.trial)
            }
            Relation::Replaces => {
                format!("Replaced by {} fresh ones ({}): {outcome}.", child.of, child.trial)
            }
            Relation::Repeat => format!("Asked again with {} ({}): {outcome}.", child.of, child.trial),
        });
        let last_regraft = lineage.children.iter().rfind(|other| other.relation == Relation::Regraft);
        if let Some((stocks, of)) = lineage.stocks_with_scion.filter(|_| last_regraft == Some(child)) {
            lines.push(format!("Stocks of {code} that carry a scion now: {stocks} of {of}."));
        }
    }
    lines
}

fn said(count: Option<u32>, of: u32, words: &KindWords) -> String {
    match count {
        Some(count) => format!("{count} of {of} {}", words.lead),
        None => format!("{of} put in, not all counted yet"),
    }
}

#[cfg(test)]
mod tests;
