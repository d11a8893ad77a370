//! Trials that were opened on the network: reported, still due, or silent.

use std::collections::BTreeSet;

use propagule_protocol::{Month, Summary};

use super::method::fit;
use super::{MethodAnswer, PoolRequest, Silence};
use crate::answer::AnswerError;
use crate::evidence::{Evidence, EvidenceRow, Lost, Stage, group};

/// Months after the planned count from which a trial is silent.
const GRACE_MONTHS: i32 = 3;
/// Weeks to the count where the opening names none: long, so that nobody is called silent early.
const WEEKS_WITHOUT_PLAN: u16 = 52;

/// A trial whose first record had no counts.
#[derive(Clone, Debug)]
pub struct Opened<'a> {
    /// Its label in rows.
    pub trial: String,
    /// As it stands.
    pub summary: &'a Summary,
    /// Signed month of its opening.
    pub signed: Month,
}

/// What became of opened trials at a stage, and the labels of the silent ones; none where nothing was opened.
pub fn silence(
    opened: &[Opened<'_>],
    withdrawn: usize,
    stage: Stage,
    now: Month,
) -> Option<(Silence, BTreeSet<String>)> {
    if opened.is_empty() && withdrawn == 0 {
        return None;
    }
    let mut counts = Silence { opened: opened.len() + withdrawn, withdrawn, ..Silence::default() };
    let mut silent = BTreeSet::new();
    for trial in opened {
        if is_reported(trial.summary, stage) {
            counts.reported += 1;
        } else if last_month(trial, stage) < now {
            counts.silent += 1;
            silent.insert(trial.trial.clone());
        } else {
            counts.pending += 1;
        }
    }
    Some((counts, silent))
}

fn is_reported(summary: &Summary, stage: Stage) -> bool {
    summary.arms.iter().any(|arm| match stage {
        Stage::Lift => arm.stages.lift.is_some(),
        Stage::Spring => arm.stages.spring.is_some(),
        Stage::Final => arm.stages.last.is_some(),
    })
}

/// The last month in which the count of a stage is not overdue.
fn last_month(trial: &Opened<'_>, stage: Stage) -> Month {
    let planned = match stage {
        Stage::Lift => trial.summary.weeks.lift,
        Stage::Spring => trial.summary.weeks.spring,
        Stage::Final => trial.summary.weeks.last,
    };
    let weeks = f64::from(planned.unwrap_or(WEEKS_WITHOUT_PLAN));
    // A month has 365.25 / 12 days.
    let months = (weeks * 7.0 / (365.25 / 12.0)).ceil() as i32;
    trial.signed.plus(months + GRACE_MONTHS)
}

/// Puts beside each method its rate with silent trials as nothing rooted.
pub(super) fn add_as_zero(
    methods: &mut [MethodAnswer],
    evidence: &Evidence,
    request: &PoolRequest,
) -> Result<(), AnswerError> {
    let is_silent = |row: &EvidenceRow| row.pending && request.silent_trials.contains(&row.trial);
    if !evidence.rows.iter().any(is_silent) {
        return Ok(());
    }
    let as_zero = |row: &EvidenceRow| {
        let pending = row.pending && !request.silent_trials.contains(&row.trial);
        EvidenceRow { pending, ..row.clone() }
    };
    let rows: Vec<EvidenceRow> = evidence.rows.iter().map(as_zero).filter(|row| !row.pending).collect();
    for found in group(rows.iter(), &request.grouping, &mut Vec::new()) {
        let Some(method) = methods.iter_mut().find(|method| method.method == found.label) else { continue };
        if found.rows.iter().any(|row| request.silent_trials.contains(&row.trial)) {
            method.silent_as_zero = Some(fit(&found, Lost::AsFailures, request)?);
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evidence::fixtures;

    fn month(text: &str) -> Month {
        text.parse().expect("a month")
    }

    fn summary(weeks: Option<u16>, is_counted: bool) -> Summary {
        let arm = if is_counted { fixtures::lifted(1, 12, 3) } else { fixtures::arm(1, 12) };
        let mut summary = fixtures::summary("Ostrava tarda", 1, vec![arm]);
        summary.weeks.lift = weeks;
        summary
    }

    fn opened<'a>(name: &str, summary: &'a Summary, signed: &str) -> Opened<'a> {
        Opened { trial: name.to_owned(), summary, signed: month(signed) }
    }

    #[test]
    fn a_trial_is_silent_three_months_after_its_planned_count() {
        // 13 weeks are 2.99 months, rounded up to 3: due in 2026-06 + 3, silent after 2026-12.
        let open = summary(Some(13), false);
        let trials = [opened("a", &open, "2026-06")];
        let at = |now: &str| silence(&trials, 0, Stage::Lift, month(now)).expect("one was opened");
        let (counts, names) = at("2026-12");
        assert_eq!((counts.pending, counts.silent, names.len()), (1, 0, 0));
        let (counts, names) = at("2027-01");
        assert_eq!((counts.pending, counts.silent), (0, 1));
        assert!(names.contains("a"));
    }

    #[test]
    fn without_a_plan_nobody_is_called_silent_within_a_year() {
        let open = summary(None, false);
        let trials = [opened("a", &open, "2026-06")];
        let silent = |now: &str| silence(&trials, 0, Stage::Lift, month(now)).expect("opened").0.silent;
        assert_eq!((silent("2027-09"), silent("2027-10")), (0, 1));
    }

    #[test]
    fn reported_and_withdrawn_ones_are_counted_and_nothing_opened_is_nothing_to_say() {
        let (open, done) = (summary(Some(13), false), summary(Some(13), true));
        let trials = [opened("a", &open, "2026-06"), opened("b", &done, "2026-06")];
        let (counts, _) = silence(&trials, 2, Stage::Lift, month("2027-06")).expect("opened");
        assert_eq!(counts, Silence { opened: 4, reported: 1, pending: 0, silent: 1, withdrawn: 2 });
        assert_eq!(silence(&[], 0, Stage::Lift, month("2027-06")), None);
    }
}
