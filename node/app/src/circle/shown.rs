//! The circle as screens show it.

use propagule_protocol::AuthorKey;
use propagule_protocol::state::{self, Resolved};

use super::vouching::stands;
use crate::App;
use crate::evidence::trust_of;
use crate::outcome::circle::{Called, Circle, Flow, Member};
use propagule_bench::KnownGrower;
use propagule_files::fault::Fault;

/// The circle as it now stands.
pub(crate) fn circle(app: &App) -> Result<Circle, Fault> {
    let records = app.store.records(&app.store.signer_ids()?)?;
    Ok(of(app, &state::resolve(&records)))
}

/// The circle by these records.
pub(super) fn of(app: &App, resolved: &Resolved<'_>) -> Circle {
    let (keys, growers) = (app.keys(), app.bench().growers().cloned().collect::<Vec<KnownGrower>>());
    let trust = trust_of(resolved, &keys.current().author(), &keys.public(), &growers);
    let circle = trust.circle();
    let known = |key: &AuthorKey| growers.iter().find(|grower| resolved.author_of(&grower.key) == *key);
    let called = |key: &AuthorKey| Called {
        is_reader: circle.is_reader(key),
        ..known(key).map_or(Called { key: *key, name: None, is_reader: false }, Called::from)
    };
    let member = |(key, member): (&AuthorKey, &propagule_evidence::Member)| {
        let path = circle.path(key);
        Member {
            grower: *key,
            name: growers.iter().find(|grower| grower.key == *key).and_then(|grower| grower.name.clone()),
            steps: member.steps,
            received: member.received,
            weight: member.weight(),
            vouched: stands(app, resolved, key),
            trusted: known(key).is_some_and(|grower| grower.trusted),
            path_growers: path.iter().map(called).collect(),
            path,
            called: called(key),
            from: member.from.iter().map(|(grower, part)| Flow { grower: *grower, part: *part }).collect(),
        }
    };
    Circle {
        key: trust.reader,
        members: circle.members().iter().map(member).collect(),
        muted: trust.muted.iter().copied().collect(),
        muted_growers: trust.muted.iter().map(called).collect(),
        growers,
    }
}
