//! What an entry is asked back: the question, and a button for each way to answer it.

use axum::http::StatusCode;
use axum::response::Response;
use maud::html;

use crate::web::fields::Fields;
use crate::web::form::{Bad, token};
use crate::web::link;
use crate::web::problem;
use crate::web::shell;
use crate::web::visit::Visit;
use propagule_files::fault::{Answer, Fault};
use propagule_present::words::rooms::RoomPage;
use propagule_present::words::tasks::asking;

/// Whether a fault is a question.
pub(super) fn is_question(bad: &Bad) -> bool {
    !bad.failure.possible_answers().is_empty()
}

/// The page that asks; its buttons send the same form again with an answer.
pub(super) fn page(visit: &Visit, code: &str, at: &str, fields: &Fields, failure: &Fault) -> Response {
    let trial = link::trial(code, "");
    let body = html! {
        p { a href=(trial) { (code) } }
        h1 { (asking::TITLE) }
        div class="notice" role="alert" id="problem" tabindex="-1" { p { strong { (problem::sentence(failure)) } } }
        form method="post" action=(at) {
            (token(visit))
            @for (name, text) in fields.all().filter(|(name, _)| *name != "token" && *name != "answer") {
                input type="hidden" name=(name) value=(text);
            }
            // An answer that was given before is not asked for again.
            @match fields.get("answer") {
                "yes" => input type="hidden" name="sure" value="yes";,
                "" => {},
                before => input type="hidden" name="repeat" value=(before);,
            }
            ul class="acts" {
                @for answer in failure.possible_answers() {
                    li { button name="answer" value=(sent(*answer)) { (asking::answer(*answer)) } }
                }
                li { a class="button quiet" href=(trial) { (asking::NO) } }
            }
        }
    };
    let mut response = shell::page(visit, RoomPage::Trials, asking::TITLE, &body);
    *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    response
}

const fn sent(answer: Answer) -> &'static str {
    match answer {
        Answer::Yes => "yes",
        Answer::Instead => "instead",
        Answer::Again => "again",
    }
}
