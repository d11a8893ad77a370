//! What stands in print of a species: arms one by one, and a figure over works where there are enough of them.

mod method;
mod shape;
#[cfg(test)]
mod tests;

use std::collections::{BTreeMap, BTreeSet};

pub use shape::{
    CitedAnswer, EditionAnswer, PrintedAnswer, PrintedMethodAnswer, PrintedPool, PrintedRowAnswer,
    PrintedShow,
};

use crate::AnswerError;
use crate::question::{AskedOfPrint, PoolQuestion};
use method::{Growers, method_answer};
use propagule_evidence::printed::{Edition, PrintedArm, PrintedBeside, PrintedSource, PrintedTrials};
use propagule_evidence::{Evidence, EvidenceRow, LeftOut, WhyLeftOut, group};

/// What is printed of the species asked for, and what growers reported of it.
#[derive(Clone, Copy, Debug)]
pub struct PrintGiven<'a> {
    /// The arms that answer.
    pub beside: &'a PrintedBeside,
    /// Where their works are cited.
    pub trials: &'a PrintedTrials,
    /// The growers' own results, as the growers' answer counts them.
    pub growers: &'a Evidence,
    /// Whether there is no grower's record of the species at all.
    pub no_grower: bool,
}

/// An arm with the row that stands for it in the engines.
struct Printed<'a> {
    arm: &'a PrintedArm,
    row: EvidenceRow,
}

/// The printed arms for a question; `None` where none answers it and none was asked for.
///
/// # Errors
/// [`AnswerError::Fit`] where the model refuses the counts.
pub fn printed(
    given: &PrintGiven<'_>,
    question: &PoolQuestion,
) -> Result<Option<PrintedAnswer>, AnswerError> {
    let printed: Vec<Printed<'_>> =
        given.beside.arms.iter().map(|arm| Printed { arm, row: arm.as_row() }).collect();
    let arm_of: BTreeMap<(&str, &str), &PrintedArm> =
        printed.iter().map(|one| ((one.row.trial.as_str(), one.row.arm.as_str()), one.arm)).collect();
    let mut left_out: Vec<LeftOut> = Vec::new();
    let groups = group(printed.iter().map(|one| &one.row), &question.grouping, &mut left_out);
    if groups.is_empty() && question.printed == AskedOfPrint::NotAsked {
        return Ok(None);
    }
    let growers = Growers::new(given.growers, question);
    let answer = |group| method_answer(group, &arm_of, &growers, (given.trials, question));
    let methods = groups.iter().map(answer).collect::<Result<Vec<_>, AnswerError>>()?;
    let rows = || groups.iter().flat_map(|group| group.rows.iter().copied());
    let not_admitted = left_out.iter().find(|line| line.why == WhyLeftOut::NotAdmitted);
    Ok(Some(PrintedAnswer {
        show: show(question.printed, given.no_grower),
        no_grower: given.no_grower,
        sources: distinct(rows().map(|row| &row.grower)),
        trials: distinct(rows().map(|row| &row.trial)),
        arms: rows().count(),
        counted_as_records: given.beside.counted_as_records,
        not_admitted: not_admitted.map_or(0, |line| line.count),
        cited: cited(&methods, given.trials),
        methods,
        edition: edition(),
        unused: given.trials.unused().to_vec(),
    }))
}

/// Print stands alone where there is nothing else; where there is, it is folded unless asked for.
fn show(asked: AskedOfPrint, no_grower: bool) -> PrintedShow {
    match asked {
        _ if no_grower => PrintedShow::Alone,
        AskedOfPrint::NotAsked => PrintedShow::Folded,
        AskedOfPrint::Beside => PrintedShow::Beside,
        AskedOfPrint::Only => PrintedShow::Alone,
    }
}

fn distinct<'a>(labels: impl Iterator<Item = &'a String>) -> usize {
    labels.collect::<BTreeSet<_>>().len()
}

/// Each work that a row names, once.
fn cited(methods: &[PrintedMethodAnswer], trials: &PrintedTrials) -> Vec<CitedAnswer> {
    let named: BTreeSet<&str> =
        methods.iter().flat_map(|method| &method.rows).map(|row| row.source.as_str()).collect();
    let without_table = |id: &str| PrintedSource {
        id: id.to_owned(),
        citation: id.to_owned(),
        address: None,
        place: None,
        how_read: None,
        rights: None,
        date_read: None,
    };
    let cite = |source: PrintedSource| CitedAnswer {
        year: source.year(),
        source: source.id,
        citation: source.citation,
        address: source.address,
        place: source.place,
        how_read: source.how_read,
        rights: source.rights,
        date_read: source.date_read,
    };
    named
        .into_iter()
        .map(|id| cite(trials.source(id).cloned().unwrap_or_else(|| without_table(id))))
        .collect()
}

fn edition() -> EditionAnswer {
    let Edition { version, date, .. } = Edition::shipped();
    EditionAnswer { version, date: date.to_owned() }
}
