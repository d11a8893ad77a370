//! What each fuzz target promises: one function a decoder that faces a peer or a file. An ordinary test replays the
//! corpus; the targets themselves are a workspace of their own in `fuzz/`.

use std::io::Cursor;
use std::sync::OnceLock;

use propagule_protocol::{Month, NetworkId, RecordId};

use propagule_evidence::csv::{read_evidence, read_sites};
use propagule_files::clock::Clock;
use propagule_files::journal::StoreError;
use propagule_files::journal::fuzzed as files;
use propagule_network::admission::Admittance;
use propagule_network::bundle::{Reader, Wanted, Writer};
use propagule_network::intake::{Gate, Verdict, Way};
use propagule_network::limits::FRAME_BYTES;
use propagule_network::net::invite;
use propagule_network::store::{Memory, MonthRow, Records};
use propagule_network::sync::{Answerer, Budget, LocalSet, Outcome, Pull, Question, Reply, Step};
use propagule_network::timing::Timing;

const NETWORK: NetworkId = NetworkId([5; 32]);

/// A journal segment of any bytes: frames in order, damage named, nothing read beyond the end.
pub fn journal(data: &[u8]) {
    files::segment(data);
}

/// The file that says how far a journal has come.
pub fn end_file(data: &[u8]) {
    files::end_file(data);
}

/// A bundle: what is read whole is written the same again.
pub fn bundle(data: &[u8]) {
    let Ok(mut reader) = Reader::new(data, NETWORK) else { return };
    let mut records = Vec::new();
    loop {
        match reader.next_record() {
            Ok(Some(record)) => records.push(record),
            Ok(None) => break,
            Err(error) => {
                assert!(!error.to_string().is_empty());
                return;
            }
        }
    }
    let mut again = Vec::new();
    let mut writer = Writer::new(&mut again, NETWORK).expect("memory takes all");
    for record in &records {
        writer.add(record).expect("it was read from a bundle");
    }
    writer.finish().expect("memory takes all");
    assert!(data.starts_with(&again), "a bundle is read and written differently");
}

/// A request file.
pub fn request(data: &[u8]) {
    if let Err(error) = Wanted::read(data, NETWORK) {
        assert!(!error.to_string().is_empty());
    }
}

/// A question and a reply: each has one encoding.
pub fn message(data: &[u8]) {
    if let Ok(question) = Question::decode(data) {
        assert_eq!(Question::decode(&question.encode()), Ok(question));
    }
    if let Ok(reply) = Reply::decode(data) {
        assert_eq!(Reply::decode(&reply.encode()), Ok(reply));
    }
}

/// Some ids of one month.
struct Few(Vec<RecordId>);

const MONTH: Month = Month(1_521);

impl Few {
    fn new() -> Self {
        let id = |number: u32| {
            let mut id = [number as u8; 32];
            id[..4].copy_from_slice(&number.wrapping_mul(0x9E37_79B9).to_be_bytes());
            RecordId(id)
        };
        Self((0..300).map(id).collect())
    }
}

impl LocalSet for Few {
    fn months(&self) -> Vec<MonthRow> {
        vec![MonthRow { month: MONTH, count: 300, fingerprint: [1; 16] }]
    }

    fn ids_in_month(&self, _: Month) -> Result<Vec<RecordId>, StoreError> {
        Ok(self.0.clone())
    }

    fn knows(&self, id: &RecordId) -> Result<bool, StoreError> {
        Ok(self.0.contains(id))
    }

    fn bytes(&self, _: &RecordId) -> Result<Option<Vec<u8>>, StoreError> {
        Ok(None)
    }
}

/// Reconciliation with a peer that says anything: answered within the frame, ended within the budgets.
pub fn reconcile(data: &[u8]) {
    let set = Few::new();
    let answerer = Answerer::new(NETWORK);
    if let Reply::Reconcile(frame) =
        answerer.reply(&Question::Reconcile(MONTH, data.to_vec()), &set, Budget::DIRECT)
    {
        assert!(frame.len() <= FRAME_BYTES);
    }
    let (mut pull, _) = Pull::start(NETWORK, Budget::DIRECT);
    let row = MonthRow { month: MONTH, count: 9, fingerprint: [2; 16] };
    let mut step = pull.answer(Reply::Months(vec![row]), &set).expect("memory does not fail");
    // Each answer is the same bytes; a session of such ends by itself.
    for _ in 0..1_000 {
        step = match step {
            Step::Ask(Question::Fetch(_)) => pull.answer(Reply::Records(vec![data.to_vec()]), &set),
            Step::Ask(_) => pull.answer(Reply::Reconcile(data.to_vec()), &set),
            Step::Take(_) => pull.taken(&[], &set),
            Step::Done(outcome) => {
                let Outcome { came, .. } = outcome;
                assert_eq!(came, 0, "nothing came");
                return;
            }
        }
        .expect("memory does not fail");
    }
    panic!("a session did not end");
}

/// A gossip message: judged, and kept only when it is a record.
pub fn gossip(data: &[u8]) {
    let store = Memory::new(1 << 20);
    let clock = Clock::Fixed("2026-11-26T12:00:00Z".parse().expect("a timestamp"));
    let admission = Admittance::in_memory(Timing::home().known_after);
    let gate = Gate::new(NetworkId::of("propagule vectors"), clock, admission);
    let verdicts = gate.take(&store, &[data.to_vec()], Way::Gossip).expect("memory does not fail");
    match verdicts[0] {
        Verdict::New(id) => {
            assert_eq!(store.own_bytes(&id).expect("memory does not fail"), Some(data.to_vec()));
        }
        Verdict::Aside(id) => assert!(store.knows(&id).expect("memory does not fail")),
        _ => assert_eq!(store.count(), 0),
    }
}

/// A message on the local socket, parts and all.
pub fn socket(data: &[u8]) {
    static RUNTIME: OnceLock<tokio::runtime::Runtime> = OnceLock::new();
    let runtime = RUNTIME.get_or_init(|| {
        tokio::runtime::Builder::new_current_thread().build().expect("a runtime without I/O can be made")
    });
    runtime.block_on(async {
        let mut stream = Cursor::new(data);
        let _ = crate::socket::receive_call(&mut stream).await;
    });
}

/// Tables of results, sites and trials.
pub fn table(data: &[u8]) {
    if let Err(error) = read_evidence("fuzzed.csv", data) {
        assert!(!error.to_string().is_empty());
    }
    if let Err(error) = read_sites("fuzzed.csv", data) {
        assert!(!error.to_string().is_empty());
    }
    let options = propagule_app::tables::Options::default();
    let (before, known) =
        (|_: &[String]| std::collections::BTreeMap::new(), |_: &str| propagule_app::tables::Known::default());
    let series = || "0".repeat(32);
    if let Err(error) = propagule_app::tables::read("fuzzed.csv", data, &options, before, known, series) {
        assert!(!error.to_string().is_empty());
    }
}

/// An invite or an address.
pub fn invite(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else { return };
    match invite::read(text, "propagule") {
        Ok(addresses) => assert!(!addresses.is_empty()),
        Err(failure) => assert!(!propagule_present::fault::hints(&failure).is_empty()),
    }
}

#[cfg(test)]
#[path = "fuzzed_tests.rs"]
mod tests;
