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
use propagule_present::words::works::methods as words;

pub(super) async fn page(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let (asked, taxon) = only(&visit, &fields).await?;
    let wanted = asked.clone().in_detail();
    let view = visit.view(move |app| reading::species(app, &wanted)).await?;
    let answer = &view.answer;
    let methods = in_order(answer);
    let body = html! {
        h1 { i { (taxon) } ": " (words::MOVED_BY) }
        p { (words::methods_asked(answer.methods.len(), &question(answer))) " " a href={ "/works?" (asked.query()) } { (words::BACK) } }
        (propagule_present::html::render(&screens::behind(answer, &methods)))
    };
    Ok(shown(&visit, &words::behind(&taxon.to_string()), &body))
}
