//! From the state of a set of records to rows: whose trials stand, and with what weight.

use std::collections::BTreeMap;

use propagule_protocol::names::Synonyms;
use propagule_protocol::state::{Current, Flags, Resolved};
use propagule_protocol::{Arm, Relation, Summary, Taxon};

use super::{HeldTrial, RecordOptions, from_records};
use crate::circle::{Circle, Whose};
use crate::row::Evidence;

/// Rows of the growers that `whose` names, from the state of a set of records.
pub fn from_set(
    resolved: &Resolved<'_>,
    circle: &Circle,
    whose: Whose,
    options: &RecordOptions,
    synonyms: &Synonyms,
) -> Evidence {
    let standing = standing(resolved, synonyms);
    let held = all_held(&standing, resolved, circle, whose);
    let mut evidence = from_records(&held, options);
    let withdrawn = resolved.withdrawn().filter_map(|withdrawn| withdrawn.was.as_ref());
    let of_species = |was: &&Current<'_>| {
        synonyms.accepted_key(&was.summary.taxon.species_key()) == options.taxon.species_key()
    };
    let asked_for = |was: &&Current<'_>| circle.weight(&was.author, whose) > 0.0;
    let taken_back = withdrawn.filter(of_species).filter(asked_for).filter(|was| was.opened).count();
    if taken_back > 0 {
        evidence.silence.get_or_insert_default().add_withdrawn(taken_back);
    }
    evidence
}

/// Rows of every species by its key, from the state of a set of records; the taxon of `options` is not looked at.
pub fn every_species_from_set(
    resolved: &Resolved<'_>,
    circle: &Circle,
    whose: Whose,
    options: &RecordOptions,
    synonyms: &Synonyms,
) -> BTreeMap<String, Evidence> {
    let standing = standing(resolved, synonyms);
    let mut species: BTreeMap<String, Vec<HeldTrial<'_>>> = BTreeMap::new();
    for trial in all_held(&standing, resolved, circle, whose) {
        species.entry(trial.summary.taxon.species_key()).or_default().push(trial);
    }
    let rows = |(key, held): (String, Vec<HeldTrial<'_>>)| {
        let taxon = Taxon { cultivar: None, ..held[0].summary.taxon.clone() };
        (key, from_records(&held, &RecordOptions { taxon, ..options.clone() }))
    };
    species.into_iter().map(rows).collect()
}

fn standing<'a>(resolved: &'a Resolved<'a>, synonyms: &Synonyms) -> Vec<(&'a Current<'a>, Summary)> {
    resolved.current().map(|current| (current, as_counted(current, synonyms))).collect()
}

fn all_held<'a>(
    standing: &'a [(&Current<'_>, Summary)],
    resolved: &Resolved<'_>,
    circle: &Circle,
    whose: Whose,
) -> Vec<HeldTrial<'a>> {
    let held = |(current, summary): &'a (&Current<'_>, Summary)| HeldTrial {
        is_regraft: is_regraft(resolved, current),
        ..held(current, summary, circle, whose)
    };
    standing.iter().map(held).collect()
}

/// Whether a trial works the stocks of another again: one of the same author and grower, which stands.
fn is_regraft<'a>(resolved: &Resolved<'a>, current: &Current<'a>) -> bool {
    resolved.parent_of(current).is_some_and(|(_, relation)| relation == Relation::Regraft)
}

fn held<'a>(current: &Current<'_>, summary: &'a Summary, circle: &Circle, whose: Whose) -> HeldTrial<'a> {
    let own = circle.is_reader(&current.author);
    HeldTrial {
        author: current.author,
        summary,
        own,
        trusts_marks: circle.holds(&current.author),
        weight: circle.weight(&current.author, whose),
        muted: circle.is_muted(&current.author),
        equivocated: current.flags.has(Flags::EQUIVOCATED),
        shrunk: current.flags.has(Flags::SHRUNK) || current.flags.has(Flags::ARM_VANISHED),
        opened_early: current.was_opened_first(),
        opened: current.opened.then_some(current.first_signed),
        is_regraft: false,
    }
}

/// The standing summary with the arms of all revisions, each with the largest number ever started, under the name that
/// the reader takes its species for.
fn as_counted(current: &Current<'_>, synonyms: &Synonyms) -> Summary {
    let arms = current.arms.iter().map(|now| Arm { started: now.started, ..now.arm.clone() }).collect();
    Summary { arms, taxon: synonyms.accepted(&current.summary.taxon), ..current.summary.clone() }
}
