//! The grower's circle: vouches that everybody sees, trust and silence that stay at home.

use std::collections::BTreeSet;
use std::fmt::Write;

use propagule_protocol::record::{Extensions, Head, Vouch};
use propagule_protocol::state::{self, Resolved};
use propagule_protocol::{AuthorKey, Body, RecordId, Signed, sign};
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

use super::evidence::trust_of;
use super::{App, Reply, Report};
use crate::answer::words::counted;
use crate::bench::{Event, KnownGrower};
use crate::error::Failure;
use crate::evidence::Whose;
use crate::store::Arrival;

/// What to do with the circle.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "circle", rename_all = "snake_case")]
pub enum CircleRequest {
    /// Show who is in it, why, and with what weight.
    Show,
    /// Vouch for a grower, for everybody to see.
    Vouch {
        /// Key, its beginning, or a name given before.
        grower: String,
        /// What to call the grower at home.
        name: Option<String>,
        /// The reader knows that it is seen.
        confirmed: bool,
        /// Skip the delay and the other nodes that hide where it came from.
        at_once: bool,
    },
    /// Take a vouch back.
    Unvouch {
        /// Key, its beginning, or a name given before.
        grower: String,
        /// Skip the delay and the other nodes that hide where it came from.
        at_once: bool,
    },
    /// Trust, mute or name a grower at home.
    Keep {
        /// Key, its beginning, or a name given before.
        grower: String,
        /// What changes.
        change: Change,
        /// What to call the grower at home.
        name: Option<String>,
    },
}

/// What changes at home.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Change {
    /// Count the grower as a friend.
    Trust,
    /// No longer.
    Untrust,
    /// Do not hear the grower.
    Mute,
    /// Hear the grower again.
    Unmute,
}

impl CircleRequest {
    /// Whether it may sign a record.
    pub(super) fn publishes(&self) -> bool {
        matches!(self, Self::Vouch { .. } | Self::Unvouch { .. })
    }
}

/// Does what is asked.
pub(super) fn handle(app: &App, request: CircleRequest) -> Result<Reply, Failure> {
    let records = app.store.records(&app.store.signer_ids()?)?;
    let resolved = state::resolve(&records);
    match request {
        CircleRequest::Show => Ok(show(app, &resolved)),
        CircleRequest::Vouch { grower, name, confirmed, at_once } => {
            let signing = Signing { records: &records, resolved: &resolved, at_once };
            vouch(app, signing, &grower, name, confirmed)
        }
        CircleRequest::Unvouch { grower, at_once } => {
            unvouch(app, Signing { records: &records, resolved: &resolved, at_once }, &grower)
        }
        CircleRequest::Keep { grower, change, name } => keep(app, &resolved, &grower, change, name),
    }
}

/// What a new vouch is signed from.
#[derive(Clone, Copy)]
struct Signing<'a> {
    records: &'a [Signed],
    resolved: &'a Resolved<'a>,
    at_once: bool,
}

/// A vouch as it would be and what it takes, or with a yes the signed record.
fn vouch(
    app: &App,
    signing: Signing<'_>,
    text: &str,
    name: Option<String>,
    confirmed: bool,
) -> Result<Reply, Failure> {
    let resolved = signing.resolved;
    super::publish::check_clock(app)?;
    let subject = other_grower(app, resolved, text)?;
    if stands(app, resolved, &subject) {
        remember(app, &subject, None, name)?;
        let text = format!("You vouch for {} already; nothing to do.\n", called(app, &subject));
        return Ok(Reply::report(text, vouch_json(&subject, true, None)));
    }
    if !confirmed {
        let short = short(&subject);
        let text = format!(
            "A vouch is published: everybody can read that your key trusts\n{subject}\nand, if your key is known to be \
             yours, that you know each other. Growers who trust you will count that grower too. Trust that stays at home \
             needs no record: propagule circle trust {short}\n"
        );
        return Ok(Reply::Preview(Report { text, json: vouch_json(&subject, false, None) }));
    }
    let author = resolved.author_of(&app.keys().current().author());
    let id = publish(app, signing, &author, &subject, true)?;
    remember(app, &subject, None, name)?;
    let text = format!(
        "You vouch for {} by record\n{id}\n{}\nTake it back with: propagule circle unvouch {}\n",
        called(app, &subject),
        app.how_it_leaves(signing.at_once),
        short(&subject)
    );
    Ok(Reply::report(text, vouch_json(&subject, true, Some(&id))))
}

fn unvouch(app: &App, signing: Signing<'_>, text: &str) -> Result<Reply, Failure> {
    let resolved = signing.resolved;
    super::publish::check_clock(app)?;
    let subject = other_grower(app, resolved, text)?;
    let own = own_authors(app, resolved);
    let standing: Vec<AuthorKey> = resolved
        .vouches()
        .filter(|pair| own.contains(&pair.author) && pair.subject == subject)
        .map(|pair| pair.author)
        .collect();
    let [others @ .., last] = standing.as_slice() else {
        let why = format!("you do not vouch for {}", called(app, &subject));
        return Err(Failure::expected(why).hint("see whom you vouch for: propagule circle"));
    };
    for author in others {
        publish(app, signing, author, &subject, false)?;
    }
    let id = publish(app, signing, last, &subject, false)?;
    let how = app.how_it_leaves(signing.at_once);
    let text = format!("You no longer vouch for {}, by record\n{id}\n{how}\n", called(app, &subject));
    Ok(Reply::report(text, vouch_json(&subject, false, Some(&id))))
}

fn vouch_json(subject: &AuthorKey, vouches: bool, record: Option<&RecordId>) -> Value {
    json!({ "format": "propagule.vouch/1", "grower": subject, "vouches": vouches, "record": record })
}

/// Whether the reader's vouch for `subject` stands.
fn stands(app: &App, resolved: &Resolved<'_>, subject: &AuthorKey) -> bool {
    let own = own_authors(app, resolved);
    resolved.vouches().any(|pair| own.contains(&pair.author) && pair.subject == *subject)
}

/// Every author that is this home.
fn own_authors(app: &App, resolved: &Resolved<'_>) -> BTreeSet<AuthorKey> {
    app.keys().public().iter().map(|key| resolved.author_of(key)).collect()
}

/// Signs a vouch of one of this home's authors, or its end, above every sequence that it has used for the subject.
fn publish(
    app: &App,
    signing: Signing<'_>,
    author: &AuthorKey,
    subject: &AuthorKey,
    vouches: bool,
) -> Result<RecordId, Failure> {
    let keys = app.keys();
    let Signing { records, resolved, at_once } = signing;
    let used = records.iter().filter_map(|signed| match &signed.body {
        Body::Vouch(vouch) => {
            let same = resolved.author_of(&signed.author) == *author
                && resolved.author_of(&vouch.subject) == *subject;
            same.then_some(vouch.sequence)
        }
        _ => None,
    });
    let sequence = used.max().map_or(Some(0), |last| last.checked_add(1)).ok_or_else(|| {
        Failure::expected(format!(
            "your vouch for {} has changed 256 times, the most there can be",
            short(subject)
        ))
        .hint("keep your trust at home from now on: propagule circle trust")
    })?;
    let body = Vouch {
        head: Head::new(app.clock.month()),
        subject: *subject,
        sequence,
        vouches,
        extensions: Extensions::new(),
    };
    let of_author = keys.public().into_iter().rfind(|key| resolved.author_of(key) == *author);
    let is_current = resolved.author_of(&keys.current().author()) == *author;
    let other = of_author.filter(|_| !is_current).and_then(|key| keys.secret_of(&key));
    let key = other.unwrap_or_else(|| keys.current());
    let signed = sign(&Body::Vouch(body), key, &app.network).map_err(|e| {
        Failure::environment("it could not be signed", e).hint("look at the clock of this computer")
    })?;
    let id = signed.id;
    app.store
        .append(&[Arrival::Accepted { signed: Box::new(signed), own: Some(app.first_stage(at_once)) }])?;
    Ok(id)
}

/// Writes down what changes at home.
fn keep(
    app: &App,
    resolved: &Resolved<'_>,
    text: &str,
    change: Change,
    name: Option<String>,
) -> Result<Reply, Failure> {
    let key = other_grower(app, resolved, text)?;
    let known = remember(app, &key, Some(change), name)?;
    let called = called(app, &key);
    let text = match change {
        Change::Trust => {
            format!("{called} counts as your friend from now on. Nothing is published.\n")
        }
        Change::Untrust if stands(app, resolved, &key) => format!(
            "{called} is no longer trusted at home, but your vouch stands. Take that back too: propagule circle unvouch {}\n",
            short(&key)
        ),
        Change::Untrust => format!("{called} is no longer your friend here. Nothing is published.\n"),
        Change::Mute => {
            format!("{called} is muted: none of their results count here. Nothing is published.\n")
        }
        Change::Unmute => format!("{called} is heard again.\n"),
    };
    Ok(Reply::report(text, json!({ "format": "propagule.grower/1", "grower": known })))
}

/// What this home knows of the grower, after the change; written only where something changes.
fn remember(
    app: &App,
    key: &AuthorKey,
    change: Option<Change>,
    name: Option<String>,
) -> Result<KnownGrower, Failure> {
    if let Some(name) = &name {
        super::place::check_name("a grower", name)?;
    }
    let mut bench = app.bench();
    let before = bench.grower(key);
    let mut known = before.clone();
    match change {
        Some(Change::Trust) => known.trusted = true,
        Some(Change::Untrust) => known.trusted = false,
        Some(Change::Mute) => known.muted = true,
        Some(Change::Unmute) => known.muted = false,
        None => {}
    }
    if let Some(name) = name {
        let taken = bench.growers().find(|other| other.key != *key && same_name(other, &name));
        if let Some(other) = taken {
            return Err(Failure::expected(format!("you call another grower \"{name}\" already"))
                .hint(format!("choose another name; that one is {}", short(&other.key))));
        }
        known.name = Some(name);
    }
    if known != before {
        bench.record(Event::GrowerKnown { grower: known.clone() })?;
    }
    Ok(known)
}

fn same_name(grower: &KnownGrower, name: &str) -> bool {
    grower.name.as_deref().is_some_and(|known| known.eq_ignore_ascii_case(name))
}

/// The grower that is meant: a whole key, a name given before, or the beginning of a key that is known here.
fn other_grower(app: &App, resolved: &Resolved<'_>, text: &str) -> Result<AuthorKey, Failure> {
    let key = find(app, resolved, text)?;
    let key = resolved.author_of(&key);
    if own_authors(app, resolved).contains(&key) {
        return Err(Failure::expected("that key is your own").hint("ask the other grower for theirs"));
    }
    Ok(key)
}

/// Fewest letters of a key that are taken as its beginning.
const LEAST_LETTERS: usize = 6;

fn find(app: &App, resolved: &Resolved<'_>, text: &str) -> Result<AuthorKey, Failure> {
    let text = text.trim();
    if let Ok(key) = text.parse::<AuthorKey>() {
        return Ok(key);
    }
    if let Some(known) = app.bench().growers().find(|grower| same_name(grower, text)) {
        return Ok(known.key);
    }
    let is_beginning = text.len() >= LEAST_LETTERS && text.bytes().all(|byte| byte.is_ascii_hexdigit());
    if !is_beginning {
        let names: Vec<String> = app.bench().growers().filter_map(|grower| grower.name.clone()).collect();
        let near = crate::evidence::closest(text, names.iter().map(String::as_str), 3);
        return Err(Failure::expected(format!("\"{text}\" is no key and no grower you have named"))
            .did_you_mean(&near, "give the 64 letters of their key; they see it with: propagule circle"));
    }
    let begins = text.to_ascii_lowercase();
    let mut found = app.store.authors_beginning(&begins, 3)?;
    let others = resolved.vouches().flat_map(|pair| [pair.author, pair.subject]);
    let at_home = app.bench().growers().map(|grower| grower.key).collect::<Vec<_>>();
    found.extend(others.chain(at_home).filter(|key| key.to_string().starts_with(&begins)));
    found.sort_unstable();
    found.dedup();
    match found.as_slice() {
        [] => Err(Failure::expected(format!("no key that begins with {text} is known here"))
            .hint("give the 64 letters of their key; they see it with: propagule circle")),
        [only] => Ok(*only),
        several => Err(Failure::expected(format!("several keys begin with {text}")).hint(format!(
            "give more letters: {}",
            several.iter().take(3).map(|key| key.to_string()[..16].to_owned()).collect::<Vec<_>>().join(", ")
        ))),
    }
}

/// The first letters of a key.
fn short(key: &AuthorKey) -> String {
    key.to_string()[..8].to_owned()
}

/// What the grower is called here, with the beginning of the key.
fn called(app: &App, key: &AuthorKey) -> String {
    name_of(&app.bench().grower(key))
}

fn name_of(known: &KnownGrower) -> String {
    match &known.name {
        Some(name) => format!("{name} ({})", short(&known.key)),
        None => short(&known.key),
    }
}

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
pub(super) fn view(app: &App) -> Result<CircleView, Failure> {
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
fn show(app: &App, resolved: &Resolved<'_>) -> Reply {
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
