//! The evidence that this home holds on a species.

use std::collections::BTreeSet;

use propagule_protocol::state::{self, Current, Flags};
use propagule_protocol::{Arm, Signed, Summary, Taxon, names};

use super::App;
use crate::answer::pool::{Opened, Silence, silence};
use crate::error::Failure;
use crate::evidence::{Evidence, HeldTrial, RecordOptions, from_records, trial_label};

/// A plant name as asked for, parsed; with "did you mean" where it does not parse.
pub(super) fn parse_species(text: &str) -> Result<Taxon, Failure> {
    Taxon::parse(text).map_err(|error| {
        let failure = Failure::expected(error.to_string());
        match error.suggestions() {
            [] => failure.hint("write genus and species, such as: propagule pool \"Morus nigra\""),
            some => failure.hint(format!("did you mean {}?", some.join(", "))),
        }
    })
}

/// What the records held say of a species.
pub(super) struct Gathered {
    /// Rows that count.
    pub(super) evidence: Evidence,
    /// The newest signed month.
    pub(super) data_until: Option<String>,
    /// What became of opened trials, and the silent ones.
    pub(super) silence: Option<(Silence, BTreeSet<String>)>,
}

/// Rows of the species that `options` ask for, with records of the network as they stand now.
pub(super) fn gather(app: &App, options: &RecordOptions) -> Result<Gathered, Failure> {
    let species = options.taxon.species_key();
    let records = app.store.evidence_of(&species)?;
    let resolved = state::resolve(&records);
    let own = app.author.author();
    let standing: Vec<(&Current<'_>, Summary)> =
        resolved.current().map(|current| (current, with_every_arm(current))).collect();
    let held: Vec<HeldTrial<'_>> = standing
        .iter()
        .map(|(current, summary)| HeldTrial {
            author: current.author,
            summary,
            own: current.author == own,
            trusts_marks: current.author == own,
            weight: 1.0,
            equivocated: current.flags.has(Flags::EQUIVOCATED),
            shrunk: current.flags.has(Flags::SHRUNK) || current.flags.has(Flags::ARM_VANISHED),
            opened_early: current.was_opened_first(),
        })
        .collect();
    let opened = |current: &Current<'_>| current.opened && current.summary.taxon.species_key() == species;
    let withdrawn = resolved.withdrawn().filter(|gone| gone.was.as_ref().is_some_and(&opened)).count();
    let trials: Vec<Opened<'_>> = resolved
        .current()
        .filter(|current| opened(current))
        .map(|current| Opened {
            trial: trial_label(&current.author, &current.series),
            summary: current.summary,
            signed: current.first_signed,
        })
        .collect();
    Ok(Gathered {
        evidence: from_records(&held, options),
        data_until: data_until(&records),
        silence: silence(&trials, withdrawn, options.question.stage, app.clock.month()),
    })
}

/// The standing summary with the arms of all revisions, each with the largest number ever started.
fn with_every_arm(current: &Current<'_>) -> Summary {
    let arms = current.arms.iter().map(|now| Arm { started: now.started, ..now.arm.clone() }).collect();
    Summary { arms, ..current.summary.clone() }
}

/// The newest signed month among the records.
fn data_until(records: &[Signed]) -> Option<String> {
    records.iter().map(|signed| signed.body.head().signed).max().map(|month| month.to_string())
}

/// A failure for a species of which this home holds nothing, with names that were perhaps meant.
pub(super) fn nothing_held(app: &App, taxon: &Taxon) -> Failure {
    let failure = Failure::expected(format!("this node holds no record of {taxon}"));
    let name = taxon.to_string();
    // A name of the list is not misspelt; there is just nothing about it here.
    let near = if names::lookup(&name).is_empty() { names::suggest(&name) } else { Vec::new() };
    if !near.is_empty() {
        return failure.hint(format!("did you mean {}?", near.join(", ")));
    }
    let held = app.store.count();
    let hint = if held == 0 {
        "this node holds no record at all yet: run it with a peer (propagule peers add ADDRESS, then propagule serve), or read a bundle (propagule bundle in FILE)".to_owned()
    } else {
        format!(
            "it holds {held} records of other species; publish your own trial, or exchange with more growers"
        )
    };
    failure.hint(hint)
}
