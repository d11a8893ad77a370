//! One arm of a trial in print.

use propagule_protocol::Taxon;

use super::{AllArms, Grade};
use crate::row::{EvidenceRow, FacetWords, RowFlags};

/// One arm of a trial in print, as it was counted: rooted, taken or germinated of all that were put in.
#[derive(Clone, Debug, PartialEq)]
pub struct PrintedArm {
    /// Label of its source.
    pub source: String,
    /// DOI of the source in lower case, where one is known: two labels with one DOI are one source.
    pub doi: Option<String>,
    /// The species.
    pub taxon: Taxon,
    /// Label of the trial, unique in its source.
    pub trial: String,
    /// Label of the arm, unique in its trial.
    pub arm: String,
    /// The arm in words.
    pub label: String,
    /// What the vocabulary can say of it; what is not printed is not here.
    pub facets: FacetWords,
    /// What was printed and has no word in the vocabulary.
    pub other: Option<String>,
    /// Pieces put in.
    pub started: u32,
    /// Pieces rooted, taken or germinated.
    pub succeeded: u32,
    /// Weeks to the count, where printed.
    pub weeks: Option<u16>,
    /// Month of the year in which it was put in, where printed.
    pub month: Option<u8>,
    /// Country, where printed: of the seed lot for seed, else of the trial.
    pub country: Option<String>,
    /// Whether the source reports all arms of the trial.
    pub all_arms: AllArms,
    /// How the count was read; `None` for a record that a grower transcribed.
    pub grade: Option<Grade>,
    /// How the count follows from what was printed.
    pub basis: Option<String>,
    /// What else to know.
    pub remark: Option<String>,
}

impl PrintedArm {
    /// The source as a cluster: its DOI, else its label.
    pub fn cluster(&self) -> String {
        self.doi.as_ref().map_or_else(|| self.source.clone(), |doi| format!("doi:{doi}"))
    }

    /// Whether it may enter a pooled figure: where arms are known to be left out, those printed are the best of several.
    pub fn may_be_pooled(&self) -> bool {
        self.all_arms != AllArms::No
    }

    /// The arm as a row for the engines that group and pool; its cluster is the source, of full weight.
    pub fn as_row(&self) -> EvidenceRow {
        let cluster = self.cluster();
        EvidenceRow {
            publisher: cluster.clone(),
            trial: format!("{cluster}/{}", self.trial),
            grower: cluster,
            arm: self.arm.clone(),
            facets: self.facets.clone(),
            phases: Vec::new(),
            first_seen: Vec::new(),
            life: None,
            started: self.started,
            succeeded: self.succeeded,
            lost: 0,
            pots: Vec::new(),
            alive: None,
            pending: false,
            weeks: self.weeks,
            region: None,
            site: None,
            own: false,
            weight: 1.0,
            flags: RowFlags {
                transcribed: true,
                perhaps_chosen: self.all_arms != AllArms::Yes,
                ..RowFlags::default()
            },
        }
    }

    /// A counted arm of a record that a grower transcribed from print.
    pub(super) fn of_record(row: &EvidenceRow, taxon: &Taxon) -> Self {
        Self {
            source: row.grower.clone(),
            doi: super::source::doi(&row.grower),
            taxon: taxon.clone(),
            trial: row.trial.clone(),
            arm: row.arm.clone(),
            label: String::new(),
            facets: row.facets.clone(),
            other: None,
            started: row.started,
            succeeded: row.succeeded,
            weeks: row.weeks,
            month: None,
            country: None,
            all_arms: if row.flags.perhaps_chosen { AllArms::Unknown } else { AllArms::Yes },
            grade: None,
            basis: None,
            remark: None,
        }
    }
}
