//! They are stuck, grafted or sown: day, numbers and bench.

use axum::Router;
use axum::extract::Path;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};

use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::form;
use crate::web::form::{Bad, Form, token};
use crate::web::guard::SessionKind;
use crate::web::link;
use crate::web::problem::{Turned, of_another_kind};
use crate::web::shell;
use crate::web::visit::{Visit, go};
use propagule_app::outcome::Outcome;
use propagule_app::viewed;
use propagule_app::viewed::PlaceView;
use propagule_app::{BenchRequest, PutIn, Reply, Request, Stick};
use propagule_bench::StartedKnown;
use propagule_bench::dates::When;
use propagule_bench::typed::place;
use propagule_files::fault::Fault;
use propagule_present::kind::KindWords;
use propagule_present::outcome as present;
use propagule_present::words::forms::DAY;
use propagule_present::words::rooms::RoomPage;
use propagule_present::words::tasks::sticking as words;

/// Places that get a field of their own.
const FIELDS: usize = 40;

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/bench/trial/{code}/stick", get(show).post(save))
}

async fn show(visit: Visit, Path(code): Path<String>) -> Result<Response, Turned> {
    page(&visit, code, &Fields::default(), None).await
}

async fn page(visit: &Visit, code: String, fields: &Fields, bad: Option<&Bad>) -> Result<Response, Turned> {
    let (view, names) = visit.view(move |app| Ok((viewed::trial(app, &code)?, viewed::names(app)))).await?;
    let trial = &view.trial;
    if !trial.is_planned {
        return Err(Fault::user("page-trial-started-already")
            .with("trial", &trial.code)
            .with("started_on", trial.started_on)
            .into());
    }
    let form = Form::new(fields, bad);
    let spots: Vec<(&str, &str)> = std::iter::once(("", words::AS_PLANNED))
        .chain(names.spots.iter().map(|name| (name.as_str(), name.as_str())))
        .collect();
    let chosen = words::leave_it(names.opens);
    let opening = [("", chosen), ("open", words::ANNOUNCE), ("no", words::DO_NOT_ANNOUNCE)];
    let kind = KindWords::of_trial(trial);
    let body = html! {
        h1 { (kind.start) " " (trial.code) " " i { (trial.species) } }
        (form.problem())
        form method="post" {
            (token(visit))
            (form.day("on", DAY, "", &visit.today().to_string()))
            fieldset {
                legend { (words::number(&kind)) }
                p class="help" { (words::COUNT_NOW) }
                (put_in(&form, &view.places))
            }
            (form.tick("memory", words::FROM_MEMORY, false))
            @if !names.spots.is_empty() { (form.choice("spot", words::BENCH, "", "", &spots)) }
            @if visit.session.kind == SessionKind::Desk {
                (form.choice("opens", words::ANNOUNCING, words::ANNOUNCING_HELP, "", &opening))
            }
            button class="lead" { (words::record(&kind)) }
        }
    };
    let mut response = shell::page(visit, RoomPage::Trials, &format!("{} {}", kind.start, trial.code), &body);
    if bad.is_some() {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(response)
}

/// A field for each place; where there are too many, a box for those that differ.
pub(super) fn put_in(form: &Form<'_>, places: &[PlaceView]) -> Markup {
    html! {
        @if places.len() > FIELDS {
            (form.lines("put", words::DIFFERS, words::DIFFERS_HELP, ""))
        } @else {
            div class="pair" { @for place in places { (form.number(&format!("put-{}", place.code), &label(place), "", &place.started.to_string())) } }
        }
    }
}

/// Numbers started that differ from the plan, as typed after a command.
pub(super) fn differing(fields: &Fields, places: &[PlaceView]) -> Result<Vec<String>, Bad> {
    let typed = fields.get("put").split([',', '\n']).map(str::trim).filter(|text| !text.is_empty());
    let mut counts: Vec<String> = typed.map(str::to_owned).collect();
    for (place, count) in other_than_planned(fields, places)? {
        counts.push(format!("{}={count}", place.code));
    }
    Ok(counts)
}

/// Places of which a field says another number than is planned.
fn other_than_planned<'a>(
    fields: &Fields,
    places: &'a [PlaceView],
) -> Result<Vec<(&'a PlaceView, u16)>, Bad> {
    let mut differing = Vec::new();
    for place in places {
        let count = form::number(fields, &format!("put-{}", place.code))?;
        differing.extend(count.filter(|count| *count != place.started).map(|count| (place, count)));
    }
    Ok(differing)
}

/// Numbers started where they differ from the plan: a field for each place, or a box of many.
async fn put_in_of(
    visit: &Visit,
    code: &str,
    fields: &Fields,
    places: &[PlaceView],
) -> Result<Vec<PutIn>, Bad> {
    let differing = other_than_planned(fields, places)?;
    let mut counts: Vec<PutIn> =
        differing.into_iter().map(|(place, pieces)| PutIn { unit: place.unit.clone(), pieces }).collect();
    if fields.given("put").is_some() {
        let units = visit.units(code).await?;
        for text in fields.get("put").split([',', '\n']).map(str::trim).filter(|text| !text.is_empty()) {
            let (unit, pieces) = place::counted(text, &units).map_err(|fault| Bad::field("put", fault))?;
            counts.push(PutIn { unit, pieces });
        }
    }
    Ok(counts)
}

fn label(place: &PlaceView) -> String {
    if place.code == place.arm { place.code.clone() } else { format!("{} · {}", place.code, place.arm) }
}

async fn save(visit: Visit, Path(code): Path<String>, fields: Fields) -> Result<Response, Turned> {
    match stuck(&visit, &code, &fields).await {
        Ok(opening) => {
            let opening = opening.map(|why| format!("&opening={}", link::part(&why))).unwrap_or_default();
            Ok(go(&link::trial(&code, &format!("?stuck=yes{opening}"))))
        }
        Err(bad) => page(&visit, code, &fields, Some(&bad)).await,
    }
}

/// Starts them; returns why the trial could not be opened, where it was to be.
async fn stuck(visit: &Visit, code: &str, fields: &Fields) -> Result<Option<String>, Bad> {
    let places = {
        let code = code.to_owned();
        visit.view(move |app| Ok(viewed::trial(app, &code)?.places)).await?
    };
    let counts = put_in_of(visit, code, fields, &places).await?;
    let opens = match fields.get("opens") {
        "open" if visit.session.kind == SessionKind::Desk => Some(true),
        "no" => Some(false),
        _ => None,
    };
    let known = if fields.is_on("memory") { StartedKnown::Later } else { StartedKnown::Counted };
    let on = form::day(fields, "on")?.unwrap_or_else(|| When::day(visit.today()));
    let stick = Stick { trial: code.to_owned(), on, counts, known, spot: fields.owned("spot"), opens };
    let request = Request::Bench(Box::new(BenchRequest::Stick(stick)));
    let outcome = match visit.ask(request).await.map_err(put_in_field)? {
        Reply::Done(outcome) | Reply::Followed { first: outcome, .. } => *outcome,
        _ => return Err(of_another_kind().into()),
    };
    let Outcome::Stuck(stuck) = outcome else { return Err(of_another_kind().into()) };
    Ok(stuck.not_opened.as_ref().map(present::said::line))
}

/// A fault put down to the field of the place that it is about.
fn put_in_field(fault: Fault) -> Bad {
    let field = fault.field.as_deref().map(|path| match path.strip_prefix("counts/") {
        Some(place) => format!("put-{place}"),
        None => path.to_owned(),
    });
    Bad { failure: fault, field }
}
