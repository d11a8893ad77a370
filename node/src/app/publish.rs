//! Publishing: show exactly what leaves and what stays, and with a yes sign it and hand it on.

use std::fmt::Write;
use std::sync::PoisonError;

use propagule_protocol::anonymise::{Item, Publication, anonymise};
use propagule_protocol::place::Place;
use propagule_protocol::{Body, SecretKey, Signed, Summary, limits, sign};
use serde_json::json;

use super::{App, Reply, Report, trial, undo};
use crate::answer::words;
use crate::answer::words::kind::KindWords;
use propagule_bench::Trial;
use propagule_bench::summarise::{NotInRecord, left_out, summarise};
use propagule_files::fault::Fault;
use propagule_network::spread::{Stage, SystemDice};
use propagule_network::store::Arrival;

/// No record was ever signed before this day: a clock before it is wrong.
pub(super) const RELEASED: jiff::civil::Date = jiff::civil::date(2026, 11, 1);

/// Said before a cultivar is published.
const CULTIVAR: &str =
    "a protected cultivar may need a licence to be multiplied; ask its breeder or your authority.";

impl App {
    /// The stage of an own record that is published now.
    pub(super) fn first_stage(&self, at_once: bool) -> Stage {
        Stage::begin(at_once, self.clock.moment(), &self.config.timing(), &mut SystemDice)
    }

    /// How an own record leaves, in words.
    pub(super) fn how_it_leaves(&self, at_once: bool) -> String {
        let is_running = self.net.get().is_some();
        match (at_once, is_running) {
            (true, true) => "It goes to connected peers now, and to others as they come.".to_owned(),
            (true, false) => {
                "It waits in the outbox until the node runs and meets a peer: propagule serve".to_owned()
            }
            (false, _) => {
                let within = words::how_long(self.config.timing().publish_delay);
                let running = if is_running { "" } else { " while the node runs (propagule serve)" };
                format!(
                    "It leaves by itself at a random time within {within}{running}, by way of other nodes; until \
                     it has come round only your own answers show it."
                )
            }
        }
    }

    /// The revision of a trial that stands on the network.
    pub(super) fn published(&self, trial: &Trial) -> Result<Option<u8>, Fault> {
        let Some(series) = trial.series_bytes() else { return Ok(None) };
        Ok(self.standing_revision(&series)?.map(|standing| standing.revision))
    }

    /// What publishing `trial` now would sign.
    pub(super) fn publication(
        &self,
        trial: &Trial,
        place: &Place,
        revision: u8,
    ) -> Result<Publication, Fault> {
        let private = summarise(trial, revision)
            .map_err(|e| Fault::user("trial-not-in-schema").with("trial", &trial.code).with("e", &e))?;
        anonymise(&private, place, self.clock.month())
            .map_err(|e| Fault::user("trial-unpublishable").with("trial", &trial.code).with("e", &e))
    }

    /// The place of a trial: its own, or the only one there is.
    pub(super) fn place_of(&self, trial: &Trial) -> Result<Place, Fault> {
        let bench = self.bench();
        if let Some(name) = &trial.place {
            return bench.place(name).cloned().ok_or_else(|| {
                Fault::user("place-not-described").with("trial", &trial.code).with("name", name)
            });
        }
        let mut places = bench.places();
        match (places.next(), places.next()) {
            (Some((_, place)), None) => Ok(place.clone()),
            (None, _) => Err(Fault::user("place-missing")),
            _ => Err(Fault::user("place-ambiguous").with("trial", &trial.code)),
        }
    }
}

/// Shows what would leave, or with a yes signs and keeps it for the network.
pub(super) fn publish(app: &App, code: &str, confirmed: bool, at_once: bool) -> Result<Reply, Fault> {
    check_clock(app)?;
    let _turn = app.publishing.lock().unwrap_or_else(PoisonError::into_inner);
    let trial = {
        let bench = app.bench();
        let trial = trial::find(bench.trial(code), code, bench.trials())?;
        check_put_in(trial)?;
        super::bench::private::check_may_leave(&bench, trial)?;
        bench.as_it_stands(trial)
    };
    if let Some(series) = trial.series_bytes()
        && app.is_withdrawn(&series)?
    {
        return Err(Fault::user("trial-withdrawn").with("code", code));
    }
    let place = app.place_of(&trial)?;
    if let Some(standing) = standing(app, &trial)?
        && let last = standing.revision
        && says_the_same(&standing, &app.publication(&trial, &place, last)?.summary)
    {
        if confirmed && at_once && hurry(app, &trial)? {
            let text = format!("Trial \"{code}\" waited to leave; it leaves at once now.\n");
            let json = json!({ "format": "propagule.publish/1", "trial": code, "published": false,
                "revision": last, "at_once": true });
            return Ok(Reply::report(text, json));
        }
        return Ok(Reply::report(
            format!("Trial \"{code}\" is published as it stands (revision {last}); nothing to do.\n"),
            json!({ "format": "propagule.publish/1", "trial": code, "published": false, "revision": last }),
        ));
    }
    let signer = app.signer_of(code, &trial.series_bytes().unwrap_or_default())?;
    let publication = app.publication(&trial, &place, revision_number(code, signer.revision)?)?;
    if confirmed {
        send(app, code, &publication, &signer.key, at_once)
    } else {
        Ok(Reply::Preview(preview(&trial, &publication, &left_out(&trial))))
    }
}

fn revision_number(code: &str, next: usize) -> Result<u8, Fault> {
    u8::try_from(next)
        .ok()
        .filter(|number| *number <= limits::REVISION_MAX)
        .ok_or_else(|| Fault::user("revisions-used-up").with("code", code).with("next", next))
}

fn check_put_in(trial: &Trial) -> Result<(), Fault> {
    if !trial.is_planned {
        return Ok(());
    }
    Err(Fault::user("trial-not-started-to-publish").with("trial", &trial.code))
}

pub(super) fn check_clock(app: &App) -> Result<(), Fault> {
    let today = app.clock.today();
    if today >= RELEASED {
        return Ok(());
    }
    Err(Fault::usage("clock-before-release").with("today", today).with("released", RELEASED))
}

/// What others can see of a trial: the revision that stands.
pub(super) fn standing(app: &App, trial: &Trial) -> Result<Option<Summary>, Fault> {
    let Some(series) = trial.series_bytes() else { return Ok(None) };
    let Some(standing) = app.standing_revision(&series)? else { return Ok(None) };
    Ok(app.store.record(&standing.id)?.and_then(|signed| signed.body.summary().cloned()))
}

/// Opens the revision that stands when it still waits to leave; says whether it did.
fn hurry(app: &App, trial: &Trial) -> Result<bool, Fault> {
    let Some(series) = trial.series_bytes() else { return Ok(false) };
    let Some(standing) = app.standing_revision(&series)? else { return Ok(false) };
    let waiting = app.store.outbox()?;
    let is_hidden = waiting.iter().any(|(id, stage)| *id == standing.id && stage.is_hidden());
    if is_hidden {
        app.store.note_stage(&standing.id, Stage::Open)?;
    }
    Ok(is_hidden)
}

/// Whether two summaries differ only in when they were signed and which revision they are.
fn says_the_same(one: &Summary, other: &Summary) -> bool {
    let plain = |summary: &Summary| Summary { head: one.head, revision: 0, ..summary.clone() };
    plain(one) == plain(other)
}

fn send(
    app: &App,
    code: &str,
    publication: &Publication,
    key: &SecretKey,
    at_once: bool,
) -> Result<Reply, Fault> {
    let revision = publication.summary.revision;
    let body = Body::Summary(publication.summary.clone());
    let signed: Signed = sign(&body, key, &app.network)
        .map_err(|e| Fault::environment("trial-not-signed").with("code", code).because(e))?;
    let id = signed.id;
    let is_first = app.store.summaries_signed_by(&key.author())?.is_empty();
    let own = Some(app.first_stage(at_once));
    app.store.append(&[Arrival::Accepted { signed: Box::new(signed), own }])?;
    let how = app.how_it_leaves(at_once);
    let offer = if is_first { super::key::SHEET_OFFER } else { "" };
    Ok(Reply::report(
        format!(
            "Published trial \"{code}\", revision {revision}, as record\n{id}\n{how}\n{}{offer}",
            undo::by(&["withdraw", code, "--reason", "mistaken"])
        ),
        json!({
            "format": "propagule.publish/1", "trial": code, "published": true, "revision": revision, "record": id,
            "first_under_this_key": is_first, "at_once": at_once,
        }),
    ))
}

fn preview(trial: &Trial, publication: &Publication, left_out: &[NotInRecord]) -> Report {
    let (code, said) = (&trial.code, KindWords::of_trial(trial));
    let left_out: Vec<String> =
        left_out.iter().map(|one| words::published::not_in_record(one, &said)).collect();
    let mut text = format!(
        "Trial \"{code}\", revision {}. This leaves your machine, signed:\n",
        publication.summary.revision
    );
    write_items(&mut text, &publication.leaves, &said);
    text.push_str("\nThis stays at home:\n");
    write_items(&mut text, &publication.stays, &said);
    if !left_out.is_empty() {
        text.push_str("\nThis has no room in a record:\n");
        for what in &left_out {
            let _ = writeln!(text, "  {what}");
        }
    }
    text.push_str(
        "\nThe record is pseudonymous, not anonymous: your key links all your records, and if you also show \
         this trial publicly, its counts and months link the key to your name (propagule key rotate --fresh starts a key that nothing \
         links to it). What is published cannot be \
         called back from everybody. It leaves at a random time and by way of other nodes, so that it is hard to \
         tell where it came from; --now skips both, and peers that watch closely can then guess it.\n",
    );
    let caution = publication.summary.taxon.cultivar.is_some().then_some(CULTIVAR);
    if let Some(caution) = caution {
        let _ = writeln!(text, "Caution: {caution}");
    }
    let list = |items: &[Item]| -> Vec<_> {
        let (field, value) = (words::published::field, words::published::value);
        let words = |item: &Item| json!([field(&item.what, &said), value(&item.value, &said)]);
        items
            .iter()
            .map(|item| json!({ "what": item.what, "value": item.value, "words": words(item) }))
            .collect()
    };
    let json = json!({
        "format": "propagule.publish/1",
        "trial": code,
        "published": false,
        "revision": publication.summary.revision,
        "leaves": list(&publication.leaves),
        "stays": list(&publication.stays),
        "has_no_room": left_out,
        "cautions": caution.into_iter().collect::<Vec<_>>(),
    });
    Report { text, json }
}

fn write_items(text: &mut String, items: &[Item], said: &KindWords) {
    let items: Vec<(String, String)> = items
        .iter()
        .map(|item| (words::published::field(&item.what, said), words::published::value(&item.value, said)))
        .collect();
    let width = items.iter().map(|(what, _)| what.chars().count()).max().unwrap_or(0);
    for (what, value) in items {
        let _ = writeln!(text, "  {what:width$}  {value}");
    }
}
