//! The bench: seasons, trials, lots, and everything that is done at it.

#[cfg(test)]
mod alike_tests;
mod card;
mod closing;
mod correct;
mod count;
mod describe;
mod doings;
mod history;
mod import;
mod list;
pub(super) mod looked;
mod new;
mod paper;
mod question;
pub(crate) mod saved;
mod sheet;
mod spots;
mod stick;
mod stock;
mod tallied;
mod trial;

use axum::Router;

pub(super) use self::import::IMPORT;
use crate::web::Web;
use propagule_app::viewed::TrialView;
use propagule_present::kind::KindWords;

/// The words of the kind of a trial.
fn kind_words(view: &TrialView) -> KindWords {
    KindWords::of(view.shown.kind)
}

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .merge(list::routes())
        .merge(new::routes())
        .merge(import::routes())
        .merge(spots::routes())
        .merge(stock::routes())
        .merge(trial::routes())
        .merge(count::routes())
        .merge(sheet::routes())
        .merge(saved::routes())
        .merge(stick::routes())
        .merge(paper::routes())
        .merge(history::routes())
        .merge(correct::routes())
        .merge(describe::routes())
        .merge(closing::routes())
        .merge(looked::routes())
        .merge(doings::routes())
}
