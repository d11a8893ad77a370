//! From the state of a set of records to rows: whose trials stand, and with what weight.

use propagule_protocol::names::Synonyms;
use propagule_protocol::state::{Current, Flags, Resolved};
use propagule_protocol::{Arm, Relation, Summary};

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
    let standing: Vec<(&Current<'_>, Summary)> =
        resolved.current().map(|current| (current, as_counted(current, synonyms))).collect();
    let held: Vec<HeldTrial<'_>> = standing
        .iter()
        .map(|(current, summary)| HeldTrial {
            is_regraft: is_regraft(resolved, current),
            ..held(current, summary, circle, whose)
        })
        .collect();
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
