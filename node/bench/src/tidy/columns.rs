//! The columns of the tidy table, in order, and the descriptor that is made from them.

use serde_json::{Value, json};

/// What the cells of a column are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Any text.
    Text,
    /// A whole number.
    Whole,
    /// A number with decimals.
    Number,
    /// `true` or `false`.
    YesNo,
    /// A day, `2026-06-08`.
    Day,
}

/// A column: its name, what its cells are, and what they must keep to.
#[derive(Clone, Copy, Debug)]
pub struct Column {
    /// As in the header.
    pub name: &'static str,
    /// What it holds, with its unit.
    pub about: &'static str,
    /// What its cells are.
    pub kind: Kind,
    /// Whether no cell of it is blank.
    pub is_needed: bool,
    /// Whether its numbers begin at 0.
    pub is_from_zero: bool,
    /// The only words that it holds; any where there are none.
    pub words: &'static [&'static str],
}

impl Column {
    const fn of(kind: Kind, name: &'static str, about: &'static str) -> Self {
        Self { name, about, kind, is_needed: false, is_from_zero: false, words: &[] }
    }

    const fn needed(self) -> Self {
        Self { is_needed: true, ..self }
    }

    const fn zero_up(self) -> Self {
        Self { is_from_zero: true, ..self }
    }

    const fn one_of(self, words: &'static [&'static str]) -> Self {
        Self { words, ..self }
    }
}

const fn text(name: &'static str, about: &'static str) -> Column {
    Column::of(Kind::Text, name, about)
}

const fn whole(name: &'static str, about: &'static str) -> Column {
    Column::of(Kind::Whole, name, about)
}

const fn number(name: &'static str, about: &'static str) -> Column {
    Column::of(Kind::Number, name, about)
}

const fn yes_no(name: &'static str, about: &'static str) -> Column {
    Column::of(Kind::YesNo, name, about)
}

const fn day(name: &'static str, about: &'static str) -> Column {
    Column::of(Kind::Day, name, about)
}

const FACET: &str = "facet in force that day, words of the schema";
const EVENTS: &[&str] = &["planned", "stuck", "looked", "counted", "moved", "left", "carried"];

/// All columns, in order.
pub const COLUMNS: [Column; 69] = [
    text("trial", "your code").needed(),
    text("series", "random name of the trial, 32 hex digits, the same for ever").needed(),
    text("parent", "series that this one follows"),
    text("relation", "replaces, regraft or repeat").one_of(&["replaces", "regraft", "repeat"]),
    text("grower", "whose trial it is; blank = yours"),
    text("species", "accepted plant name").needed(),
    text("species_typed", "name as typed"),
    text("kind", "cutting, graft, bud, seed, layer, division, in the words of the schema; blank = not known"),
    text("question", "what it is to show"),
    whole("arm", "number of the arm").needed().zero_up(),
    text("arm_label", "label of the arm").needed(),
    yes_no("is_control", "the named control"),
    text("pot", "tag of the unit; label of the arm where there is none").needed(),
    text("block", "row, shared pot, tray, mother or operator within which arms are compared"),
    text("unit", "pot or piece: what was placed at random").one_of(&["pot", "piece"]).needed(),
    text("stock_plant", "mother plant"),
    text("operator", "who did the work"),
    text("spot", "where it stood that day"),
    text("wood", FACET),
    text("form", FACET),
    text("medium", FACET),
    text("auxin", FACET),
    text("solvent", FACET),
    text("wound", FACET),
    text("leaves", FACET),
    text("humidity", FACET),
    number("bottom_heat", "degrees C"),
    text("container", FACET),
    text("growing_place", FACET),
    text("rootstock", FACET),
    text("stratification", FACET),
    whole("bbch", FACET),
    text("stock_origin", FACET),
    text("stock_age", FACET),
    text("watering", FACET),
    whole("tip_nodes_removed", FACET).zero_up(),
    text("flower_buds", FACET),
    text("light", FACET),
    text("cultivar", FACET),
    day("date", "the day (middle of a range)").needed(),
    day("date_first", "first possible day"),
    day("date_last", "last possible day"),
    whole("days", "days since put in"),
    text("event", "planned, stuck, looked, counted, moved, left or carried").one_of(EVENTS).needed(),
    text("stage", "lift, season, spring, final; blank between")
        .one_of(&["lift", "season", "spring", "final"]),
    text("entries", "numbers of the journal entries, parted by ;"),
    yes_no("counted", "false: nobody named this unit that day, its state is carried").needed(),
    whole("planned", "pieces planned").zero_up(),
    whole("started", "pieces put in; blank while only planned").zero_up(),
    whole("alive", "alive, with and without roots").zero_up(),
    whole("waiting", "alive, no roots seen (green, undecided, not up yet)").zero_up(),
    whole("rooted_alive", "alive with roots (taken, germinated) as last seen").zero_up(),
    whole("established_alive", "of these growing on").zero_up(),
    whole("finished_alive", "of these at your own grade").zero_up(),
    whole("callused", "alive with callus; a mark, not a state").zero_up(),
    whole("not_known", "neither known alive nor known dead").zero_up(),
    whole("dead", "dead so far").zero_up(),
    whole("dead_rooted", "of these had roots").zero_up(),
    whole("lost", "unscored so far").zero_up(),
    whole("lost_rooted", "of these had roots").zero_up(),
    whole("left_finished", "sold, given or planted out at your grade so far").zero_up(),
    whole("left_below", "left below grade so far").zero_up(),
    whole("ever_rooted", "had roots at some time; blank until roots were looked for").zero_up(),
    day("roots_looked", "last look for roots"),
    text("causes", "causes of death or loss that day"),
    whole("suckers_removed", "of the arm so far").zero_up(),
    yes_no("closed", "closed by that day"),
    yes_no("private", "never offered for publishing"),
    text("note", "notes of that day"),
];

/// The columns that name a row.
pub const KEY: [&str; 4] = ["series", "arm", "pot", "date"];

/// The descriptor of the table: a Tabular Data Package with a Table Schema (Frictionless Data, version 1).
pub fn descriptor() -> Value {
    json!({
        "name": "propagule-bench-table",
        "profile": "tabular-data-package",
        "resources": [{
            "name": "bench-table",
            "path": super::TABLE,
            "profile": "tabular-data-resource",
            "format": "csv",
            "encoding": "utf-8",
            "dialect": { "delimiter": ",", "lineTerminator": "\n", "header": true },
            "schema": {
                "fields": COLUMNS.iter().map(field).collect::<Vec<_>>(),
                "missingValues": [""],
                "primaryKey": KEY,
            },
        }],
    })
}

fn field(column: &Column) -> Value {
    let kind = match column.kind {
        Kind::Text => "string",
        Kind::Whole => "integer",
        Kind::Number => "number",
        Kind::YesNo => "boolean",
        Kind::Day => "date",
    };
    let mut field = json!({ "name": column.name, "type": kind, "description": column.about });
    let mut constraints = serde_json::Map::new();
    if column.is_needed {
        constraints.insert("required".to_owned(), json!(true));
    }
    if column.is_from_zero {
        constraints.insert("minimum".to_owned(), json!(0));
    }
    if !column.words.is_empty() {
        constraints.insert("enum".to_owned(), json!(column.words));
    }
    if !constraints.is_empty() {
        field["constraints"] = constraints.into();
    }
    if column.kind == Kind::YesNo {
        field["trueValues"] = json!(["true"]);
        field["falseValues"] = json!(["false"]);
    }
    field
}
