//! Benches, beds, frames and houses, and the log of each.

use crate::words::sentences::number_of;

/// What a bench is here.
pub const ABOUT: &str =
    "A bench, bed, frame or house. Log mist, shade and heat once for everything on it. It stays at home.";

/// How many trials stand on one.
pub fn on_it(trials: usize) -> String {
    format!("{} on it", number_of(trials, "trial or batch", "trials and batches"))
}

/// The heading of the form.
pub const ADD: &str = "Add bench";
/// An example.
pub const NAME_HELP: &str = "Such as mist house";
/// The button.
pub const SAVE_BENCH: &str = "Save the bench";

/// Greenhouse, frame, hoop house.
pub const STRUCTURE: &str = "Structure";

/// Mist, tent, lid.
pub const COVER: &str = "Mist or cover";
/// How it is watered.
pub const WATERING: &str = "Watering at the base";
/// An example.
pub const WATERING_HELP: &str = "Such as kept moist, or every 2 days";
/// The notice after saving.
pub const SAVED: &str = "Saved.";

/// For how many an entry of the log holds.
pub fn holds_for(trials: usize) -> String {
    if trials == 1 {
        "It holds for the one on it.".to_owned()
    } else {
        format!("It holds for all {trials} on it.")
    }
}

/// The heading of the log.
pub const LOG: &str = "Mist, shade, heat and water";
/// Where nothing was logged.
pub const NO_LOG: &str = "Nothing was logged.";

/// From when an entry of the log holds.
pub fn since(from: &str, until: Option<&str>) -> String {
    until.map_or_else(|| format!("from {from}"), |until| format!("from {from} to {until}"))
}

/// The label of a button that undoes an entry, for who cannot see beside what it stands.
pub fn undo(entry: &str) -> String {
    format!("{} {entry}", super::UNDO)
}

/// What was logged may end: what is sent, and what is read.
pub const ENDS: [(&str, &str); 4] = [
    ("end mist", "the mist ended"),
    ("end light", "the shade ended"),
    ("end heat", "the heat ended"),
    ("end water", "the watering ended"),
];

/// An entry of the log with how it is written.
pub fn logged(kind: &str, ways: &[&str]) -> String {
    let said = match kind {
        "heat" => "bottom heat as set",
        "measured" => "bottom heat as measured in the medium",
        kind => kind,
    };
    format!("{said}: {}", ways.join(", or "))
}

/// The fold of the form.
pub const LOG_FORM: &str = "Log mist, shade or heat";
/// What is logged.
pub const WHAT: &str = "What";
/// How it is written.
pub const WHAT_HELP: &str = "After the colon: how it is written below";
/// The entry.
pub const HOW: &str = "How";
/// Examples.
pub const HOW_HELP: &str = "Such as 8 s every 4 min 07:00-20:00; empty when it ended";
/// When it ends.
pub const LAST_DAY: &str = "Last day of it";
/// That it may be left out.
pub const MAY_BE_EMPTY: &str = "May stay empty.";
/// The button.
pub const SAVE_LOG: &str = "Save the log";
/// The heading of the trials.
pub const STANDING: &str = "What stands on it";
/// None does.
pub const NOTHING_TODAY: &str = "Nothing today.";
/// The fold of the form that sets trials on it.
pub const SET_ON: &str = "Set trials on it";
/// Which.
pub const CODES: &str = "Codes of trials";
/// How they are written.
pub const CODES_HELP: &str = "Parted by commas; all is every trial that is started";
/// The button.
pub const STANDS_THERE: &str = "It stands there";
