//! Notes, moves, plants that leave, graft tape and suckers.

use axum::Router;
use axum::extract::Path;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};

use super::kind_words;
use super::question;
use super::saved::{Answer, answer};
use crate::grammar;
use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::form;
use crate::web::form::{Bad, Form, token};
use crate::web::link;
use crate::web::problem::{Turned, nowhere};
use crate::web::shell;
use crate::web::visit::Visit;
use propagule_app::BenchRequest;
use propagule_app::viewed;
use propagule_app::viewed::{Names, TrialView};
use propagule_bench::Departure;
use propagule_bench::typed::place;
use propagule_files::fault::Fault;
use propagule_present::kind::KindWords;
use propagule_present::words::rooms::RoomPage;
use propagule_present::words::tasks::{SAVE, moving as words};

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/bench/trial/{code}/{doing}", get(show).post(save))
}

/// What is done with a trial beside counting.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Doing {
    Note,
    Move,
    Graft,
}

impl Doing {
    fn of(word: &str) -> Result<Self, Turned> {
        match word {
            "note" => Ok(Self::Note),
            "move" => Ok(Self::Move),
            "graft" => Ok(Self::Graft),
            _ => Err(Turned::new(StatusCode::NOT_FOUND, nowhere())),
        }
    }

    fn title(self, kind: &KindWords, code: &str) -> String {
        match self {
            Self::Note => words::note_on(code),
            Self::Move => words::move_or_sell(code),
            Self::Graft => words::tape_and_suckers(kind, code),
        }
    }
}

async fn show(visit: Visit, Path((code, word)): Path<(String, String)>) -> Result<Response, Turned> {
    page(&visit, code, Doing::of(&word)?, &Fields::default(), None).await
}

async fn page(
    visit: &Visit,
    code: String,
    doing: Doing,
    fields: &Fields,
    bad: Option<&Bad>,
) -> Result<Response, Turned> {
    let (view, names) = visit.view(move |app| Ok((viewed::trial(app, &code)?, viewed::names(app)))).await?;
    let code = &view.trial.code;
    let title = doing.title(&kind_words(&view), code);
    let body = html! {
        p { a href=(link::trial(code, "")) { (code) } " " i { (view.trial.species) } }
        h1 { (title) }
        @match doing {
            Doing::Note => (note(visit, &view, &Form::new(fields, bad))),
            Doing::Move => (moving(visit, &view, &names, fields, bad)),
            Doing::Graft => (graft(visit, &view, fields, bad)),
        }
    };
    let mut response = shell::page(visit, RoomPage::Trials, &title, &body);
    if bad.is_some() {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(response)
}

/// A form of a page that has several: only the one that was sent shows what was sent.
fn one_of<'a>(what: &'a str, fields: &'a Fields, none: &'a Fields, bad: Option<&'a Bad>) -> Form<'a> {
    let is_sent = fields.get("what") == what;
    Form { fields: if is_sent { fields } else { none }, bad: bad.filter(|_| is_sent), scope: what }
}

fn note(visit: &Visit, view: &TrialView, form: &Form<'_>) -> Markup {
    let (at, back) = addresses(view, "note");
    html! {
        (form.problem())
        form method="post" action=(at) data-keep="note" data-back=(back) {
            (token(visit))
            (form.common(visit))
            button class="lead" { (words::SAVE_NOTE) }
        }
    }
}

/// Where a form goes, and where its visitor goes after it.
fn addresses(view: &TrialView, word: &str) -> (String, String) {
    (link::trial(&view.trial.code, &format!("/{word}")), link::trial(&view.trial.code, ""))
}

fn moving(visit: &Visit, view: &TrialView, names: &Names, fields: &Fields, bad: Option<&Bad>) -> Markup {
    let none = Fields::default();
    let (at, back) = addresses(view, "move");
    let (to, left) = (one_of("move", fields, &none, bad), one_of("left", fields, &none, bad));
    let kind = kind_words(view);
    let places: Vec<(&str, &str)> =
        view.places.iter().map(|place| (place.code.as_str(), place.code.as_str())).collect();
    html! {
        h2 { (words::MOVE_LIVING) }
        p { (words::after_a_move(&kind)) }
        (to.problem())
        form method="post" action=(at) data-keep="move" data-back=(back) {
            (token(visit)) input type="hidden" name="what" value="move";
            @if view.trial.arms.len() > 1 {
                fieldset { legend { (words::WHICH_MOVE) }
                    @for arm in &view.trial.arms { (to.tick(&format!("arm-{}", arm.number), &arm.label, true)) }
                }
            }
            (to.suggested("to", words::WHERE_TO, words::WHERE_TO_HELP, "", &names.spots))
            (to.text("with", words::WHAT_ELSE, &words::what_else_help(), ""))
            (to.common(visit))
            button class="lead" { (words::MOVE) }
        }
        h2 { (words::SOME_LEFT) }
        (left.problem())
        form method="post" action=(at) data-keep="left" data-back=(back) {
            (token(visit)) input type="hidden" name="what" value="left";
            @if places.len() > 1 { (left.choice("place", words::FROM, "", "", &places)) }
            (left.number("pieces", &words::how_many(&kind), "", ""))
            (left.choice("how", words::THEY_WERE, "", "sold", &words::WAYS))
            (left.choice("grade", words::THEY_LEFT, "", "yes", &words::GRADES))
            (left.common(visit))
            button class="lead" { (SAVE) }
        }
    }
}

fn graft(visit: &Visit, view: &TrialView, fields: &Fields, bad: Option<&Bad>) -> Markup {
    let none = Fields::default();
    let (at, back) = addresses(view, "graft");
    let (wrap, suckers) = (one_of("wrap", fields, &none, bad), one_of("suckers", fields, &none, bad));
    html! {
        h2 { (words::SUCKERS) }
        (suckers.problem())
        form method="post" action=(at) data-keep="suckers" data-back=(back) {
            (token(visit)) input type="hidden" name="what" value="suckers";
            fieldset { legend { (words::REMOVED) }
                div class="pair" { @for arm in &view.trial.arms { (suckers.number(&format!("removed-{}", arm.number), &arm.label, "", "")) } }
            }
            (suckers.common(visit))
            button class="lead" { (words::SUCKERS_REMOVED) }
        }
        h2 { (words::tape(&kind_words(view))) }
        (wrap.problem())
        form method="post" action=(at) data-keep="wrap" data-back=(back) {
            (token(visit)) input type="hidden" name="what" value="wrap";
            (wrap.common(visit))
            button class="lead" { (words::tape_is_cut(&kind_words(view))) }
        }
    }
}

async fn save(
    visit: Visit,
    Path((code, word)): Path<(String, String)>,
    fields: Fields,
) -> Result<Response, Turned> {
    let doing = Doing::of(&word)?;
    match done(&visit, &code, doing, &fields).await {
        Ok(said) => {
            Ok(answer(&visit, &code, &said, |number| link::trial(&code, &format!("?saved={number}"))))
        }
        Err(bad) if visit.is_script => Err(bad.failure.into()),
        Err(bad) if question::is_question(&bad) => {
            let at = link::trial(&code, &format!("/{word}"));
            Ok(question::page(&visit, &code, &at, &fields, &bad.failure))
        }
        Err(bad) => page(&visit, code, doing, &fields, Some(&bad)).await,
    }
}

async fn done(visit: &Visit, code: &str, doing: Doing, fields: &Fields) -> Result<Answer, Bad> {
    let trial = code.to_owned();
    let common = form::common(visit, fields)?;
    let request = match (doing, fields.get("what")) {
        (Doing::Note, _) => BenchRequest::Note { subject: trial, common },
        (Doing::Graft, "wrap") => BenchRequest::WrapCut { trial, common },
        (Doing::Graft, _) => {
            BenchRequest::Suckers { removed: removed(visit, code, fields).await?, trial, common }
        }
        (Doing::Move, "left") => BenchRequest::Left {
            trial,
            unit: place::read(fields.given("place"), &visit.units(code).await?)
                .map_err(|fault| Bad::field("place", fault.with("command", "move")))?,
            pieces: form::number(fields, "pieces")?.ok_or_else(|| Bad::field("pieces", how_many_left()))?,
            how: departure(fields)?,
            at_grade: fields.get("grade") != "no",
            common,
        },
        (Doing::Move, _) => {
            let (facets, common) = grammar::arm::moved(
                visit.hearing(propagule_bench::doing::Doing::Moving),
                fields.get("with"),
                common,
            )
            .map_err(|fault| Bad::field("with", fault.with("command", "move")))?;
            BenchRequest::Move {
                arms: chosen_arms(visit, code, fields).await?,
                trial,
                to: fields.owned("to").ok_or_else(|| Bad::field("to", where_to()))?,
                facets,
                common,
            }
        }
    };
    let saved = visit.enter(request).await;
    Ok(Answer::of(&saved.map_err(|fault| {
        let field =
            fault.field.clone().map(|field| if field == "facets" { "with".to_owned() } else { field });
        Bad { failure: fault, field }
    })?))
}

/// Numbers of the arms that were ticked; none means all of them.
async fn chosen_arms(visit: &Visit, code: &str, fields: &Fields) -> Result<Vec<u8>, Bad> {
    let all = visit.units(code).await?.arms;
    let is_chosen = |number: &u8| all.len() == 1 || fields.is_on(&format!("arm-{number}"));
    let chosen: Vec<u8> = all.iter().map(|arm| arm.number).filter(is_chosen).collect();
    if chosen.is_empty() {
        return Err(Fault::user("page-no-arm-chosen").into());
    }
    Ok(if chosen.len() == all.len() { Vec::new() } else { chosen })
}

async fn removed(visit: &Visit, code: &str, fields: &Fields) -> Result<Vec<(u8, u16)>, Bad> {
    let mut removed = Vec::new();
    for arm in visit.units(code).await?.arms {
        let count = form::number(fields, &format!("removed-{}", arm.number))?;
        removed.extend(count.map(|count| (arm.number, count)));
    }
    Ok(removed)
}

/// How they left.
fn departure(fields: &Fields) -> Result<Departure, Bad> {
    let word = fields.get("how");
    let found = Departure::ALL.into_iter().find(|how| how.word() == word);
    found.ok_or_else(|| {
        Bad::field("how", Fault::user("page-word-unknown").with("text", word).with("name", "how"))
    })
}

fn how_many_left() -> Fault {
    Fault::user("page-leaving-count-missing")
}

fn where_to() -> Fault {
    Fault::user("page-move-without-place")
}
