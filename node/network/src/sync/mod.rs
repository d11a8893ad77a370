//! Anti-entropy: what to ask a peer for, and what to answer. No I/O and no network library here.
//!
//! Pull only. A session compares month fingerprints, reconciles the ids of each month that differs,
//! newest first, and fetches what is missing. Nothing that a peer claims is believed before bytes
//! hash to the id that was asked for, and nothing is ever pushed: the peer asks for itself.

mod allowance;
mod budget;
mod lane;
#[cfg(test)]
mod limit_tests;
mod message;
mod pull;
mod schedule;
#[cfg(test)]
mod scope_tests;
mod serve;

pub use allowance::{Admission, Allowances, Asked, Familiarity, Granted};
pub use budget::Budget;
pub use lane::AuthorHead;
pub use message::{Broken, Decline, NotAMessage, Question, Reply};
pub use pull::{Outcome, Pull, Receipt, Step};
pub use schedule::Schedule;
pub use serve::Answerer;

use propagule_protocol::Month;
use propagule_protocol::{AuthorKey, NetworkId, RecordId};

use crate::admission::AuthorRange;
use crate::months::{MonthRow, sum_of};
use propagule_files::journal::StoreError;

/// The records that a node holds, as the exchange sees them.
pub trait LocalSet {
    /// Count and fingerprint of every month.
    fn months(&self) -> Vec<MonthRow>;
    /// Count and fingerprint of one month, if there are records of it.
    fn month(&self, month: Month) -> Option<MonthRow> {
        self.months().into_iter().find(|row| row.month == month)
    }
    /// Ids of one month.
    fn ids_in_month(&self, month: Month) -> Result<Vec<RecordId>, StoreError>;
    /// Ids of one month whose authors lie in a range.
    fn ids_in_month_within(&self, month: Month, range: AuthorRange) -> Result<Vec<RecordId>, StoreError> {
        if range == AuthorRange::EVERYBODY { self.ids_in_month(month) } else { Ok(Vec::new()) }
    }
    /// Count and fingerprint of what every month holds of a range.
    fn months_within(&self, range: AuthorRange) -> Result<Vec<MonthRow>, StoreError> {
        let months = self.months();
        if range == AuthorRange::EVERYBODY {
            return Ok(months);
        }
        let within =
            months.iter().map(|row| Ok(sum_of(row.month, &self.ids_in_month_within(row.month, range)?)));
        within.filter_map(Result::transpose).collect()
    }
    /// Ids of everything that one key signed.
    fn ids_of_author(&self, author: &AuthorKey) -> Result<Vec<RecordId>, StoreError> {
        let _ = author;
        Ok(Vec::new())
    }
    /// Whether a record is known, in the set or aside.
    fn knows(&self, id: &RecordId) -> Result<bool, StoreError>;
    /// The bytes of a record in the set; nothing of one that is hidden.
    fn bytes(&self, id: &RecordId) -> Result<Option<Vec<u8>>, StoreError>;
    /// The id that bytes from a peer have, before anything about them is verified; nothing of what is no record.
    fn id_of(&self, bytes: &[u8], network: &NetworkId) -> Option<RecordId> {
        propagule_protocol::id_of(bytes, network)
    }
}

/// The ids that one month holds of a range as the reconciliation library wants them.
fn month_vector(
    set: &(impl LocalSet + ?Sized),
    month: Month,
    range: AuthorRange,
) -> Result<negentropy::NegentropyStorageVector, StoreError> {
    let ids = if range == AuthorRange::EVERYBODY {
        set.ids_in_month(month)?
    } else {
        set.ids_in_month_within(month, range)?
    };
    let mut vector = negentropy::NegentropyStorageVector::with_capacity(ids.len());
    for id in ids {
        let item = negentropy::Id::from_byte_array(id.0);
        vector.insert(u64::from(month.0), item).expect("a vector takes items until it is sealed");
    }
    vector.seal().expect("a vector is sealed once");
    Ok(vector)
}
