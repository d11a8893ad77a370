//! What the rows of a trial say, put together by day: the entries that it makes.

use std::collections::BTreeMap;

use super::plan::Known;
use super::play;
use propagule_bench::dates::When;
use propagule_bench::{Entry, Law, Stage, Tally, What};

/// What is counted on a day: tallies of several rows, and the entry that holds the day already.
#[derive(Debug, Default)]
pub(super) struct Day {
    on: Option<When>,
    pub(super) new: Vec<Tally>,
    /// Place of the tally in the known entry, and what stands there from now on.
    pub(super) changed: Vec<(Option<usize>, Tally)>,
    pub(super) target: Option<u64>,
    pub(super) left: Vec<(u8, Option<String>, u16)>,
    pub(super) suckers: BTreeMap<u8, u16>,
}

/// By day, then check before stages.
type At = (propagule_protocol::Date, u8);

#[derive(Debug, Default)]
pub(super) struct Days(BTreeMap<At, (Option<Stage>, Day)>);

impl Days {
    pub(super) fn at(&mut self, stage: Option<Stage>, on: When) -> &mut Day {
        let (_, day) =
            self.0.entry((on.middle(), play::order(stage))).or_insert_with(|| (stage, Day::default()));
        day.on.get_or_insert(on);
        day
    }

    /// The entries of all days. Each has a name made of trial, day and stage, by which it is found again.
    pub(super) fn entries(self, code: &str, known: &Known<'_>) -> Vec<(Option<u64>, Entry)> {
        let mut entries = Vec::new();
        for (on, (stage, day)) in self.0.into_values().map(|day| (day.1.on, day)) {
            let Some(on) = on else { continue };
            let name = |what: &str| format!("import {code} {on} {what}");
            let word = stage.map_or("check", Stage::word);
            let entry = |what: What, once: String| Entry {
                on,
                what,
                note: None,
                files: Vec::new(),
                once: Some(once),
            };
            for (arm, replicate, pieces) in day.left {
                let once = name(&format!("left {word} {arm} {}", replicate.as_deref().unwrap_or_default()));
                let what = What::Left {
                    trial: code.to_owned(),
                    arm,
                    replicate,
                    pieces,
                    how: "sold".to_owned(),
                    at_grade: true,
                };
                entries.push((None, entry(what, once)));
            }
            if !day.new.is_empty() {
                let what = What::Counted {
                    trial: code.to_owned(),
                    stage,
                    tallies: day.new,
                    is_blind: false,
                    law: Law::Fates,
                };
                entries.push((None, entry(what, name(word))));
            }
            if let Some((number, before)) =
                day.target.and_then(|of| known.entries.iter().find(|(n, _)| *n == of))
                && !day.changed.is_empty()
            {
                entries.push((Some(*number), corrected(before, day.changed)));
            }
            if !day.suckers.is_empty() {
                let what =
                    What::Suckers { trial: code.to_owned(), removed: day.suckers.into_iter().collect() };
                let once = name("suckers");
                let same = known.entries.iter().find(|(_, entry)| entry.once.as_ref() == Some(&once));
                match same {
                    None => entries.push((None, entry(what, once))),
                    Some((_, before)) if before.what == what => {}
                    Some((number, before)) => {
                        entries.push((Some(*number), Entry { what, ..(*before).clone() }));
                    }
                }
            }
        }
        entries
    }
}

/// An entry with other tallies, or more of them.
fn corrected(before: &Entry, changed: Vec<(Option<usize>, Tally)>) -> Entry {
    let mut entry = before.clone();
    if let What::Counted { tallies, .. } = &mut entry.what {
        for (at, tally) in changed {
            match at.and_then(|at| tallies.get_mut(at)) {
                Some(place) => *place = tally,
                None => tallies.push(tally),
            }
        }
    }
    entry
}
