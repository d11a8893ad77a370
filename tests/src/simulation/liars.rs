//! Nodes that break the protocol in every way that is known.

use propagule_files::journal::StoreError;
use propagule_network::spread::SeededDice;
use propagule_network::store::{MonthRow, MonthSums};
use propagule_network::sync::{Answerer, Budget, LocalSet, Question, Reply};
use propagule_protocol::{Month, RecordId};

use super::records::random_id;

/// How a node lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lie {
    /// Never answers.
    Silent,
    /// Answers with bytes that mean nothing, and gossips such.
    Garbage,
    /// Has another set at every question.
    NeverConverges,
    /// Promises records that it has not, and sends others.
    Promises,
    /// Says that it has nothing.
    Hides,
}

impl Lie {
    pub(super) const ALL: [Self; 5] =
        [Self::Silent, Self::Garbage, Self::NeverConverges, Self::Promises, Self::Hides];
}

/// Ids that nobody has.
struct Invented {
    month: Month,
    ids: Vec<RecordId>,
}

impl Invented {
    fn new(month: Month, dice: &mut SeededDice) -> Self {
        Self { month, ids: (0..40).map(|_| random_id(dice)).collect() }
    }
}

impl LocalSet for Invented {
    fn months(&self) -> Vec<MonthRow> {
        let mut sums = MonthSums::default();
        self.ids.iter().for_each(|id| {
            sums.add(self.month, id);
        });
        sums.rows()
    }

    fn ids_in_month(&self, _: Month) -> Result<Vec<RecordId>, StoreError> {
        Ok(self.ids.clone())
    }

    fn knows(&self, id: &RecordId) -> Result<bool, StoreError> {
        Ok(self.ids.contains(id))
    }

    fn bytes(&self, _: &RecordId) -> Result<Option<Vec<u8>>, StoreError> {
        Ok(None)
    }
}

/// What a liar answers.
pub(super) fn answer(
    lie: Lie,
    question: &Question,
    month: Month,
    answerer: &Answerer,
    dice: &mut SeededDice,
) -> Option<Reply> {
    match (lie, question) {
        (Lie::Silent, _) => None,
        (Lie::Garbage, Question::Months(_)) => {
            Some(Reply::Months(vec![MonthRow { month, count: 9, fingerprint: [9; 16] }]))
        }
        (Lie::Garbage, _) => Some(Reply::Reconcile(vec![0xFF; 40])),
        (Lie::Hides, Question::Months(_)) => Some(Reply::Months(Vec::new())),
        (Lie::Promises | Lie::NeverConverges, Question::Fetch(_)) => {
            Some(Reply::Records(vec![vec![0xEE; 300]; 3]))
        }
        (_, question) => Some(answerer.reply(question, &Invented::new(month, dice), Budget::DIRECT)),
    }
}
