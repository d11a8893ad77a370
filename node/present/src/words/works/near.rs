//! An own trial among those of growers in a like climate.

use propagule_app::outcome::trials::TrialLine;

use crate::kind::KindWords;
use crate::words::sentences::when;

/// The heading before a trial is chosen.
pub const WHICH_TRIAL: &str = "Your trial and growers like you";
/// What the page is for.
pub const ABOUT: &str =
    "One of your trials beside growers who did the same, those in a climate like yours first.";
/// Where nothing is on the bench; the way to set one up stands behind it.
pub const NONE_YET: &str = "No trial is on your bench yet.";
/// Beside a trial that cannot be compared.
pub const NOT_COUNTED: &str = "not counted yet";

/// When a trial was started, in the word of its kind.
pub fn started(line: &TrialLine) -> String {
    let said = KindWords::of(line.kind);
    format!("{} {}", said.started, when(&said, &line.started_on))
}

/// The title of a comparison.
pub fn compare(code: &str) -> String {
    format!("Compare {code}")
}

/// The button.
pub const COMPARE: &str = "Compare";
/// The fold of the form.
pub const OTHERWISE: &str = "Compare otherwise: another count, another site";
/// Where it grew.
pub const AT: &str = "What if it had grown at";
/// What that changes.
pub const AT_HELP: &str = "Another of your sites: the counts stay, the climate is that of the site";
/// Its own site.
pub const WHERE_IT_STOOD: &str = "where it stood";
/// The way to the trial.
pub const THE_TRIAL: &str = "The trial";
/// The way to the list.
pub const ANOTHER: &str = "Another trial";
