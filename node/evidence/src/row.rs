//! One arm of one trial, as counted for one question.

use std::collections::BTreeMap;
use std::fmt;

use propagule_protocol::place::Midpoints;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::left_out::{EvidenceNote, LeftOut};

/// Detail names and the words they hold, sorted by name. Rows of an evidence CSV hold `method` instead.
pub type FacetWords = BTreeMap<String, String>;

/// When the propagules were counted.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Stage {
    /// On lift day.
    #[default]
    Lift,
    /// At the end of the season, or after weaning.
    Season,
    /// In the spring after.
    Spring,
    /// At the final count.
    Final,
}

/// What counts as a success.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// Rooted; taken for grafts and buds; germinated for seed.
    #[default]
    Rooted,
    /// Still green under the bark.
    Alive,
    /// With callus.
    Callused,
    /// Growing on.
    Established,
    /// Finished plants by the grower's own grade.
    Final,
}

impl Stage {
    /// All stages, in the order of time.
    pub const ALL: [Self; 4] = [Self::Lift, Self::Season, Self::Spring, Self::Final];

    /// The word used in JSON, CSV and options.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Lift => "lift",
            Self::Season => "season",
            Self::Spring => "spring",
            Self::Final => "final",
        }
    }

    /// The stage that `word` names.
    pub fn parse(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|stage| stage.word() == word)
    }
}

impl Outcome {
    /// All outcomes.
    pub const ALL: [Self; 5] = [Self::Rooted, Self::Alive, Self::Callused, Self::Established, Self::Final];

    /// The word used in JSON, CSV and options.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Rooted => "rooted",
            Self::Alive => "alive",
            Self::Callused => "callused",
            Self::Established => "established",
            Self::Final => "final",
        }
    }

    /// The outcome that `word` names; "taken" and "germinated" are what grafts and seed call rooted.
    pub fn parse(word: &str) -> Option<Self> {
        match word {
            "taken" | "germinated" => Some(Self::Rooted),
            _ => Self::ALL.into_iter().find(|outcome| outcome.word() == word),
        }
    }
}

impl fmt::Display for Stage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

impl fmt::Display for Outcome {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// What is asked of the evidence; rooted at lift unless told otherwise.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
pub struct Question {
    /// At which count.
    pub stage: Stage,
    /// What counts as a success.
    pub outcome: Outcome,
}

impl Question {
    /// Whether an answer may rank methods: alive and callused never do.
    pub fn ranks_methods(self) -> bool {
        !matches!(self.outcome, Outcome::Alive | Outcome::Callused)
    }
}

/// A place given in a sites file: yearly mean temperature and rain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Site {
    /// °C.
    pub temp: f64,
    /// mm a year, above 0.
    pub rain: f64,
}

/// What the treatment's method became after survivors were moved before this count.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct LaterPhase {
    /// Weeks after starting.
    pub after_weeks: u16,
    /// The method from then on.
    pub facets: FacetWords,
}

/// What a reader should know of a row beside its counts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[expect(clippy::struct_excessive_bools, reason = "independent marks, each shown on its own")]
pub struct RowFlags {
    /// Two records claim to be the same update.
    pub equivocated: bool,
    /// A later update lowered the started count or left out a treatment.
    pub shrunk: bool,
    /// One batch without a question: no comparison was meant.
    pub lot: bool,
    /// The treatment stood in one pot, tray or row.
    pub single_replicate: bool,
    /// Stock plants were split unevenly over the treatments.
    pub stock_plants_uneven: bool,
    /// The trial was opened on the network before its first counts.
    pub opened_early: bool,
    /// Transcribed from print.
    pub transcribed: bool,
    /// Transcribed from a source that may have printed its successes only: never in a ranking.
    pub perhaps_chosen: bool,
    /// Several growers entered by one publisher who is not trusted with that: counted as one.
    pub marks_joined: bool,
    /// Opened on the network, and overdue at this count.
    pub silent: bool,
    /// None was alive at an earlier count, so none can be at this one.
    pub ended_earlier: bool,
    /// An unlisted difference sets the treatment apart from others of its trial.
    pub unlisted_difference: Option<u8>,
    /// The i-th pot of every treatment stands in block i.
    pub matched: bool,
    /// Each propagule was placed by itself, or nothing is said of pots, as in a table.
    pub unit_is_piece: bool,
    /// The treatment that the others of its trial are held against.
    pub is_control: bool,
    /// Months by which the treatment started later than its trial.
    pub start_offset: i8,
}

/// One pot, tray or row of a treatment.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Pot {
    /// Propagules started; 0 where a block lacks the treatment.
    pub started: u32,
    /// Propagules that count as success.
    pub succeeded: u32,
    /// Propagules never scored.
    pub lost: u32,
}

/// One treatment of one trial, as counted for one question.
#[derive(Clone, Debug, PartialEq)]
pub struct EvidenceRow {
    /// Label of the grower: the cluster of the model.
    pub grower: String,
    /// Label of the author who signed; the grower where there is none.
    pub publisher: String,
    /// Label of the trial, unique over growers.
    pub trial: String,
    /// Number or label of the treatment, unique in its trial.
    pub arm: String,
    /// The method.
    pub facets: FacetWords,
    /// Later phases that began before this count.
    pub phases: Vec<LaterPhase>,
    /// For each of them the successes that were first seen after it and before the next; nothing where the outcome is
    /// not one that is seen for a first time.
    pub first_seen: Vec<u32>,
    /// The outcome in the end of the propagules; none where no count tells of it.
    pub life: Option<Life>,
    /// Propagules started.
    pub started: u32,
    /// Propagules that count as success; 0 while `pending`.
    pub succeeded: u32,
    /// Propagules that were never scored; failures in the headline.
    pub lost: u32,
    /// Each pot, where they were counted apart; else none.
    pub pots: Vec<Pot>,
    /// Propagules alive at this count, successes included.
    pub alive: Option<u32>,
    /// Not yet counted at this stage.
    pub pending: bool,
    /// Weeks from starting to this count.
    pub weeks: Option<u16>,
    /// Middles of the bins of the published region.
    pub region: Option<Midpoints>,
    /// Place from a sites file.
    pub site: Option<Site>,
    /// Signed by a key of this home.
    pub own: bool,
    /// Power on the grower's likelihood before any cap.
    pub weight: f64,
    /// What else a reader should know.
    pub flags: RowFlags,
}

impl EvidenceRow {
    /// Propagules alive without being a success yet; 0 where alive was not counted.
    pub fn still_waiting(&self) -> u32 {
        self.alive.map_or(0, |alive| alive.saturating_sub(self.succeeded))
    }
}

/// Rows for one question about one species, and what did not become a row.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Evidence {
    /// Treatments, pending ones included.
    pub rows: Vec<EvidenceRow>,
    /// What was left out.
    pub left_out: Vec<LeftOut>,
    /// Treatments of stocks that were worked again, where those are left out.
    pub regrafts: Vec<EvidenceRow>,
    /// Treatments of records transcribed from print, where those are left out.
    pub transcribed: Vec<EvidenceRow>,
    /// Things to say beside the answer.
    pub notes: Vec<EvidenceNote>,
    /// Trials opened and what became of them; `None` while nothing was opened.
    pub silence: Option<Silence>,
}

/// Trials opened before their first counts, by what became of them at one stage. The last four add up to the first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Silence {
    /// Opened before their first counts.
    pub opened: usize,
    /// With counts at the stage asked for.
    pub reported: usize,
    /// Not due yet.
    pub pending: usize,
    /// Overdue by more than three months.
    pub silent: usize,
    /// Undone.
    pub withdrawn: usize,
}

/// The outcome in the end of the propagules of one treatment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Life {
    /// Propagules that were ever rooted, whatever became of them.
    pub ever_rooted: u32,
    /// Alive without roots at the last count that tells; none where it does not say.
    pub still_waiting: Option<u32>,
    /// Nothing waited at lift, or roots were looked for after it.
    pub is_resolved: bool,
}
