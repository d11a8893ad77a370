//! The shape of what stands in print, the object `printed` of a pooled answer. Fields are only ever added.

use propagule_analysis::rate::RateSummary;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use propagule_evidence::printed::{AllArms, Grade};
use propagule_evidence::{FacetWords, Family};
use propagule_files::fault::Fault;

/// Trials in print, beside the growers' answer and never in it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PrintedAnswer {
    /// How much of it is shown.
    pub show: PrintedShow,
    /// No grower has reported the species: what stands here is all there is.
    pub no_grower: bool,
    /// Works.
    pub sources: usize,
    /// Trials.
    pub trials: usize,
    /// Treatments.
    pub arms: usize,
    /// Treatments that are not among them, since a record that a grower transcribed has the same ones.
    pub counted_as_records: usize,
    /// Treatments that the filters do not admit.
    pub not_admitted: usize,
    /// One entry a method, sorted by label; never by rate, since print is never ranked.
    pub methods: Vec<PrintedMethodAnswer>,
    /// The works cited, sorted by label.
    pub cited: Vec<CitedAnswer>,
    /// The tables built into the program.
    pub edition: EditionAnswer,
    /// What is wrong with rows and tables of this home that are not used.
    pub unused: Vec<Fault>,
}

/// How much of it is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum PrintedShow {
    /// Only how many works there are, below the growers' answer.
    Folded,
    /// All of it, below the growers' answer.
    Beside,
    /// All of it, and nothing else.
    Alone,
}

/// The treatments of one method in print.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PrintedMethodAnswer {
    /// Label, as growers' methods have it.
    pub method: String,
    /// Details that make the method.
    pub facets: FacetWords,
    /// In whose words it is said.
    pub family: Family,
    /// Works.
    pub sources: usize,
    /// Trials.
    pub trials: usize,
    /// Propagules started.
    pub started: u32,
    /// Successes.
    pub rooted: u32,
    /// Each treatment.
    pub rows: Vec<PrintedRowAnswer>,
    /// A figure over works; null with fewer than three of them.
    pub pooled: Option<PrintedPool>,
    /// A figure over growers and works; null unless asked for, and where one of the two is missing.
    pub with_growers: Option<PrintedPool>,
}

/// One treatment in print.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PrintedRowAnswer {
    /// Label of the work.
    pub source: String,
    /// Year of the work; null where its citation names none.
    pub year: Option<u16>,
    /// Label of the trial.
    pub trial: String,
    /// Label of the treatment.
    pub arm: String,
    /// The treatment in words; empty where nothing was printed.
    pub treatment: String,
    /// Species as printed, where it is another name than the one asked for: a subspecies, or a synonym.
    pub species: Option<String>,
    /// Propagules started.
    pub started: u32,
    /// Successes.
    pub rooted: u32,
    /// What the count alone fits: 95 %, one-sided where none or all succeeded.
    pub interval: [f64; 2],
    /// Weeks to the count.
    pub weeks: Option<u16>,
    /// Month in which it was started.
    pub month: Option<u8>,
    /// Country, of the seed batch for seed.
    pub country: Option<String>,
    /// Whether the work reports all treatments of the trial.
    pub all_arms_reported: AllArms,
    /// Whether it enters pooled figures; a treatment that is the best of several does not.
    pub in_pool: bool,
    /// How the count was read; null for a record that a grower transcribed.
    pub grade: Option<Grade>,
    /// How the count follows from what was printed.
    pub count_basis: Option<String>,
    /// What was printed and has no word in the vocabulary.
    pub other: Option<String>,
    /// What else to know.
    pub remark: Option<String>,
}

/// A pooled figure in which works count as growers do.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PrintedPool {
    /// Growers in it.
    pub growers: usize,
    /// Works in it.
    pub sources: usize,
    /// Treatments in print that are in it.
    pub arms: usize,
    /// Propagules started.
    pub started: u32,
    /// Successes.
    pub rooted: u32,
    /// Mean rate of the average one.
    pub average_rate_mean: f64,
    /// Its quantiles 2.5 %, 50 % and 97.5 %.
    pub average_rate_q: [f64; 3],
    /// The same of one that is not among them.
    pub next_rate_q: [f64; 3],
    /// Spread between them on the logit scale.
    pub tau_mean: f64,
}

/// One work.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CitedAnswer {
    /// Its label in the rows.
    pub source: String,
    /// As it is cited; the DOI for a record that a grower transcribed.
    pub citation: String,
    /// Year, where the citation names one.
    pub year: Option<u16>,
    /// DOI or address.
    pub address: Option<String>,
    /// Where in the work the counts stand.
    pub place: Option<String>,
    /// From what it was read.
    pub how_read: Option<String>,
    /// What is said of rights in it.
    pub rights: Option<String>,
    /// When it was read.
    pub date_read: Option<String>,
}

/// Which tables are built into the program.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct EditionAnswer {
    /// Counts up with every change.
    pub version: u16,
    /// The day on which the last work was read.
    pub date: String,
}

impl PrintedPool {
    /// Counts of the pool are set by whoever pools.
    pub(super) fn of(fit: &RateSummary) -> Self {
        Self {
            growers: 0,
            sources: 0,
            arms: 0,
            started: 0,
            rooted: 0,
            average_rate_mean: fit.average_grower_rate_mean,
            average_rate_q: fit.average_grower_rate_q,
            next_rate_q: fit.new_grower_rate_q,
            tau_mean: fit.tau_mean,
        }
    }
}
