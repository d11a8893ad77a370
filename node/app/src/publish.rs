//! Publishing: show exactly what leaves and what stays, and with a yes sign it and hand it on.

use std::sync::PoisonError;

use propagule_protocol::anonymise::{Item, Publication, anonymise};
use propagule_protocol::place::Place;
use propagule_protocol::{Body, SecretKey, Signed, Summary, limits, sign};

use super::cautions::Hazard;
use super::outcome::Outcome;
use super::outcome::publish::{Departure, Publish, PublishPreview, PublishStep, RecordItem};
use super::outcome::said::Said;
use super::signing_day::check_clock;
use super::{App, Reply, trial};
use propagule_bench::Trial;
use propagule_bench::summarise::{left_out, summarise};
use propagule_files::fault::Fault;
use propagule_network::net::GuardFile;
use propagule_network::spread::{Stage, SystemDice};
use propagule_network::store::Arrival;

impl App {
    /// The stage of an own record that is published now.
    pub(super) fn first_stage(&self, at_once: bool) -> Stage {
        Stage::begin(at_once, self.clock.moment(), &self.config.timing(), &mut SystemDice)
    }

    /// How an own record leaves.
    pub(super) fn departure(&self, at_once: bool) -> Departure {
        let is_running = self.net.get().is_some();
        match (at_once, is_running) {
            (true, true) => Departure::Now,
            (true, false) => Departure::OnceServed,
            (false, _) => {
                let within = self.config.timing().publish_delay.as_millis();
                let within_ms = u64::try_from(within).unwrap_or(u64::MAX);
                Departure::Delayed { within_ms, is_running, wait_days: self.days_without_guard() }
            }
        }
    }

    /// Days until an own record can leave, where no peer has been met on enough days to be a guard.
    fn days_without_guard(&self) -> Option<u32> {
        // A damaged file is named by `serve`, without which nothing leaves.
        let file = GuardFile::open(&self.home.guards()).ok()?;
        let now = self.clock.moment();
        let ready = file.read().ready_at(now, &self.config.timing());
        Some(ready.day() - now.day()).filter(|days| *days > 0)
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
        trial::check_may_leave(&bench, trial)?;
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
        let step = if confirmed && at_once && hurry(app, &trial)? {
            PublishStep::Hurried { at_once: true }
        } else {
            PublishStep::Stands
        };
        return Ok(Reply::done(outcome(code, last, step)));
    }
    let signer = app.signer_of(code, &trial.series_bytes().unwrap_or_default())?;
    let publication = app.publication(&trial, &place, revision_number(code, signer.revision)?)?;
    if confirmed {
        send(app, code, &publication, &signer.key, at_once)
    } else {
        let step = PublishStep::Preview(preview(&trial, &publication));
        Ok(Reply::proposed(outcome(code, publication.summary.revision, step)))
    }
}

fn outcome(code: &str, revision: u8, step: PublishStep) -> Outcome {
    let published = matches!(step, PublishStep::Published { .. });
    Outcome::Publish(Publish { trial: code.to_owned(), published, revision, step })
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
    let first_under_this_key = app.store.summaries_signed_by(&key.author())?.is_empty();
    let own = Some(app.first_stage(at_once));
    app.store.append(&[Arrival::Accepted { signed: Box::new(signed), own }])?;
    let departure = app.departure(at_once);
    let step = PublishStep::Published { record: id, first_under_this_key, at_once, departure };
    Ok(Reply::done(outcome(code, revision, step)))
}

fn preview(trial: &Trial, publication: &Publication) -> PublishPreview {
    let kind = trial.kind();
    let items = |items: &[Item]| items.iter().map(|item| RecordItem::of(item, kind)).collect();
    let is_cultivar = publication.summary.taxon.cultivar.is_some();
    PublishPreview {
        leaves: items(&publication.leaves),
        stays: items(&publication.stays),
        has_no_room: PublishPreview::no_room(left_out(trial), kind),
        cautions: is_cultivar
            .then_some(Said::Hazard { id: Hazard::Rights.id().to_owned() })
            .into_iter()
            .collect(),
    }
}
