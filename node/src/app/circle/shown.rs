//! The circle as screens show it.

use std::fmt::Write;

use propagule_protocol::AuthorKey;
use propagule_protocol::state::{self, Resolved};
use serde_json::{Value, json};

use super::meant::{name_of, short};
use super::vouching::stands;
use crate::answer::words::counted;
use crate::app::evidence::trust_of;
use crate::app::{App, Reply};
use propagule_bench::KnownGrower;
use propagule_evidence::Whose;
use propagule_files::fault::Fault;

/// Who is in the circle, why, and with what weight; whom this home does not hear.
#[derive(Clone, Debug)]
pub(crate) struct CircleView {
    /// The reader's own key.
    pub(crate) key: AuthorKey,
    /// The nearest first.
    pub(crate) members: Vec<MemberView>,
    /// Growers that are not heard, by what they are called.
    pub(crate) muted: Vec<(AuthorKey, String)>,
}

/// One grower of the circle.
#[derive(Clone, Debug)]
pub(crate) struct MemberView {
    pub(crate) key: AuthorKey,
    /// What the grower is called here, with the beginning of the key.
    pub(crate) name: String,
    pub(crate) weight: f64,
    /// The reader's own vouch stands.
    pub(crate) is_vouched: bool,
    /// The reader trusts the grower at home.
    pub(crate) is_trusted: bool,
    /// From the reader to the grower, by what they are called.
    pub(crate) path: Vec<String>,
}

/// The circle as a screen shows it.
pub(crate) fn view(app: &App) -> Result<CircleView, Fault> {
    let records = app.store.records(&app.store.signer_ids()?)?;
    Ok(view_of(app, &state::resolve(&records)))
}

fn view_of(app: &App, resolved: &Resolved<'_>) -> CircleView {
    let (keys, known) = (app.keys(), app.bench().growers().cloned().collect::<Vec<KnownGrower>>());
    let trust = trust_of(resolved, &keys.current().author(), &keys.public(), &known);
    let circle = trust.circle();
    let called = |key: &AuthorKey| known.iter().find(|grower| resolved.author_of(&grower.key) == *key);
    let name = |key: &AuthorKey| match called(key) {
        _ if circle.is_reader(key) => "you".to_owned(),
        found => found.map_or_else(|| short(key), name_of),
    };
    let member = |key: &AuthorKey| MemberView {
        key: *key,
        name: name(key),
        weight: circle.weight(key, Whose::Circle),
        is_vouched: stands(app, resolved, key),
        is_trusted: called(key).is_some_and(|grower| grower.trusted),
        path: circle.path(key).iter().map(name).collect(),
    };
    let mut members: Vec<MemberView> = circle.members().keys().map(member).collect();
    members.sort_by_key(|member| (member.path.len(), member.key));
    let muted = trust.muted.iter().map(|key| (*key, name(key))).collect();
    CircleView { key: trust.reader, members, muted }
}

/// Who is in the circle, as text and as data.
pub(super) fn show(app: &App, resolved: &Resolved<'_>) -> Reply {
    let (keys, known) = (app.keys(), app.bench().growers().cloned().collect::<Vec<KnownGrower>>());
    let trust = trust_of(resolved, &keys.current().author(), &keys.public(), &known);
    let circle = trust.circle();
    let view = view_of(app, resolved);
    let mut text = format!("Your key, to hand on to growers who trust you:\n{}\n\n", view.key);
    write_members(&mut text, &view.members);
    let muted: Vec<String> = view.muted.into_iter().map(|(_, name)| name).collect();
    if !muted.is_empty() {
        let _ = writeln!(text, "Muted: {}.", muted.join(", "));
    }
    let vouched = |key: &AuthorKey| stands(app, resolved, key);
    let members: Vec<Value> = circle
        .members()
        .iter()
        .map(|(key, member)| {
            json!({
                "grower": key,
                "name": known.iter().find(|grower| grower.key == *key).and_then(|grower| grower.name.clone()),
                "steps": member.steps,
                "received": member.received,
                "weight": member.weight(),
                "vouched": vouched(key),
                "path": circle.path(key),
                "from": member.from.iter().map(|(giver, part)| json!({ "grower": giver, "part": part })).collect::<Vec<_>>(),
            })
        })
        .collect();
    let json = json!({
        "format": "propagule.circle/1",
        "key": trust.reader,
        "members": members,
        "muted": trust.muted,
        "growers": known,
    });
    Reply::report(text, json)
}

fn write_members(text: &mut String, members: &[MemberView]) {
    if members.is_empty() {
        text.push_str(
            "Nobody is in your circle yet, so everybody's results count alike.\nTrust a grower you know, at home: propagule \
             circle trust KEY --as NAME\nor for everybody to see: propagule circle vouch KEY\n",
        );
        return;
    }
    let _ = writeln!(text, "Your circle: {}.", counted(members.len(), "grower", "growers"));
    for MemberView { name, weight, path, .. } in members {
        let _ = writeln!(text, "  {name}  counts {}  by {}", weight_words(*weight), path.join(" > "));
    }
}

/// A weight in words.
fn weight_words(weight: f64) -> String {
    if weight >= 1.0 { "fully".to_owned() } else { format!("{:.0} %", weight * 100.0) }
}
