//! What an entry says back: what happened in each pot, and how the trial stands after it.

use std::fmt::Write;

use serde_json::{Value, json};

use super::counting::{Counted, place_of};
use super::entering::standing_words;
use propagule_answer::words::entry as words;
use propagule_answer::words::kind::KindWords;
use propagule_bench::{Entry, Season, Trial, What};

/// Lines of an entry that is saved.
pub(super) fn lines(
    season: &Season<'_>,
    trial: &Trial,
    number: u64,
    entry: &Entry,
    counted: &[Counted],
) -> String {
    let mut text = String::new();
    match &entry.what {
        What::Counted { stage: None, .. } => {
            for counted in counted {
                let _ = writeln!(text, "  {}", change(trial, counted).words());
            }
            let roots = roots(season, trial, counted).into_iter().chain(had_roots(trial, counted));
            for line in roots.chain(totals(season, number, entry)) {
                let _ = writeln!(text, "  {line}");
            }
        }
        What::Counted { stage: Some(_), .. } => {
            for counted in counted {
                let unit = super::counting::unit_of(season, &counted.tally);
                let _ = writeln!(text, "  {}: {}", unit.label(trial), standing_words(trial, unit));
            }
            for line in had_roots(trial, counted) {
                let _ = writeln!(text, "  {line}");
            }
            let open = pending(season, trial, entry);
            if !open.is_empty() {
                let _ = writeln!(text, "Not counted yet: {}.", open.join(", "));
            }
        }
        _ => {}
    }
    text
}

/// What a check says of a place.
fn change(trial: &Trial, counted: &Counted) -> words::Change {
    let Counted { tally, full, before, after } = counted;
    let more =
        [(tally.callused, "callused"), (tally.established, "established"), (tally.finished, "finished")];
    let more = more.iter().filter_map(|(count, word)| count.map(|count| format!("{count} {word}")));
    let marks = tally.marks.keys().map(|name| name.replace('_', " "));
    words::Change {
        place: place_of(trial, tally),
        before: before.fates.alive(),
        after: after.fates.alive(),
        died: full.dead.unwrap_or(0),
        lost: full.lost.unwrap_or(0),
        found: full.found_alive.unwrap_or(0),
        not_known: full.not_known.unwrap_or(0),
        more: more.chain(marks).chain(tally.cause.clone()).collect(),
    }
}

/// Where roots were seen, in the words of what the trial is about; none where nobody looked for them.
fn roots(season: &Season<'_>, trial: &Trial, counted: &[Counted]) -> Option<String> {
    let names: Vec<String> = counted.iter().map(|counted| place_of(trial, &counted.tally)).collect();
    let mut seen = Vec::new();
    let mut not_looked = Vec::new();
    for (counted, name) in counted.iter().zip(&names) {
        match counted.full.rooted {
            Some(rooted) => seen.push((name.as_str(), rooted, counted.after.fates.alive())),
            None => not_looked.push(name.as_str()),
        }
    }
    let is_one = season.units.len() == 1 && seen.len() == 1;
    if seen.is_empty() || (is_one && counted[0].tally.rooted.is_none() && counted[0].tally.green.is_none()) {
        return None;
    }
    Some(words::roots(&seen, &not_looked, &KindWords::of_trial(trial)))
}

/// Where fewer have roots than at the look before: how many of those that went had them. Who says so himself is not told.
fn had_roots(trial: &Trial, counted: &[Counted]) -> Vec<String> {
    let line = |counted: &Counted| {
        let Counted { tally, full, before, after } = counted;
        let (were, now) = (before.rooted()?, full.rooted?);
        let gone = [full.dead, full.lost].into_iter().flatten().sum::<u16>();
        let missing =
            words::Missing { were, now, went: before.unsettled() + gone, ever: after.ever_rooted()? };
        let is_told = now < were && missing.went > 0 && tally.of_rooted.is_none();
        is_told.then(|| words::had_roots(&place_of(trial, tally), missing, success(trial)))
    };
    counted.iter().filter_map(line).collect()
}

/// `rooted`, `taken` or `germinated`.
fn success(trial: &Trial) -> &'static str {
    KindWords::of_trial(trial).lead
}

/// How the whole trial stands on that day.
fn totals(season: &Season<'_>, number: u64, entry: &Entry) -> Vec<String> {
    let day = entry.on.middle();
    let all = season.all_on(day);
    let mut lines = vec![words::alive(all.alive(), all.started, carried(season, number, entry))];
    lines.extend(words::ever(all.at_least, all.started, all.looked_for, success(season.trial)));
    lines
}

/// Living pieces of the places that an entry does not name.
fn carried(season: &Season<'_>, number: u64, entry: &Entry) -> u32 {
    let day = entry.on.middle();
    let is_carried = |unit: &&propagule_bench::Unit| unit.points.iter().all(|point| point.entry != number);
    season.units.iter().filter(is_carried).map(|unit| unit.row_on(day).alive()).sum()
}

/// Places that a count at a stage left out.
fn pending(season: &Season<'_>, trial: &Trial, entry: &Entry) -> Vec<String> {
    let What::Counted { stage: Some(stage), .. } = entry.what else { return Vec::new() };
    let open = |unit: &&propagule_bench::Unit| {
        unit.standing().base() > 0 && unit.points.iter().all(|point| point.stage != Some(stage))
    };
    season.units.iter().filter(open).map(|unit| unit.label(trial).to_owned()).collect()
}

/// The same for programs.
pub(super) fn json(
    season: &Season<'_>,
    trial: &Trial,
    number: u64,
    entry: &Entry,
    counted: &[Counted],
) -> Value {
    let standings: Vec<_> = season
        .units
        .iter()
        .map(|unit| {
            let standing = unit.standing();
            let fates = standing.fates;
            json!({ "place": unit.label(trial), "started": unit.started, "alive": fates.alive(),
                "not_known": fates.not_known.all(), "dead": fates.dead.all(), "lost": fates.lost.all(),
                "left": fates.finished.all(), "rooted": standing.rooted(), "ever_rooted": standing.ever_rooted() })
        })
        .collect();
    let changes: Vec<_> = counted
        .iter()
        .map(|counted| {
            let words::Change { place, before, after, died, lost, found, not_known, .. } =
                change(trial, counted);
            json!({ "place": place, "before": before, "alive": after, "died": died, "lost": lost,
                "found_alive": found, "not_known": not_known, "rooted": counted.full.rooted })
        })
        .collect();
    let all = season.all_on(entry.on.middle());
    json!({ "format": "propagule.entry/1", "entry": number, "saved": true, "trial": trial.code, "on": entry.on,
        "stands": standings, "changes": changes, "not_counted_yet": pending(season, trial, entry),
        "total": { "started": all.started, "alive": all.alive(), "carried": carried(season, number, entry),
            "ever_rooted_at_least": all.at_least, "looked_for": all.looked_for } })
}
