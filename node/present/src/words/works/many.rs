//! How many to start, and what to try.

/// The heading before a plant is chosen.
pub const TITLE: &str = "How many to start";

/// The title of an answer.
pub fn plan(plant: &str) -> String {
    format!("Plan {plant}")
}

/// The heading of the form below an answer.
pub const OTHERWISE: &str = "Plan otherwise";
/// What it is worked out from.
pub const ABOUT: &str = "From what growers reported, and from your own counts where you have some.";
/// The wish.
pub const WANTED: &str = "Plants wanted";
/// How sure to be of it.
pub const SURE: &str = "How sure, times in 100";
/// How many there are.
pub const SPARE: &str = "How many you can spare";
/// What that is for.
pub const SPARE_HELP: &str = "For a trial of two methods; leave empty if it does not matter";
/// What one costs.
pub const COST: &str = "Cost of each";
/// How long one takes.
pub const MINUTES: &str = "Minutes for each";
/// The fold.
pub const MORE: &str = "More: count, groups, whose results";
/// What may split.
pub const SPLIT_HELP: &str = "A detail such as medium; none for all methods together";
/// The button.
pub const PLAN: &str = "Plan";
/// The way to setting up, which shows what a size can tell.
pub const SIZE: &str = "See what a trial of your size can show";
/// The way to the evidence.
pub const RESTS_ON: &str = "What it rests on";
/// The way to the data.
pub const AS_JSON: &str = "Plan as JSON";
