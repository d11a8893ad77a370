//! Peers that go beyond the limits of a session, and how far they come.

use std::cell::Cell;

use propagule_protocol::NetworkId;

use super::*;
use crate::limits::{
    CACHED_MONTHS, RECONCILE_BYTES, RELAYED_FETCH_IDS, RELAYED_FRAME_BYTES, RELAYED_REPLY_BYTES, REPLY_BYTES,
    ROUNDS, ROUNDS_WITHOUT_PROGRESS,
};
use crate::spread::{Dice, SeededDice};

const NETWORK: NetworkId = NetworkId([5; 32]);
const MONTH: Month = Month(1_500);
/// Bytes of each record.
const BYTES: usize = 400;

/// The same ids in some months, with a rule which records it says it knows.
struct Named {
    months: Vec<Month>,
    ids: Vec<RecordId>,
    knows: fn(&RecordId) -> bool,
    /// How often the ids of a month were asked for.
    looked: Cell<usize>,
}

impl Named {
    fn new(count: usize, seed: u64, knows: fn(&RecordId) -> bool) -> Self {
        let mut dice = SeededDice(seed);
        let mut id = |_| {
            let mut id = [0; 32];
            id.chunks_exact_mut(8).for_each(|part| part.copy_from_slice(&dice.roll().to_be_bytes()));
            RecordId(id)
        };
        Self { months: vec![MONTH], ids: (0..count).map(&mut id).collect(), knows, looked: Cell::new(0) }
    }
}

impl LocalSet for Named {
    fn months(&self) -> Vec<MonthRow> {
        let count = self.ids.len() as u32;
        let fingerprint = [self.ids.first().map_or(0, |id| id.0[0]); 16];
        let row = |month: &Month| MonthRow { month: *month, count, fingerprint };
        self.months.iter().map(row).collect()
    }

    fn ids_in_month(&self, _: Month) -> Result<Vec<RecordId>, StoreError> {
        self.looked.set(self.looked.get() + 1);
        Ok(self.ids.clone())
    }

    fn knows(&self, id: &RecordId) -> Result<bool, StoreError> {
        Ok((self.knows)(id))
    }

    fn bytes(&self, id: &RecordId) -> Result<Option<Vec<u8>>, StoreError> {
        Ok(Some([&id.0[..], &[7; BYTES - 32]].concat()))
    }

    fn id_of(&self, bytes: &[u8], _: &NetworkId) -> Option<RecordId> {
        RecordId::from_bytes(bytes.get(..32)?)
    }
}

/// Pulls within `budget`; all records that are sent count as come.
fn session(ours: &Named, budget: Budget, mut peer: impl FnMut(&Question) -> Reply) -> Outcome {
    let (mut pull, first) = Pull::start(NETWORK, budget);
    let mut step = Step::Ask(first);
    loop {
        step = match step {
            Step::Ask(question) => pull.answer(peer(&question), ours).expect("ids do not fail"),
            Step::Take(records) => {
                pull.taken(&vec![Receipt::Kept; records.len()], ours).expect("ids do not fail")
            }
            Step::Done(outcome) => return outcome,
        };
    }
}

#[test]
fn a_peer_whose_rounds_bring_no_id_is_given_up() {
    let (ours, theirs) = (Named::new(0, 1, |_| true), Named::new(20_000, 2, |_| true));
    let answerer = Answerer::new(NETWORK);
    let outcome =
        session(&ours, Budget::DIRECT, |question| answerer.reply(question, &theirs, Budget::DIRECT));
    assert!(outcome.is_peer_at_fault(), "{outcome:?}");
    assert_eq!((outcome.rounds, outcome.wanted), (ROUNDS_WITHOUT_PROGRESS, 0));
}

/// Frames as long as a reply may be, each with a few ids that are new among many that are known.
#[test]
fn a_peer_that_sends_long_frames_is_left_before_all_rounds_are_used_up() {
    let ours = Named::new(0, 1, |id| id.0[31] != 0);
    let theirs = Named::new(300_000, 2, |_| true);
    let (answerer, long) = (Answerer::new(NETWORK), Budget { frame: REPLY_BYTES - 1_024, ..Budget::DIRECT });
    let outcome = session(&ours, Budget::DIRECT, |question| answerer.reply(question, &theirs, long));
    assert!(!outcome.is_complete && !outcome.is_peer_at_fault() && outcome.wanted > 0, "{outcome:?}");
    assert!(outcome.rounds < ROUNDS && outcome.came == outcome.wanted, "{outcome:?}");
    let most = RECONCILE_BYTES + REPLY_BYTES;
    assert!((RECONCILE_BYTES - REPLY_BYTES..most).contains(&outcome.reconcile_bytes), "{outcome:?}");
}

#[test]
fn over_a_relay_no_frame_no_question_and_no_reply_is_longer_than_its_limit() {
    let (ours, theirs) = (Named::new(9_000, 1, |_| false), Named::new(9_000, 2, |_| true));
    let answerer = Answerer::new(NETWORK);
    let (mut frame, mut ids, mut bytes) = (0, 0, 0);
    session(&ours, Budget::RELAYED, |question| {
        let reply = answerer.reply(question, &theirs, Budget::RELAYED);
        match (question, &reply) {
            (Question::Reconcile(_, asked), Reply::Reconcile(said)) => {
                frame = frame.max(asked.len()).max(said.len());
            }
            (Question::Fetch(asked), Reply::Records(said)) => {
                (ids, bytes) = (ids.max(asked.len()), bytes.max(said.iter().map(Vec::len).sum()));
            }
            _ => {}
        }
        reply
    });
    assert!((RELAYED_FRAME_BYTES / 2..=RELAYED_FRAME_BYTES).contains(&frame), "{frame}");
    assert_eq!(ids, RELAYED_FETCH_IDS);
    assert!((RELAYED_REPLY_BYTES - BYTES..=RELAYED_REPLY_BYTES).contains(&bytes), "{bytes}");
}

#[test]
fn the_ids_of_a_few_months_are_kept_at_hand_and_the_oldest_go() {
    let most = CACHED_MONTHS as u16;
    let theirs = Named { months: (0..=most).map(Month).collect(), ..Named::new(10, 1, |_| true) };
    let answerer = Answerer::new(NETWORK);
    let looks = |month| {
        let before = theirs.looked.get();
        answerer.reply(&Question::Reconcile(Month(month), vec![0x61]), &theirs, Budget::DIRECT);
        theirs.looked.get() - before
    };
    assert_eq!((0..most).map(looks).sum::<usize>(), CACHED_MONTHS);
    assert_eq!((0..most).map(looks).sum::<usize>(), 0, "all of them are at hand");
    assert_eq!((looks(most), looks(most)), (1, 0));
    assert_eq!((looks(0), looks(most)), (1, 0), "the oldest made room");
}
