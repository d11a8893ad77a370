//! Results counted: from records or a table to rows, methods and clusters for the model.
//!
//! The laws of counting live here and nowhere else: `started` is the denominator for ever, pieces never scored
//! are failures in the headline, dug without roots is a failure at that count, absent is pending and never
//! zero, a move makes no other method and roots first seen after it are a part of all that were put in, unknown equals
//! nothing.

#![forbid(unsafe_code)]

mod circle;
pub mod csv;
mod facets;
mod family;
#[doc(hidden)]
pub mod fixtures;
mod left_out;
mod life;
mod method;
pub mod printed;
mod records;
mod row;
mod tally;

pub use circle::{Circle, Edge, FRIEND_RECEIVES, FURTHEST, Member, Trust, Whose};
pub use facets::facet_words;
pub use family::{Family, HUMIDITY_GROUPS, humidity_group, kind_family, method_family};
pub use left_out::{EvidenceNote, LeftOut, WhyLeftOut};
pub use life::{Moved, WholeLife, moved, whole_life};
pub use method::{Filter, Grouping, MethodGroup, group};
pub use records::{
    GRACE_MONTHS, HeldTrial, RecordOptions, every_species_from_set, from_records, from_set, trial_label,
};
pub use row::{
    Evidence, EvidenceRow, FacetWords, LaterPhase, Life, Outcome, Pot, Question, RowFlags, Silence, Site,
    Stage,
};
pub use tally::{Cluster, GROWER_CAP, Lost, Tally, clusters, growers, tally};
