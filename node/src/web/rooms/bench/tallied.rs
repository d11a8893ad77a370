//! What is counted at a stage, and how a form of counts is read.

use axum::http::StatusCode;

use super::kind_words;
use crate::web::fields::Fields;
use crate::web::form;
use crate::web::form::Bad;
use crate::web::problem::{Turned, nowhere};
use propagule_app::viewed::{PlaceView, TrialView};
use propagule_bench::typed::tally;
use propagule_bench::typed::tally::PlaceCount;
use propagule_bench::{Rest, Stage, TrialUnits, UnitKey};
use propagule_files::fault::Fault;
use propagule_present::chart::Mark;
use propagule_present::words::tasks::counting as words;

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

/// Something that is counted: name of its field, its words, and what it starts from.
pub(super) struct Count {
    pub(super) name: &'static str,
    pub(super) words: String,
    /// How it is drawn.
    pub(super) mark: Mark,
    pub(super) from: u16,
    /// What is left over when the others are counted.
    pub(super) is_remainder: bool,
}

/// What is counted at a stage, each starting from how the place stands.
pub(super) fn counted(view: &TrialView, place: &PlaceView, stage: Option<Stage>) -> Vec<Count> {
    let count = |name, words: &str, from| Count {
        name,
        words: words.to_owned(),
        mark: mark(name),
        from,
        is_remainder: false,
    };
    let remainder =
        |name, words: String, from| Count { name, words, mark: mark(name), from, is_remainder: true };
    let fates = place.standing.fates;
    let (known, rooted) = (fates.alive(), fates.rooted);
    let mut all = match stage {
        None => vec![remainder("alive", words::ALIVE.to_owned(), known)],
        Some(Stage::Final) => vec![
            count("finished", words::FINISHED, 0),
            remainder("waiting", words::NOT_YET.to_owned(), known),
        ],
        Some(stage) => vec![
            count("rooted", &words::succeeded(&kind_words(view), stage), rooted),
            remainder("green", words::green(&kind_words(view)), known - rooted),
        ],
    };
    all.push(count("dead", words::DEAD, 0));
    all.push(count("lost", words::LOST, 0));
    if stage == Some(Stage::Spring) || fates.not_known.all() > 0 {
        all.push(count("not-known", words::NOT_SEEN, fates.not_known.all()));
    }
    all
}

/// How what a field counts is drawn.
fn mark(name: &str) -> Mark {
    match name {
        "rooted" | "finished" => Mark::With,
        "dead" => Mark::Dead,
        "lost" => Mark::Lost,
        "not-known" => Mark::NotKnown,
        _ => Mark::Waiting,
    }
}

/// What a form says of a place, in fields that begin with `prefix`; nothing where nothing is counted.
pub(super) fn counted_at(
    unit: UnitKey,
    units: &TrialUnits,
    stage: Option<Stage>,
    fields: &Fields,
    prefix: &str,
) -> Result<Option<PlaceCount>, Bad> {
    let number = |name: &str| form::number(fields, &format!("{prefix}{name}"));
    let mut count = PlaceCount::at(unit);
    let tally = &mut count.tally;
    tally.alive = number("alive")?;
    tally.green = number("green")?;
    tally.rooted = number("rooted")?;
    tally.finished = number("finished")?;
    tally.dead = number("dead")?;
    tally.lost = number("lost")?;
    tally.not_known = number("not-known")?;
    tally.callused = number("callused")?;
    if let Some(waiting) = number("waiting")? {
        tally.alive = Some(waiting.saturating_add(tally.finished.unwrap_or(0)));
    }
    let more = format!("{prefix}more");
    if let Some(text) = fields.given(&more) {
        let read = tally::read_more(&mut count, text, units, stage);
        read.map_err(|fault| Bad::field(&more, fault))?;
    }
    if count.is_blank() {
        return Ok(None);
    }
    // What was typed is nearer to what was seen than the button that comes closest.
    let cause = |name: &str| fields.owned(&format!("{prefix}{name}"));
    count.tally.cause = cause("own-cause").or_else(|| cause("cause")).or(count.tally.cause);
    Ok(Some(count))
}

/// A fault of what was counted, put down to the field of the form whose name the path in the command ends with.
/// `prefix` is what that name does not have; a fault of a whole place goes to its field `first`.
pub(super) fn marked(fault: Fault, prefix: &str, first: &str) -> Bad {
    let field = fault.field.as_deref().and_then(|path| match path.strip_prefix("counts/") {
        Some(place) if !place.contains('/') => {
            format!("{place}/{first}").strip_prefix(prefix).map(str::to_owned)
        }
        Some(name) => name.strip_prefix(prefix).map(str::to_owned),
        None => Some(path.to_owned()),
    });
    Bad { failure: fault, field }
}

/// The field that a place begins with.
pub(super) fn first_field(stage: Option<Stage>) -> &'static str {
    match stage {
        None => "alive",
        Some(Stage::Final) => "finished",
        Some(_) => "rooted",
    }
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
