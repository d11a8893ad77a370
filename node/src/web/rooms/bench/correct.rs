//! Correcting an entry, or taking it back: how it stood before is kept.

use axum::Router;
use axum::extract::Path;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};

use super::history::minute;
use super::tallied::marked;
use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::form;
use crate::web::form::{Bad, Form, token};
use crate::web::link;
use crate::web::problem::Turned;
use crate::web::shell;
use crate::web::visit::{Visit, go};
use propagule_app::BenchRequest;
use propagule_app::outcome::history::History;
use propagule_app::viewed;
use propagule_bench::Trial;
use propagule_bench::entry::{Tally, What};
use propagule_bench::typed::tally::PlaceCount;
use propagule_files::fault::Fault;
use propagule_present::kind::KindWords;
use propagule_present::outcome as present;
use propagule_present::words::forms::DAY;
use propagule_present::words::rooms::RoomPage;
use propagule_present::words::tasks::{correcting as words, history};

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/bench/trial/{code}/entry/{number}", get(show_entry).post(save_entry))
}

async fn show_entry(visit: Visit, Path((code, number)): Path<(String, u64)>) -> Result<Response, Turned> {
    entry_page(&visit, code, number, &Fields::default(), None).await
}

async fn entry_page(
    visit: &Visit,
    code: String,
    number: u64,
    fields: &Fields,
    bad: Option<&Bad>,
) -> Result<Response, Turned> {
    let (trial, found) = visit
        .view(move |app| {
            let History { of, entries, .. } = viewed::history(app, &code)?;
            let found = entries.into_iter().find(|entry| entry.number == number).map(|entry| (of, entry));
            Ok((viewed::trial(app, &code)?.trial, found))
        })
        .await?;
    let Some((of, view, entry)) =
        found.and_then(|(of, view)| view.entry.clone().map(|entry| (of, view, entry)))
    else {
        return Err(Turned::new(
            StatusCode::NOT_FOUND,
            Fault::user("page-entry-unknown").with("trial", &trial.code).with("number", number),
        ));
    };
    let form = Form::new(fields, bad);
    let body = html! {
        p { a href=(link::trial(&trial.code, "/history")) { (history::title(&trial.code)) } }
        h1 { (words::title(number)) }
        p { (words::SAYS) strong { (present::history::stands(&of, Some(&entry))) } }
        @for earlier in &view.earlier { p class="soft" { (history::until(&minute(&earlier.until))) (present::history::stands(&of, earlier.entry.as_ref())) } }
        (form.problem())
        form method="post" {
            (token(visit))
            (form.day("on", DAY, "", &entry.on.to_string()))
            @if let What::Counted { tallies, .. } = &entry.what {
                @for tally in tallies { (tally_fields(&form, &trial, tally)) }
            }
            button class="lead" name="what" value="correct" { (words::CORRECT) }
            button class="grave" name="what" value="take back" { (words::UNDO) }
        }
        p class="soft" { (words::KEPT) }
    };
    let mut response = shell::page(visit, RoomPage::Trials, &words::title(number), &body);
    if bad.is_some() {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(response)
}

fn place_of(trial: &Trial, tally: &Tally) -> String {
    let arm = || trial.arm(tally.arm).map(|arm| arm.label.clone()).unwrap_or_default();
    tally.replicate.clone().unwrap_or_else(arm)
}

fn tally_fields(form: &Form<'_>, trial: &Trial, tally: &Tally) -> Markup {
    let place = place_of(trial, tally);
    let said = KindWords::of_trial(trial);
    let field = |name: &str| format!("{place}/{name}");
    let text = |count: Option<u16>| count.map(|count| count.to_string()).unwrap_or_default();
    let (used, others): (Vec<_>, Vec<_>) = tally.counts().into_iter().partition(|(_, count)| count.is_some());
    html! {
        fieldset {
            legend { (place) }
            div class="pair" { @for (name, count) in used { (form.number(&field(name), &words::count(name, &said), "", &text(count))) } }
            details { summary { (words::more_of(&place)) }
                div class="pair" { @for (name, count) in others { (form.number(&field(name), &words::count(name, &said), "", &text(count))) } }
                (form.text(&field("cause"), words::CAUSE, "", tally.cause.as_deref().unwrap_or_default()))
            }
        }
    }
}

async fn save_entry(
    visit: Visit,
    Path((code, number)): Path<(String, u64)>,
    fields: Fields,
) -> Result<Response, Turned> {
    if fields.get("what") == "take back" {
        let request = BenchRequest::CorrectEntry {
            trial: code.clone(),
            entry: number,
            counts: Vec::new(),
            on: None,
            take_back: true,
        };
        return match visit.enter(request).await {
            Ok(_) => Ok(go(&link::trial(&code, &format!("?undone={number}")))),
            Err(failure) => entry_page(&visit, code, number, &fields, Some(&failure.into())).await,
        };
    }
    match corrected(&visit, &code, number, &fields).await {
        Ok(()) => Ok(go(&link::trial(&code, &format!("?saved={number}")))),
        Err(bad) => entry_page(&visit, code, number, &fields, Some(&bad)).await,
    }
}

async fn corrected(visit: &Visit, code: &str, number: u64, fields: &Fields) -> Result<(), Bad> {
    let (trial, entry) = {
        let code = code.to_owned();
        visit
            .view(move |app| {
                let found =
                    viewed::history(app, &code)?.entries.into_iter().find(|entry| entry.number == number);
                Ok((viewed::trial(app, &code)?.trial, found.and_then(|view| view.entry)))
            })
            .await?
    };
    let mut counts = Vec::new();
    if let Some(What::Counted { tallies, .. }) = entry.as_ref().map(|entry| &entry.what) {
        for tally in tallies {
            counts.extend(changed(&trial, tally, fields)?);
        }
    }
    let on = form::day(fields, "on")?.filter(|on| entry.as_ref().is_none_or(|entry| entry.on != *on));
    let request =
        BenchRequest::CorrectEntry { trial: code.to_owned(), entry: number, counts, on, take_back: false };
    visit.enter(request).await.map_err(|fault| marked(fault, "", "alive"))?;
    Ok(())
}

/// The counts of a place, where they differ from the entry.
fn changed(trial: &Trial, tally: &Tally, fields: &Fields) -> Result<Option<PlaceCount>, Bad> {
    let place = place_of(trial, tally);
    let mut now = tally.clone();
    for (name, count) in counts_mut(&mut now) {
        *count = form::number(fields, &format!("{place}/{name}"))?;
    }
    now.cause = fields.owned(&format!("{place}/cause"));
    let differs = now != *tally;
    let count = PlaceCount { tally: now, cell: None };
    Ok(Some(count).filter(|count| differs && !count.is_blank()))
}

/// Every count of a tally, under the name of its field.
fn counts_mut(tally: &mut Tally) -> [(&'static str, &mut Option<u16>); 11] {
    [
        ("alive", &mut tally.alive),
        ("rooted", &mut tally.rooted),
        ("green", &mut tally.green),
        ("callused", &mut tally.callused),
        ("established", &mut tally.established),
        ("finished", &mut tally.finished),
        ("dead", &mut tally.dead),
        ("of-rooted", &mut tally.of_rooted),
        ("lost", &mut tally.lost),
        ("not-known", &mut tally.not_known),
        ("found-alive", &mut tally.found_alive),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_count_has_its_field() {
        let mut tally = Tally::default();
        for (at, (_, count)) in counts_mut(&mut tally).into_iter().enumerate() {
            *count = Some(u16::try_from(at).expect("few"));
        }
        let names = tally.counts().map(|(name, count)| (name, count.map(usize::from)));
        let mut copy = tally.clone();
        let fields: Vec<_> = counts_mut(&mut copy).into_iter().map(|(name, _)| name).collect();
        assert!(
            names.iter().enumerate().all(|(at, (name, count))| fields[at] == *name && *count == Some(at))
        );
    }
}
