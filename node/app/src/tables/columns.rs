//! Columns of a trial table.

use propagule_protocol::Facet;

use propagule_bench::Stage;

/// What a row must say, by a column, a heading or a constant.
pub const NEEDED_COLUMNS: [&str; 4] = ["trial", "species", "started", "started_on"];

/// Columns that describe a row, beside the needed ones.
pub(super) const ROW_COLUMNS: [&str; 15] = [
    "grower",
    "spot",
    "arm",
    "pot",
    "rep",
    "piece",
    "operator",
    "stock_plant",
    "place",
    "stock_plants",
    "randomised",
    "blocked",
    "scored_blind",
    "suckers",
    "note",
];

/// Counts of a stage; each column is the stage's word, an underscore, and one of these.
pub const COUNT_COLUMNS: [&str; 10] = [
    "alive",
    "green",
    "callused",
    "rooted",
    "established",
    "finished",
    "dead",
    "lost",
    "not_known",
    "left_as_finished",
];

/// A count between the stages, on the day that the heading names.
pub(super) const CHECK: &str = "check";
/// A column that is not read.
pub(super) const UNUSED: &str = "unused";

/// Name of a stage's column.
pub(super) fn of_stage(stage: Stage, what: &str) -> String {
    format!("{}_{what}", stage.word())
}

/// Stage and count of a column that holds counts.
pub(super) fn count_of(name: &str) -> Option<(Stage, &'static str)> {
    let (stage, what) = name.split_once('_')?;
    let stage = Stage::ALL.into_iter().find(|known| known.word() == stage)?;
    COUNT_COLUMNS.into_iter().find(|known| *known == what).map(|what| (stage, what))
}

/// Whether a column holds counts of pieces.
pub(super) fn is_count(name: &str) -> bool {
    name == "started" || name == "suckers" || name.starts_with(CHECK) || count_of(name).is_some()
}

/// Counts at a check whose heading says what was counted.
pub(super) const CHECKED: [&str; 4] = ["check_alive", "check_dead", "check_lost", "check_rooted"];

/// Every column that is understood.
pub fn known() -> Vec<String> {
    let facets = Facet::ALL.iter().map(|facet| facet.name().to_owned());
    let fixed = NEEDED_COLUMNS.iter().chain(&ROW_COLUMNS).chain(&CHECKED).map(|name| (*name).to_owned());
    let staged = Stage::ALL
        .into_iter()
        .flat_map(|stage| COUNT_COLUMNS.iter().chain(&["on"]).map(move |what| of_stage(stage, what)));
    facets.chain(fixed).chain([CHECK.to_owned(), UNUSED.to_owned()]).chain(staged).collect()
}
