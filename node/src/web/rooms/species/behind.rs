//! What stands behind the figures: the model's own numbers, other priors, classical results, and who moves them.

use axum::response::Response;
use maud::html;

use super::{only, shown};
use crate::web::fields::Fields;
use crate::web::problem::Turned;
use crate::web::visit::Visit;
use propagule_app::reading;
use propagule_present::screens;
use propagule_present::screens::pool::{in_order, question};

pub(super) async fn page(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let (asked, taxon) = only(&visit, &fields).await?;
    let wanted = asked.clone().in_detail();
    let view = visit.view(move |app| reading::species(app, &wanted)).await?;
    let answer = &view.answer;
    let methods = in_order(answer);
    let body = html! {
        h1 { i { (taxon) } ": what moves the figures" }
        p { (answer.methods.len()) " " @if answer.methods.len() == 1 { "method" } @else { "methods" } ", " (question(answer)) ". " a href={ "/works?" (asked.query()) } { "Back to the answer" } }
        (propagule_present::html::render(&screens::behind(answer, &methods)))
    };
    Ok(shown(&visit, &format!("Behind {taxon}"), &body))
}
