//! Spots: described once, cared for once for everything on them.

use propagule_protocol::Facet;

use super::{Common, already, cautions, entry, facet_names, of_entry, sent_before, text};
use crate::outcome::Outcome;
use crate::outcome::entry::{Cared, EntryCame, EntryOutcome};
use crate::outcome::said::Said;
use crate::outcome::spots::{SpotFacts, SpotSaved, Spots, Stood};
use crate::outcome::take_back::TakeBack;
use crate::{App, Reply};
use propagule_bench::doing::Doing;
use propagule_bench::given::FacetsGiven;
use propagule_bench::locale::Dialect;
use propagule_bench::spot::{Care, OF_SPOT, Spot};
use propagule_bench::{Bench, Event, Trial, What};
use propagule_files::fault::Fault;

/// The spot of that name.
pub(crate) fn find<'a>(bench: &'a Bench, name: &str) -> Result<&'a Spot, Fault> {
    bench.spot(name).ok_or_else(|| {
        let near = propagule_files::closest(name, bench.spots().map(|spot| spot.name.as_str()), 3);
        Fault::user("spot-unknown").with("name", name).near(&near)
    })
}

/// The spot of that name. One that is not described yet and whose name says itself what it is, such as "cold frame", is
/// what it says; it comes back to be kept.
pub(super) fn find_or_understand(
    bench: &Bench,
    name: &str,
    dialect: Dialect,
) -> Result<(String, Option<Spot>), Fault> {
    let unknown = match find(bench, name) {
        Ok(spot) => return Ok((spot.name.clone(), None)),
        Err(fault) => fault,
    };
    let mut given = FacetsGiven::default();
    let is_understood = unknown.near.is_empty() && given.hear(Facet::GrowingPlace, name, dialect).is_ok();
    if !is_understood || crate::place::check_name("spot", name.trim()).is_err() {
        return Err(unknown);
    }
    let mut facets = std::collections::BTreeMap::new();
    given.write_into(&mut facets);
    let name = name.trim().to_owned();
    Ok((name.clone(), Some(Spot { name, facets })))
}

/// Refuses facets that do not belong to what they are given to.
pub(super) fn check_allowed(what: Doing, facets: &FacetsGiven, allowed: &[Facet]) -> Result<(), Fault> {
    let Some((other, _)) = facets.iter().find(|(facet, _)| !allowed.contains(facet)) else { return Ok(()) };
    Err(Fault::user("facet-not-of-this")
        .with("what", what)
        .with("other", other.name())
        .with("names", facet_names(allowed))
        .in_field(format!("facets.{}", other.name())))
}

/// Describes a spot, anew or for the first time.
pub(super) fn set(app: &App, name: &str, given: &FacetsGiven) -> Result<Reply, Fault> {
    let name = name.trim();
    crate::place::check_name("spot", name).map_err(|failure| failure.in_field("name"))?;
    check_allowed(Doing::Spot, given, &OF_SPOT)?;
    let mut bench = app.bench();
    let known = bench.spot(name).cloned();
    let name = known.as_ref().map_or(name, |spot| &spot.name).to_owned();
    let mut facets = known.map(|spot| spot.facets).unwrap_or_default();
    given.write_into(&mut facets);
    let spot = Spot { name, facets };
    bench.record(Event::SpotSet { spot: spot.clone() })?;
    Ok(Reply::done(Outcome::SpotSaved(SpotSaved { spot })))
}

/// Shows the spots with their care and the lots on them.
pub(super) fn show(app: &App, name: Option<&str>) -> Result<Reply, Fault> {
    let bench = app.bench();
    let spots: Vec<&Spot> = match name {
        Some(name) => vec![find(&bench, name)?],
        None => bench.spots().collect(),
    };
    let today = app.clock().today_date();
    let spots = spots.into_iter().map(|spot| facts(&bench, spot, today)).collect();
    Ok(Reply::done(Outcome::Spots(Spots { spots })))
}

fn facts(bench: &Bench, spot: &Spot, today: propagule_protocol::Date) -> SpotFacts {
    let care = bench.care_of(&spot.name).into_iter();
    SpotFacts {
        name: spot.name.clone(),
        facets: spot.facets.clone(),
        today: bench.facets_of_spot(&spot.name, today),
        care: care.map(|span| Said::CareDays(span.into())).collect(),
        lots: lots_on(bench, &spot.name, today),
    }
}

/// Stands lots on a spot from a day on; it is where they stand, and no move of survivors.
pub(super) fn stand(app: &App, name: &str, lots: &[String], common: &Common) -> Result<Reply, Fault> {
    let mut bench = app.bench();
    let spot = find(&bench, name)?.name.clone();
    let all = lots.iter().any(|lot| lot == "all");
    let mut codes: Vec<String> = Vec::new();
    if all {
        let is_open = |trial: &&Trial| !trial.is_planned && bench.season(trial).closed().is_none();
        codes.extend(bench.trials().filter(is_open).map(|trial| trial.code.clone()));
    }
    for lot in lots.iter().filter(|lot| *lot != "all") {
        let trial = super::stuck(&bench, lot).map_err(|failure| failure.in_field("lots"))?;
        super::closing::check_open(&bench, trial).map_err(|failure| failure.in_field("lots"))?;
        codes.push(trial.code.clone());
    }
    let events = codes.iter().map(|code| {
        let arms = bench
            .trial(code)
            .map(|trial| trial.arms.iter().map(|arm| arm.number).collect())
            .unwrap_or_default();
        let what = What::Stood { trial: code.clone(), arms, spot: spot.clone() };
        Event::Entered { entry: entry(what, common.clone()) }
    });
    let events: Vec<Event> = events.collect();
    let numbers = bench.record_each(events)?;
    let stood = Stood { spot, on: common.on, lots: codes, entries: numbers };
    Ok(Reply::done(Outcome::Stood(stood)))
}

/// Trials of which something stands on a spot; one that is closed stands nowhere any more.
pub(super) fn lots_on(bench: &Bench, spot: &str, day: propagule_protocol::Date) -> Vec<String> {
    let stands = |trial: &&Trial| {
        let season = bench.season(trial);
        let is_over = season.closed().is_some_and(|(_, closed)| closed.on.middle() <= day);
        !is_over
            && trial.arms.iter().any(|arm| {
                bench.spot_of(&season, arm.number, day).is_some_and(|on| on.eq_ignore_ascii_case(spot))
            })
    };
    bench.trials().filter(|trial| !trial.is_planned).filter(stands).map(|trial| trial.code.clone()).collect()
}

/// The same with the grower's words as they are kept.
fn tidied(care: &Care) -> Care {
    let kept = |words: &String| text::kept(Some(words)).unwrap_or_default();
    match care {
        Care::Feed { words } => Care::Feed { words: kept(words) },
        Care::Spray { words } => Care::Spray { words: kept(words) },
        Care::Vents { words } => Care::Vents { words: kept(words) },
        Care::Water { words } => Care::Water { words: kept(words) },
        Care::Mist(_) | Care::Light { .. } | Care::Heat { .. } | Care::Ended { .. } => care.clone(),
    }
}

/// Saves care of a spot, for everything that stands on it.
pub(super) fn care(
    app: &App,
    name: &str,
    care: &Care,
    until: Option<propagule_bench::dates::When>,
    common: Common,
) -> Result<Reply, Fault> {
    let mut bench = app.bench();
    if let Some(number) = sent_before(&bench, &common) {
        return Ok(already(number));
    }
    let care = &tidied(care);
    let spot = find(&bench, name)?.name.clone();
    if let Some(until) = until.filter(|until| until.last < common.on.first) {
        return Err(Fault::user("care-ends-before-it-begins")
            .with("until", until)
            .with("on", common.on)
            .in_field("until"));
    }
    if let Care::Ended { what } = care
        && !bench.care_of(&spot).iter().any(|span| span.care.word() == what)
    {
        return Err(Fault::user("care-unknown").with("what", what).with("spot", &spot).in_field("kind"));
    }
    let on = common.on;
    let day = on.middle();
    let what = What::Cared { spot: spot.clone(), care: care.clone(), until };
    let number = bench.record(Event::Entered { entry: entry(what, common) })?;
    let lots = lots_on(&bench, &spot, day);
    let take_back = TakeBack::Care { spot: spot.clone(), entry: number };
    let cautions = cautions::of_care(&bench, care, app.clock().today().year() as u16);
    let care = Said::Care { care: care.clone() };
    let cared = Cared { spot, on, care, lots, cautions, take_back };
    Ok(of_entry(EntryOutcome::saved(number, EntryCame::Cared(cared))))
}

/// The last entry of a spot that stands.
pub(super) fn last_of(bench: &Bench, spot: &str) -> Option<u64> {
    let belongs = |what: &What| match what {
        What::Cared { spot: of, .. } => of.eq_ignore_ascii_case(spot),
        What::Noted { subject } => subject.eq_ignore_ascii_case(spot),
        _ => false,
    };
    bench.entries().filter(|(_, entry)| belongs(&entry.what)).map(|(number, _)| number).max()
}

/// Takes care, or a note, of a spot back; it stays in the journal and in an export.
pub(super) fn take_back(app: &App, name: &str, number: u64) -> Result<Reply, Fault> {
    let mut bench = app.bench();
    let spot = find(&bench, name)?.name.clone();
    let found = bench.entries().find(|(other, _)| *other == number).map(|(_, entry)| entry.what.clone());
    let belongs = match &found {
        Some(What::Cared { spot: of, .. }) => of.eq_ignore_ascii_case(&spot),
        Some(What::Noted { subject }) => subject.eq_ignore_ascii_case(&spot),
        _ => false,
    };
    if !belongs {
        return Err(Fault::user("entry-not-care").with("number", number).with("spot", &spot));
    }
    bench.record(Event::Corrected { target: number, entry: None })?;
    Ok(of_entry(EntryOutcome::saved(number, EntryCame::CareTakenBack { taken_back: true })))
}
