//! What has words of its own in an outcome: data here, said by `present`, which puts the words in its place in JSON.

use std::borrow::Cow;

use propagule_bench::Stage;
use propagule_bench::changes::Change;
use propagule_bench::dates::When;
use propagule_bench::due::DueKind;
use propagule_bench::kind::Kind;
use propagule_bench::spot::Care;
use propagule_bench::summarise::NotInRecord;
use propagule_files::fault::Fault;
use propagule_protocol::{AuthorKey, Month};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Serialize};

use super::doctor::{Fix, Found};
use super::due::DueCalendar;
use super::entry::NumberCorrected;
use super::import::{ImportTotals, RowSays};
use super::judged::VerdictSaid;
use super::key::WhoseKey;
use super::new_trial::{OutlookLine, UnusualValue};
use super::peers::ReachLine;
use super::spots::CareDays;
use super::undo::EntryLine;
use crate::tables::{CellChanged, OtherLine, Stated};

/// Something that is said where JSON has words.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "say", rename_all = "snake_case")]
pub enum Said {
    /// How a node is reached.
    Reach(ReachLine),
    /// A field of a record.
    RecordField {
        /// By the record's own name.
        what: String,
        /// In whose words it is said.
        kind: Kind,
    },
    /// The value of such a field.
    RecordValue {
        /// By the record's own name.
        value: String,
        /// In whose words it is said.
        kind: Kind,
    },
    /// Something that a record has no room for.
    NotInRecord {
        /// What.
        one: NotInRecord,
        /// In whose words it is said.
        kind: Kind,
    },
    /// What a check of the doctor found.
    Found(Found),
    /// What mends it, each on a line of its own.
    Fixes {
        /// Which.
        fixes: Vec<Fix>,
    },
    /// What a fault says to do now, each on a line of its own.
    HintsOf {
        /// The fault.
        fault: Fault,
    },
    /// Whose a key is.
    WhoseKey {
        /// Whose.
        whose: WhoseKey,
    },
    /// The cancellation of a key, to be printed.
    RevocationSheet {
        /// The key.
        key: AuthorKey,
        /// The network in which it holds.
        network: String,
        /// When it was made.
        made_in: Month,
        /// The record as numbered lines.
        lines: String,
    },
    /// Something to do.
    Task {
        /// What.
        task: DueKind,
        /// In whose words it is said.
        of: Kind,
    },
    /// A calendar file.
    Calendar(DueCalendar),
    /// How far a trial has come.
    StageReached {
        /// The last stage at which it was counted.
        stage: Option<Stage>,
        /// Nothing is started yet.
        is_planned: bool,
        /// The day of the last check, where one was made.
        checked_on: Option<When>,
    },
    /// All trials of a table together.
    ImportTotals(ImportTotals),
    /// How something in a table is read.
    ReadingStated {
        /// What and how.
        reading: Stated,
    },
    /// What a line of a table is that is no row of plants.
    TableLine {
        /// Which.
        line: OtherLine,
    },
    /// Why such a line is taken for what it is.
    TableLineWhy {
        /// Which.
        line: OtherLine,
    },
    /// What a row of plants says.
    TableRow(Box<RowSays>),
    /// A cell of it says something else than is known.
    CellChanged(CellChanged),
    /// It waits for the answer to a question.
    LineWaits,
    /// Nothing was counted.
    NotCounted,
    /// The word for what succeeded at a stage.
    OutcomeAt {
        /// Which.
        stage: Stage,
        /// In whose words it is said.
        kind: Kind,
    },
    /// A verdict and its reason.
    VerdictReason(Box<VerdictSaid>),
    /// The whole sentence of a verdict.
    VerdictSentence(Box<VerdictSaid>),
    /// The mist, shade, heat and water log of a bench.
    Care {
        /// What.
        care: Care,
    },
    /// A number of an entry that was corrected.
    NumberCorrected(NumberCorrected),
    /// An entry in one line.
    Entered(Box<EntryLine>),
    /// What a fault says is wrong.
    WhatOf {
        /// The fault.
        fault: Fault,
    },
    /// An entry in the mist, shade, heat and water log of a bench, with its days.
    CareDays(CareDays),
    /// What a fault says to do now, in one line.
    HintOf {
        /// The fault.
        fault: Fault,
    },
    /// What changed in the description of a trial.
    Change {
        /// What.
        change: Change,
        /// In whose words it is said.
        kind: Kind,
    },
    /// What a size can show.
    Outlook(OutlookLine),
    /// A value that is unusual.
    Unusual(UnusualValue),
    /// A hazard of work.
    Hazard {
        /// Its name.
        id: String,
    },
    /// Where what is said of a hazard is written.
    HazardSource {
        /// Its name.
        id: String,
    },
}

/// As JSON shows it: in words.
impl JsonSchema for Said {
    fn schema_name() -> Cow<'static, str> {
        "Said".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "Words of the program, or a list of lines.",
            "anyOf": [{ "type": "string" }, { "type": "array", "items": { "type": "string" } }],
        })
    }
}
