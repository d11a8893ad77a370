//! JSON view of the state of a set of records.

use propagule_protocol::state::{Current, Flags, Resolved};
use serde_json::{Value as Json, json};

use super::view::hex;

const FLAGS: [(Flags, &str); 6] = [
    (Flags::SHRUNK, "shrunk"),
    (Flags::ARM_VANISHED, "arm vanished"),
    (Flags::STAGE_DROPPED, "stage dropped"),
    (Flags::EQUIVOCATED, "two records at one revision"),
    (Flags::ROTATED_TWICE, "rotated twice"),
    (Flags::KEY_REVOKED, "key revoked"),
];

pub fn stands(resolved: &Resolved<'_>) -> Json {
    let withdrawn = resolved.withdrawn().map(|withdrawn| {
        json!({
            "author": withdrawn.author, "series": hex(&withdrawn.series), "reason": withdrawn.reason.0,
            "was": withdrawn.was.as_ref().map(|was| was.id),
        })
    });
    let vouches = resolved.vouches().map(|pair| json!({ "author": pair.author, "subject": pair.subject }));
    json!({
        "trials": resolved.current().map(|current| with_parent(resolved, current)).collect::<Vec<_>>(),
        "withdrawn": withdrawn.collect::<Vec<_>>(),
        "revoked": resolved.revoked().map(trial).collect::<Vec<_>>(),
        "vouches": vouches.collect::<Vec<_>>(),
        "surplus": resolved.surplus(),
    })
}

/// A trial, with the one that it follows where there is one.
fn with_parent<'a>(resolved: &Resolved<'a>, current: &Current<'a>) -> Json {
    let mut json = trial(current);
    if let Some((parent, relation)) = resolved.parent_of(current) {
        json["parent"] = json!({ "series": hex(&parent.series), "relation": relation.word() });
    }
    json
}

fn trial(trial: &Current<'_>) -> Json {
    let flags = FLAGS.iter().filter(|(flag, _)| trial.flags.has(*flag)).map(|(_, word)| *word);
    let arms = trial
        .arms
        .iter()
        .map(|now| json!({ "number": now.arm.number, "started": now.started, "vanished": now.vanished }));
    json!({
        "author": trial.author, "signer": trial.signer, "series": hex(&trial.series), "id": trial.id,
        "revision": trial.summary.revision, "flags": flags.collect::<Vec<_>>(), "arms": arms.collect::<Vec<_>>(),
        "opened_first": trial.was_opened_first(),
    })
}
