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

/// Whether a fault is a question.
pub(super) fn is_question(bad: &Bad) -> bool {
    !bad.failure.possible_answers().is_empty()
}

/// The page that asks; its buttons send the same form again with an answer.
pub(super) fn page(visit: &Visit, code: &str, at: &str, fields: &Fields, failure: &Fault) -> Response {
    let trial = link::trial(code, "");
    let body = html! {
        p { a href=(trial) { (code) } }
        h1 { "Is that so?" }
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
                    @let (value, words) = words(*answer);
                    li { button name="answer" value=(value) { (words) } }
                }
                li { a class="button quiet" href=(trial) { "No: save nothing" } }
            }
        }
    };
    let mut response = shell::page(visit, RoomPage::Trials, "Is that so?", &body);
    *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    response
}

fn words(answer: Answer) -> (&'static str, &'static str) {
    match answer {
        Answer::Yes => ("yes", "Yes, save it"),
        Answer::Instead => ("instead", "Correct the earlier one"),
        Answer::Again => ("again", "It is a second one of that day"),
    }
}
