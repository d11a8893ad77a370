//! Which cautions are shown, and which a grower has hidden for this season.

use propagule_protocol::Taxon;
use propagule_protocol::names;

use crate::cautions::{self, Hazard};
use crate::outcome::Outcome;
use crate::outcome::new_trial::CautionFacts;
use crate::outcome::said::Said;
use crate::outcome::spots::{CautionHidden, CautionKnown, CautionsKnown};
use crate::{App, Reply};
use propagule_bench::spot::Care;
use propagule_bench::{Bench, Event, Trial};
use propagule_files::fault::Fault;

/// Hazards of the methods of a trial on its plant, those hidden left out.
pub(super) fn of_trial(bench: &Bench, trial: &Trial, season: u16) -> Vec<CautionFacts> {
    let taxon = Taxon::parse(&trial.species).unwrap_or_default();
    let facets = trial.arms.iter().filter_map(|arm| propagule_bench::spot::checked(&arm.facets).ok());
    let hazards = facets.flat_map(|facets| cautions::for_method(&taxon, &facets));
    let shown = shown(bench, cautions::each_once(hazards), season);
    shown.map(|hazard| CautionFacts { id: hazard.id().to_owned(), line: said(hazard) }).collect()
}

/// What to mind with care, those hidden left out.
pub(super) fn of_care(bench: &Bench, care: &Care, season: u16) -> Vec<String> {
    let hazards = cautions::for_spot(
        matches!(care, Care::Mist(_)),
        matches!(care, Care::Heat { .. }),
        matches!(care, Care::Spray { .. }),
    );
    shown(bench, hazards, season).map(|hazard| hazard.id().to_owned()).collect()
}

/// What to mind where plants leave, those hidden left out.
pub(super) fn of_leaving(bench: &Bench, trial: &Trial, season: u16) -> Vec<String> {
    let taxon = Taxon::parse(&trial.species).unwrap_or_default();
    let spreads = cautions::for_plant(&taxon).into_iter().filter(|hazard| *hazard == Hazard::Invasive);
    let hazards = spreads.chain([Hazard::Sending]).collect();
    shown(bench, hazards, season).map(|hazard| hazard.id().to_owned()).collect()
}

fn shown(bench: &Bench, hazards: Vec<Hazard>, season: u16) -> impl Iterator<Item = Hazard> + '_ {
    hazards.into_iter().filter(move |hazard| !is_hidden(bench, *hazard, season))
}

/// Hidden under its name, or under the one that it had before.
fn is_hidden(bench: &Bench, hazard: Hazard, season: u16) -> bool {
    let former = hazard.former_ids().iter().copied();
    former.chain([hazard.id()]).any(|id| bench.is_dismissed(id, season))
}

fn said(hazard: Hazard) -> Said {
    Said::Hazard { id: hazard.id().to_owned() }
}

/// Shows every caution, and which are hidden.
pub(super) fn all(app: &App) -> Reply {
    let season = app.clock().today().year() as u16;
    let bench = app.bench();
    let known = Hazard::ALL.into_iter().map(|hazard| CautionKnown {
        id: hazard.id().to_owned(),
        line: said(hazard),
        source: Said::HazardSource { id: hazard.id().to_owned() },
        plants: plants(hazard),
        hidden_for: is_hidden(&bench, hazard, season).then_some(season),
    });
    Reply::done(Outcome::Cautions(CautionsKnown { cautions: known.collect() }))
}

/// Names of the cautions that are hidden for this season.
pub(crate) fn hidden(app: &App) -> Vec<String> {
    let season = app.clock().today().year() as u16;
    let bench = app.bench();
    let hidden = Hazard::ALL.into_iter().filter(|hazard| is_hidden(&bench, *hazard, season));
    hidden.map(|hazard| hazard.id().to_owned()).collect()
}

/// Genera and species that are known for a hazard of their sap or parts.
fn plants(hazard: Hazard) -> Vec<String> {
    let of_it = names::hazardous().iter().filter(|plant| Hazard::from(plant.hazard) == hazard);
    of_it.map(|plant| plant.name.to_owned()).collect()
}

/// Hides a caution for the rest of this season.
pub(super) fn dismiss(app: &App, caution: &str) -> Result<Reply, Fault> {
    let hazard = Hazard::of_id(caution).ok_or_else(|| {
        let ids = Hazard::ALL.map(Hazard::id);
        let near = propagule_files::closest(caution, ids, 3);
        Fault::user("caution-unknown").with("caution", caution).with("ids", ids.join(", ")).near(&near)
    })?;
    let season = app.clock().today().year() as u16;
    let caution = hazard.id().to_owned();
    app.bench().record(Event::CautionDismissed { caution: caution.clone(), season })?;
    Ok(Reply::done(Outcome::CautionHidden(CautionHidden { caution, hidden_for: season })))
}
