//! What reading the rows of a trial would do to the bench record.

use super::arms::{TrialRows, UnitRow};
use super::days::Days;
use super::describe::{self, Changed};
use super::outcome::{Outcome, RowOutcome};
use super::play::{self, Dated, Rules};
use super::{Change, Options};
use propagule_bench::dates::When;
use propagule_bench::season::IMPORTED;
use propagule_bench::{Entry, Season, Stage, Tally, Trial, What};
use propagule_files::fault::{Fault, Problem};

/// A trial of an import.
#[derive(Clone, Debug, PartialEq)]
pub struct Planned {
    /// The trial as it would be described.
    pub trial: Trial,
    /// What happens to it.
    pub change: Change,
    /// Whether the description is new or changed.
    pub is_described: bool,
    /// Entries to write: with a number, in place of that one.
    pub entries: Vec<(Option<u64>, Entry)>,
    /// What becomes of each row.
    pub rows: Vec<RowOutcome>,
}

/// What is known of a trial before.
#[derive(Clone, Debug, Default)]
pub struct Known<'a> {
    /// As described.
    pub trial: Option<&'a Trial>,
    /// Its entries, by number.
    pub entries: Vec<(u64, &'a Entry)>,
}

/// Plans one trial.
///
/// # Errors
/// Everything that is wrong in its rows.
pub(super) fn plan(
    rows: &TrialRows<'_>,
    known: &Known<'_>,
    options: &Options,
    series: String,
) -> Result<Planned, Vec<Problem>> {
    let mut problems = Vec::new();
    if let Some(before) = known.trial {
        check_known(before, rows, &mut problems);
        describe::check_fixed(before, rows, &mut problems);
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    let (mut trial, changed) = match known.trial {
        None => (describe::fresh(rows, series, options.one_piece), Vec::new()),
        Some(before) => {
            let mut trial = before.clone();
            let changed = describe::describe(&mut trial, rows);
            (trial, changed)
        }
    };
    describe::check_order(&trial, rows.rows[0].line, &mut problems);
    let season = known.trial.map(|trial| Season::new(trial, known.entries.iter().copied()));
    let mut days = Days::default();
    let mut outcomes = Vec::new();
    for arm_rows in &rows.arms {
        let Some(arm) = trial.arms.iter().position(|arm| arm.label == arm_rows.label) else { continue };
        for unit in &arm_rows.units {
            let found = Placed {
                trial: &mut trial,
                arm,
                unit,
                season: season.as_ref(),
                options,
                known,
                changed: &changed,
            };
            match found.plan(&mut days) {
                Ok(outcome) => outcomes.push(outcome),
                Err(problem) => problems.push(problem),
            }
        }
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    let entries = days.entries(&trial.code, known);
    check_season(&trial, known, &entries, rows, &mut problems);
    if !problems.is_empty() {
        return Err(problems);
    }
    let is_described = known.trial != Some(&trial);
    let change = match (known.trial, is_described || !entries.is_empty()) {
        (None, _) => Change::New,
        (Some(_), true) => Change::Updated,
        (Some(_), false) => Change::Same,
    };
    Ok(Planned { trial, change, is_described, entries, rows: outcomes })
}

/// Counts cannot be taken in for a trial of which nothing was put in yet, or that is over.
fn check_known(before: &Trial, rows: &TrialRows<'_>, problems: &mut Vec<Problem>) {
    if before.is_planned {
        let fault = Fault::user("table-of-trial-only-set-up")
            .with("trial", &before.code)
            .with("kind", before.kind().word());
        problems.push(Problem::of_row(rows.rows[0].line, fault));
    }
}

/// The whole season with what is new in it must hold together.
fn check_season(
    trial: &Trial,
    known: &Known<'_>,
    entries: &[(Option<u64>, Entry)],
    rows: &TrialRows<'_>,
    problems: &mut Vec<Problem>,
) {
    let replaced = |number: u64| entries.iter().find(|(of, _)| *of == Some(number)).map(|(_, entry)| entry);
    let old = known.entries.iter().map(|(number, entry)| (*number, replaced(*number).unwrap_or(entry)));
    let first_new = u64::MAX / 2;
    let new = entries.iter().filter(|(of, _)| of.is_none()).map(|(_, entry)| entry);
    let new = (first_new..).zip(new);
    let before: Vec<u64> = known
        .trial
        .map(|trial| Season::new(trial, known.entries.iter().copied()).faults)
        .unwrap_or_default()
        .into_iter()
        .map(|(number, _)| number)
        .collect();
    let season = Season::new(trial, old.chain(new));
    for (number, why) in &season.faults {
        if before.contains(number) {
            continue;
        }
        let fault = if *number >= first_new {
            Fault::user("table-contradicts-season").with("trial", &trial.code).with_data("fault", why)
        } else {
            Fault::user("table-contradicts-entry")
                .with("trial", &trial.code)
                .with("number", number)
                .with_data("fault", why)
        };
        let fault = fault.with("kind", trial.kind().word());
        problems.push(Problem::of_row(rows.rows[0].line, fault));
    }
}

/// One row at its unit.
struct Placed<'a, 'b> {
    trial: &'a mut Trial,
    /// Place of the arm in the trial.
    arm: usize,
    unit: &'a UnitRow<'b>,
    season: Option<&'a Season<'a>>,
    options: &'a Options,
    known: &'a Known<'a>,
    changed: &'a [Changed],
}

impl Placed<'_, '_> {
    fn plan(self, days: &mut Days) -> Result<RowOutcome, Problem> {
        let (row, code) = (self.unit.row, self.unit.code.as_deref());
        let number = self.trial.arms[self.arm].number;
        let is_it = |unit: &&propagule_bench::Unit| unit.arm == number && unit.replicate.as_deref() == code;
        let known_unit = self.season.and_then(|season| season.units.iter().find(is_it));
        let (checks, rest) = (self.options.checks, self.options.rest);
        let rules = Rules { checks, rest, arm: number, replicate: code, known: known_unit };
        let played = play::play(row, rules)?;
        let label = self.trial.arms[self.arm].label.clone();
        let mut outcome = RowOutcome::ready(row, &label, code, self.known.trial.is_some());
        if self.known.trial.is_some_and(|trial| spot_of(trial, &label) != spot_of(self.trial, &label)) {
            outcome.set(Outcome::Ready);
        }
        for changed in self.changed.iter().filter(|changed| changed.line == row.line) {
            outcome.change(&changed.column, Some(&changed.was), &changed.now, self.options.update);
        }
        for dated in &played {
            self.place(dated, known_unit, days, &mut outcome)?;
        }
        if let Some(removed) = row.suckers.filter(|removed| *removed > 0) {
            let on = played.last().map(|dated| dated.on).or(row.counts.last().map(|count| count.on));
            let on = on.unwrap_or(row.started_on);
            let last = self.trial_last(on);
            *days.at(None, last).suckers.entry(number).or_default() += removed;
        }
        outcome.played = played;
        Ok(outcome)
    }

    /// Suckers are counted for the whole trial on its last day.
    fn trial_last(&self, on: When) -> When {
        Stage::ALL
            .into_iter()
            .filter_map(|stage| self.trial.date(stage))
            .chain([on])
            .max_by_key(When::middle)
            .unwrap_or(on)
    }

    /// Puts a count where it belongs: new, the same as known, or another than known.
    fn place(
        &self,
        dated: &Dated,
        known_unit: Option<&propagule_bench::Unit>,
        days: &mut Days,
        outcome: &mut RowOutcome,
    ) -> Result<(), Problem> {
        let number = self.trial.arms[self.arm].number;
        let code = self.unit.code.clone();
        let same_day = |point: &&propagule_bench::season::Point| {
            point.stage == dated.stage && point.on.middle() == dated.on.middle() && point.entry != IMPORTED
        };
        let point = known_unit.and_then(|unit| unit.points.iter().find(same_day));
        let Some(point) = point else {
            let before = known_unit.and_then(|unit| Self::imported(unit, dated));
            if before.is_some() {
                return self.against_old(dated, outcome);
            }
            outcome.set(Outcome::Ready);
            let target = self.entry_of_day(dated);
            let day = days.at(dated.stage, dated.on);
            if dated.left > 0 {
                day.left.push((number, code, dated.left));
            }
            match target {
                None => day.new.push(dated.saved.clone()),
                Some(target) => {
                    day.target = Some(target);
                    day.changed.push((None, dated.saved.clone()));
                }
            }
            return Ok(());
        };
        let is_other = |(word, count): &(&str, Option<u16>)| {
            count.is_some() && known_count(&point.tally, word) != *count
        };
        let compared = if self.options.rest.is_some() { &dated.full } else { &dated.raw };
        let Some((word, now)) = compared.counts().into_iter().find(is_other) else { return Ok(()) };
        let was = known_count(&point.tally, word).map(|count| count.to_string());
        outcome.change(word, was.as_deref(), &now.unwrap_or(0).to_string(), self.options.update);
        let place =
            self.known.entries.iter().find(|(of, _)| *of == point.entry).and_then(|(_, entry)| match &entry
                .what
            {
                What::Counted { tallies, .. } => {
                    tallies.iter().position(|tally| tally.arm == number && tally.replicate == code)
                }
                _ => None,
            });
        let stored =
            self.known.entries.iter().find(|(of, _)| *of == point.entry).map(|(_, entry)| &entry.what);
        let stored = match (stored, place) {
            (Some(What::Counted { tallies, .. }), Some(place)) => tallies.get(place),
            _ => None,
        };
        let merged = stored.map_or_else(
            || Ok(dated.saved.clone()),
            |known| play::over(known, dated, self.options.rest, self.unit.row),
        )?;
        if self.options.update {
            let day = days.at(dated.stage, dated.on);
            day.target = Some(point.entry);
            day.changed.push((place, merged));
        }
        Ok(())
    }

    /// The entry that was imported for this day before: a row that was not counted then belongs into it.
    fn entry_of_day(&self, dated: &Dated) -> Option<u64> {
        let is_it = |entry: &Entry| {
            let is_day = entry.on.middle() == dated.on.middle()
                && entry.once.as_deref().is_some_and(|once| once.starts_with("import "));
            is_day && matches!(&entry.what, What::Counted { stage, .. } if *stage == dated.stage)
        };
        self.known.entries.iter().find(|(_, entry)| is_it(entry)).map(|(number, _)| *number)
    }

    /// Whether counts of an older table hold this stage already.
    fn imported<'p>(
        unit: &'p propagule_bench::Unit,
        dated: &Dated,
    ) -> Option<&'p propagule_bench::season::Point> {
        unit.points.iter().find(|point| point.entry == IMPORTED && point.stage == dated.stage)
    }

    /// Counts that came with an older table are part of the description.
    fn against_old(&self, dated: &Dated, outcome: &mut RowOutcome) -> Result<(), Problem> {
        let Some(stage) = dated.stage else { return Ok(()) };
        let new = super::kind::old_counts(self.unit.row, stage);
        let old = self
            .known
            .trial
            .and_then(|trial| trial.arms.get(self.arm)?.counts(stage).copied())
            .unwrap_or_default();
        let pairs = [
            ("alive", old.alive, new.alive),
            ("callused", old.callused, new.callused),
            ("rooted", old.rooted, new.rooted),
            ("established", old.established, new.established),
            ("finished", old.finished, new.finished),
            ("dead", old.dead, new.dead),
            ("lost", old.lost, new.lost),
            ("left_as_finished", old.left_as_finished, new.left_as_finished),
        ];
        let Some((word, was, now)) = pairs.into_iter().find(|(_, was, now)| now.is_some() && was != now)
        else {
            return Ok(());
        };
        outcome.set(Outcome::Changed);
        let fault = match was {
            Some(was) => Fault::user("older-table-says-otherwise")
                .with("count", word)
                .with("now", now.unwrap_or(0))
                .with("was", was),
            None => Fault::user("older-table-says-nothing").with("count", word).with("now", now.unwrap_or(0)),
        };
        let fault = fault.with("kind", self.trial.kind().word());
        Err(Problem::of_row(self.unit.row.line, fault))
    }
}

fn known_count(tally: &Tally, word: &str) -> Option<u16> {
    tally.counts().into_iter().find(|(known, _)| *known == word).and_then(|(_, count)| count)
}

/// The spot of an arm by its label.
fn spot_of<'a>(trial: &'a Trial, label: &str) -> Option<&'a str> {
    trial.arms.iter().find(|arm| arm.label == label)?.spot.as_deref()
}
