//! How many to put in for the plants wanted, what to try next, and what would tell two methods apart.

use axum::Router;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};

use super::species::{OUTCOMES, STAGES, WHOSE, file, found, offered};
use crate::answer::plan::{GrowersOrPieces, MethodPlan, PlanAnswer, TellApart};
use crate::answer::words::{self, percent, percent_range, percent_with_range};
use crate::app::reading::{self, Found};
use crate::app::{Aim, PlanRequest};
use crate::error::Failure;
use crate::web::Web;
use crate::web::asked::Asked;
use crate::web::draw;
use crate::web::fields::Fields;
use crate::web::form::{Bad, Form};
use crate::web::link;
use crate::web::plain::{plain, plainly};
use crate::web::problem::Turned;
use crate::web::shell::{self, Room};
use crate::web::visit::Visit;

/// Methods told, and the most that can be wanted or spared.
const MOST_METHODS: usize = 16;
const MOST: u32 = propagule_analysis::planning::MOST_PIECES;

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/plan/plants", get(plants)).route("/plan/answer.json", get(json))
}

async fn plants(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let asked = Asked::read(&fields)?;
    let Some(text) = asked.species().map(str::to_owned) else {
        return Ok(page(&visit, &fields, "How many to put in", None, &html! { h1 { "How many to put in" } }));
    };
    match found(&visit, &text).await {
        Ok(Found::One(taxon)) => answered(&visit, &fields, &asked.about(&taxon.to_string())).await,
        Ok(Found::Several(offers)) => {
            let top = html! { h1 { "Which plant?" } (offered(&offers, "/plan/plants", &asked)) };
            Ok(page(&visit, &fields, "Which plant?", None, &top))
        }
        Err(failure) => Ok(refused(&visit, &fields, &Bad::field("species", failure))),
    }
}

/// What a query asks.
fn request(fields: &Fields, asked: &Asked) -> Result<PlanRequest, Bad> {
    Ok(PlanRequest {
        species: asked.species().unwrap_or_default().to_owned(),
        question: asked.question,
        grouping: asked.grouping.clone(),
        scope: asked.scope,
        aim: aim(fields)?,
        width: 80,
    })
}

fn aim(fields: &Fields) -> Result<Aim, Bad> {
    let sure = amount(fields, "sure", 99.9)?.unwrap_or(80.0) / 100.0;
    if sure <= 0.0 {
        let failure = Failure::expected("a chance is above 0").hint("80 is 80 times in 100");
        return Err(Bad::field("sure", failure));
    }
    Ok(Aim {
        want: whole(fields, "want", 1)?.unwrap_or(5),
        sure,
        pieces: whole(fields, "pieces", 2)?,
        cost: amount(fields, "cost", 1e6)?,
        minutes: amount(fields, "minutes", 1e6)?,
    })
}

fn whole(fields: &Fields, name: &str, least: u32) -> Result<Option<u32>, Bad> {
    let Some(text) = fields.given(name) else { return Ok(None) };
    let number = text.parse::<u32>().ok().filter(|number| (least..=MOST).contains(number));
    number.map(Some).ok_or_else(|| {
        let what = format!("\u{201c}{text}\u{201d} is no whole number from {least} to {MOST}");
        Bad::field(name, Failure::expected(what).hint("write it in digits, such as 12"))
    })
}

/// A number from 0 up, with a point or a comma.
fn amount(fields: &Fields, name: &str, most: f64) -> Result<Option<f64>, Bad> {
    let Some(text) = fields.given(name) else { return Ok(None) };
    let number = text.replace(',', ".").parse::<f64>().ok().filter(|number| (0.0..=most).contains(number));
    number.map(Some).ok_or_else(|| {
        let what = format!("\u{201c}{text}\u{201d} is no number from 0 to {most}");
        Bad::field(name, Failure::expected(what).hint("write it in digits, such as 0.40"))
    })
}

async fn answered(visit: &Visit, fields: &Fields, asked: &Asked) -> Result<Response, Turned> {
    let request = match request(fields, asked) {
        Ok(request) => request,
        Err(bad) => return Ok(refused(visit, fields, &bad)),
    };
    match visit.view(move |app| reading::plan(app, &request)).await {
        Ok(answer) => {
            let title = format!("Plan {}", answer.species);
            let usual =
                format!("{}&want={}&sure={}", query(fields, asked), answer.want, percent(answer.sure));
            let said = Fields::read(usual.as_bytes());
            Ok(page(visit, &said, &title, None, &shown(&answer, fields, asked)))
        }
        Err(failure) => Ok(refused(visit, fields, &Bad::field("species", plainly(&failure)))),
    }
}

async fn json(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let request = request(&fields, &Asked::read(&fields)?).map_err(|bad| bad.failure)?;
    let answer = visit.view(move |app| reading::plan(app, &request)).await?;
    let text = serde_json::to_string_pretty(&*answer).expect("an answer is plain data");
    Ok(file("plan.json", "application/json", text))
}

fn refused(visit: &Visit, fields: &Fields, bad: &Bad) -> Response {
    let mut response =
        page(visit, fields, "How many to put in", Some(bad), &html! { h1 { "How many to put in" } });
    *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    response
}

fn page(visit: &Visit, fields: &Fields, title: &str, bad: Option<&Bad>, top: &Markup) -> Response {
    let form = Form::new(fields, bad);
    let is_asked = !fields.is_empty();
    let body = html! {
        (top)
        (form.problem())
        @if is_asked { h2 { "Plan otherwise" } } @else { p { "From what growers reported, and from your own counts where you have some." } }
        (asking(&form))
        p { a href="/plan" { "What a trial of so many pots can show" } " is asked when you set one up." }
    };
    shell::page(visit, Room::Plan, title, &body)
}

fn asking(form: &Form<'_>) -> Markup {
    html! {
        form method="get" action="/plan/plants" {
            (form.text("species", "Plant", "Scientific or common name", ""))
            div class="pair" {
                (form.number("want", "Plants wanted", "", "5"))
                (form.number("sure", "How sure, times in 100", "", "80"))
            }
            (form.number("pieces", "Pieces you can spare", "For a trial of two methods; leave empty if it does not matter", ""))
            div class="pair" {
                (form.number("cost", "Cost of a piece", "", ""))
                (form.number("minutes", "Minutes a piece", "", ""))
            }
            details {
                summary { "More: count, groups, whose results" }
                div class="pair" {
                    (form.choice("stage", "Count", "", "", &STAGES))
                    (form.choice("outcome", "What counts", "", "", &OUTCOMES))
                }
                (form.choice("whose", "Whose results", "", "", &WHOSE))
                (form.text("by", "Split methods by", "A facet such as medium; none for all methods together", ""))
            }
            button class="lead" { "Plan" }
        }
    }
}

/// The fields of this room, as a query.
fn query(fields: &Fields, asked: &Asked) -> String {
    let own = ["want", "sure", "pieces", "cost", "minutes"];
    let own = own.iter().filter_map(|name| Some(format!("&{name}={}", link::part(fields.given(name)?))));
    own.fold(asked.query(), |query, pair| query + &pair)
}

fn shown(answer: &PlanAnswer, fields: &Fields, asked: &Asked) -> Markup {
    html! {
        h1 { "Plan: " (answer.want) " of " i { (answer.species) } }
        p class="say" { (plain(&answer.sentence)) }
        @if let Some(bold) = &answer.bold_arm { p { (bold.sentence) } }
        (tries(answer))
        (methods(answer))
        (apart(answer))
        (growers(&answer.growers_or_pieces))
        @for warning in answer.warnings.iter().filter(|warning| warning.text != answer.sentence) { p { (plain(&warning.text)) } }
        @if !answer.left_out.is_empty() {
            details { summary { "Not counted" } ul { @for line in &answer.left_out { li { (line.count) " " (line.reason) } } } }
        }
        ul class="acts" {
            li { a class="button" href="/plan" { "Set up a trial" } }
            li { a class="button quiet" href={ "/species?species=" (link::part(&answer.species)) } { "What it rests on" } }
            li { a class="button quiet" href={ "/plan/answer.json?" (query(fields, asked)) } { "Plan as JSON" } }
        }
        p class="soft" {
            @match &answer.data_until { Some(month) => { "Data until " (month) ". " }, None => "Records held by this node. " }
            (words::NOT_ADVICE)
        }
    }
}

fn tries(answer: &PlanAnswer) -> Markup {
    html! {
        @if !answer.next.is_empty() {
            h2 { "What to try next" }
            ol { @for line in answer.next.iter().take(MOST_METHODS) { li { (line.sentence) } } }
        }
    }
}

/// Methods in the order in which they are worth a try; those without a number last.
fn in_order(answer: &PlanAnswer) -> Vec<&MethodPlan> {
    let place = |method: &MethodPlan| answer.next.iter().position(|next| next.method == method.method);
    let mut methods: Vec<&MethodPlan> = answer.methods.iter().collect();
    methods.sort_by_key(|method| (method.stick.is_none(), place(method).unwrap_or(usize::MAX)));
    methods
}

fn methods(answer: &PlanAnswer) -> Markup {
    let methods = in_order(answer);
    let is_alone = methods.len() == 1;
    html! {
        @if !methods.is_empty() { h2 { "How many to put in" } }
        @for of in methods.iter().take(MOST_METHODS) {
            h3 { (of.method) }
            @if !is_alone { p { (of.sentence) } }
            (chance(of, answer.want))
            p class="soft" { (basis(of)) }
        }
        @if methods.len() > MOST_METHODS { p class="soft" { "And " (methods.len() - MOST_METHODS) " more methods in the file of the plan." } }
    }
}

/// What that number of pieces may bring.
fn chance(method: &MethodPlan, want: u32) -> Markup {
    let drawn = method.stick.zip(method.outcomes.as_ref()).zip(method.chance);
    html! {
        @if let Some(((stick, outcomes), chance)) = drawn {
            div class="figure" {
                (draw::outcomes(stick, want, outcomes, "successes"))
                p class="legend" { "Each dot is one of " (outcomes.len()) " equally likely outcomes of " (stick) " pieces; filled ones reach " (want) ". The chance of that is " (percent(chance)) " %." }
                details {
                    summary { "As a table" }
                    p { (outcomes.len()) " equally likely outcomes, from few to many: " (outcomes.iter().map(u32::to_string).collect::<Vec<_>>().join(", ")) "." }
                }
            }
        }
    }
}

/// What the number rests on, so that it does not stand alone.
fn basis(method: &MethodPlan) -> String {
    let counts = format!(
        "{} of {} in {} by {}",
        method.rooted,
        method.started,
        words::counted(method.trials, "trial", "trials"),
        words::counted(method.growers, "grower", "growers"),
    );
    if method.rooted == 0 {
        return format!("{counts}.");
    }
    let fit = &method.fit;
    let [low, _, high] = fit.new_grower_rate_q;
    format!(
        "{counts}; average grower {}, a new grower {}.",
        percent_with_range(fit.average_grower_rate_mean, fit.average_grower_rate_q),
        percent_range(low, high)
    )
}

fn apart(answer: &PlanAnswer) -> Markup {
    let (named, general): (Vec<&TellApart>, Vec<&TellApart>) =
        answer.tell_apart.iter().partition(|row| row.first.is_some());
    html! {
        @if !named.is_empty() {
            h2 { "To tell methods apart in one trial" }
            @for row in named { p { (row.sentence) } }
        }
        @if !general.is_empty() && !answer.methods.is_empty() {
            details {
                summary { "To tell two true rates apart, in general" }
                table {
                    caption { "Two arms, Fisher\u{2019}s exact test at 0.05; \u{201c}needed\u{201d} is for " (percent(answer.sure)) " times in 100" }
                    thead { tr { th scope="col" { "True rates" } th scope="col" { "Each arm" } th scope="col" { "Shown in 100" } th scope="col" { "Needed" } } }
                    tbody { @for row in general { tr {
                        th scope="row" { (format!("{:.0} and {:.0} %", row.rate_a * 100.0, row.rate_b * 100.0)) }
                        td { (row.per_arm) }
                        td { (words::in_hundred(row.power)) }
                        td { @match row.needed_per_arm { Some(needed) => (needed), None => "over 200" } }
                    } } }
                }
            }
        }
    }
}

fn growers(rows: &[GrowersOrPieces]) -> Markup {
    html! {
        @if let Some(first) = rows.first() {
            details {
                summary { "More growers or more pieces" }
                table {
                    caption { (first.method) }
                    thead { tr { th scope="col" { "Growers" } th scope="col" { "Pieces each" } th scope="col" { "Rate pinned down to" } } }
                    tbody { @for row in rows { tr {
                        th scope="row" { (row.growers) }
                        td { (row.pieces_each) }
                        td { (percent_range(row.typical_rate_range[0], row.typical_rate_range[1])) }
                    } } }
                }
                p class="soft" { (words::PINNED_DOWN) }
            }
        }
    }
}
