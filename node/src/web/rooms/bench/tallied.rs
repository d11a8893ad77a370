//! What is counted at a stage, and how a form of counts is read.

use axum::http::StatusCode;

use crate::answer::words::kind::{KindWords, capital};
use crate::app::viewed::{PlaceView, TrialView};
use crate::web::fields::Fields;
use crate::web::form;
use crate::web::form::Bad;
use crate::web::problem::{Turned, nowhere};
use propagule_bench::{Rest, Stage};

/// The stage in an address; none is a check.
pub(super) fn stage_of(word: &str) -> Result<Option<Stage>, Turned> {
    match word {
        "check" => Ok(None),
        _ => Stage::ALL
            .into_iter()
            .find(|stage| stage.word() == word)
            .map(Some)
            .ok_or_else(|| Turned::new(StatusCode::NOT_FOUND, nowhere())),
    }
}

/// What a count is called, in the words of the trial's kind.
pub(super) fn title(said: &KindWords, stage: Option<Stage>) -> String {
    stage.map_or_else(|| "Check".to_owned(), |stage| said.title(stage))
}

/// Something that is counted: name of its field, its words, and what it starts from.
pub(super) struct Count {
    pub(super) name: &'static str,
    pub(super) words: String,
    pub(super) from: u16,
    /// What is left of the pieces when the others are counted.
    pub(super) is_remainder: bool,
}

/// What is counted at a stage, each starting from how the place stands.
pub(super) fn counted(view: &TrialView, place: &PlaceView, stage: Option<Stage>) -> Vec<Count> {
    let count = |name, words: &str, from| Count { name, words: words.to_owned(), from, is_remainder: false };
    let remainder = |name, words: String, from| Count { name, words, from, is_remainder: true };
    let fates = place.standing.fates;
    let (known, rooted) = (fates.alive(), fates.rooted);
    let mut all = match stage {
        None => vec![remainder("alive", "Alive".to_owned(), known)],
        Some(Stage::Final) => vec![
            count("finished", "At your grade", 0),
            remainder("waiting", "Alive, not yet there".to_owned(), known),
        ],
        Some(stage) => vec![
            count("rooted", &capital(view.said.outcome(stage)), rooted),
            remainder("green", capital(view.said.waiting), known - rooted),
        ],
    };
    all.push(count("dead", "Dead since", 0));
    all.push(count("lost", "Lost since", 0));
    if stage == Some(Stage::Spring) || fates.not_known.all() > 0 {
        all.push(count("not-known", "Cannot say", fates.not_known.all()));
    }
    all
}

/// What became of pieces that are not mentioned.
pub(super) const RESTS: [(&str, &str); 4] = [
    ("", "there are none: all are counted"),
    ("alive", "live"),
    ("dead", "died"),
    ("not-known", "were not looked at"),
];

/// The counts of a form as they are typed after a command: `P1:rooted=4,green=0`.
pub(super) fn typed(place: &str, fields: &Fields, prefix: &str) -> Result<Option<String>, Bad> {
    const NAMES: [&str; 8] =
        ["alive", "green", "rooted", "finished", "dead", "lost", "not-known", "callused"];
    let mut parts = Vec::new();
    for name in NAMES {
        let field = format!("{prefix}{name}");
        if let Some(count) = form::number(fields, &field)? {
            parts.push(format!("{name}={count}"));
        }
    }
    if let Some(waiting) = form::number(fields, &format!("{prefix}waiting"))? {
        let finished = form::number(fields, &format!("{prefix}finished"))?.unwrap_or(0);
        parts.push(format!("alive={}", waiting.saturating_add(finished)));
    }
    parts.extend(fields.owned(&format!("{prefix}more")));
    if parts.is_empty() {
        return Ok(None);
    }
    if let Some(cause) = fields.given(&format!("{prefix}cause")) {
        parts.push(format!("cause={}", cause.replace([',', '='], " ")));
    }
    Ok(Some(format!("{place}:{}", parts.join(","))))
}

/// The choice of what became of the rest.
pub(super) fn rest(fields: &Fields) -> Option<Rest> {
    match fields.get("rest") {
        "alive" => Some(Rest::Alive),
        "dead" => Some(Rest::Dead),
        "not-known" => Some(Rest::NotKnown),
        _ => None,
    }
}
