//! The store as a whole: what was acknowledged is there after every kind of accident to the index.

use std::fs;

use super::recover::{index_numbers, index_path};
use super::*;
use crate::fixtures::{network, record};

const HOME: HomeId = HomeId([9; 16]);
const QUOTA: u64 = 1 << 30;

fn open(folder: &Path) -> (Store, OpenReport) {
    Store::open(folder, HOME, network(), QUOTA).expect("the store opens")
}

fn accepted(signed: &Signed) -> Arrival {
    Arrival::Accepted { signed: Box::new(signed.clone()), is_own: false }
}

fn batch(count: u32) -> Vec<Arrival> {
    (0..count).map(|series| accepted(&record(1, series, 0, 3))).collect()
}

fn index_folder(folder: &Path) -> PathBuf {
    index_path(folder, *index_numbers(folder).last().expect("there is an index"))
}

#[test]
fn keeps_a_record_once_and_finds_it_every_way() {
    let home = tempfile::tempdir().expect("a folder");
    let (store, report) = open(home.path());
    assert!(report.damage.is_empty() && report.rebuilt.is_none());
    let signed = record(1, 7, 0, 3);
    let twice = [accepted(&signed), accepted(&signed)];
    assert_eq!(store.append(&twice).expect("appends"), [Intake::New, Intake::Known]);
    assert_eq!(store.append(&twice[..1]).expect("appends"), [Intake::Known]);
    assert_eq!(store.record(&signed.id).expect("reads"), Some(signed.clone()));
    let species = store.species().expect("reads");
    assert_eq!(species.len(), 1);
    assert_eq!(store.evidence_of(&species[0]).expect("reads"), std::slice::from_ref(&signed));
    assert_eq!(store.ids_in_month(signed.body.head().signed).expect("reads"), [signed.id]);
    assert_eq!((store.count(), store.months().len()), (1, 1));
}

#[test]
fn everything_is_there_again_after_opening() {
    let home = tempfile::tempdir().expect("a folder");
    let (store, _) = open(home.path());
    let taken = store.append(&batch(250)).expect("appends");
    assert!(taken.iter().all(|intake| *intake == Intake::New));
    let months = store.months();
    drop(store);
    let (store, report) = open(home.path());
    assert!(report.damage.is_empty() && report.rebuilt.is_none(), "{report:?}");
    assert_eq!((store.count(), store.months()), (250, months));
    assert_eq!(store.all_ids().expect("reads").len(), 250);
}

#[test]
fn the_whole_set_can_be_walked_in_parts() {
    let home = tempfile::tempdir().expect("a folder");
    let (store, _) = open(home.path());
    store.append(&batch(70)).expect("appends");
    let (mut walked, mut after) = (Vec::new(), None);
    loop {
        let part = store.ids_behind(after, 30).expect("reads");
        after = part.last().copied();
        walked.extend(part);
        if after.is_none() {
            break;
        }
    }
    assert_eq!(walked, store.all_ids().expect("reads"));
    assert_eq!(store.ids_behind(Some(RecordId([0; 32])), 30).expect("reads"), []);
}

#[test]
fn a_missing_index_is_built_anew() {
    let home = tempfile::tempdir().expect("a folder");
    let (store, _) = open(home.path());
    store.append(&batch(30)).expect("appends");
    let months = store.months();
    drop(store);
    fs::remove_dir_all(home.path().join("index")).expect("removes");
    let (store, report) = open(home.path());
    assert_eq!(report.rebuilt.as_deref(), Some("it was missing"));
    assert_eq!(store.months(), months);
}

#[test]
fn flipped_bits_in_the_index_never_lose_a_record() {
    let home = tempfile::tempdir().expect("a folder");
    let (store, _) = open(home.path());
    store.append(&batch(120)).expect("appends");
    let months = store.months();
    store.flush().expect("flushes");
    drop(store);
    for round in 0..12_usize {
        let folder = index_folder(home.path());
        for entry in fs::read_dir(&folder).expect("lists").flatten() {
            let Ok(mut bytes) = fs::read(entry.path()) else { continue };
            let at = bytes.len() * (2 * round + 1) / 24;
            if let Some(byte) = bytes.get_mut(at) {
                *byte ^= 0x40;
                fs::write(entry.path(), &bytes).expect("writes");
            }
        }
        let (store, _) = open(home.path());
        assert_eq!(store.months(), months, "round {round}");
        store.flush().expect("flushes");
    }
}

#[test]
fn an_index_of_another_journal_is_not_believed() {
    let (one, two) = (tempfile::tempdir().expect("a folder"), tempfile::tempdir().expect("a folder"));
    let (store, _) = open(one.path());
    store.append(&batch(40)).expect("appends");
    drop(store);
    let (store, _) = open(two.path());
    store.append(&batch(2)).expect("appends");
    drop(store);
    fs::remove_dir_all(two.path().join("index")).expect("removes");
    fs::rename(one.path().join("index"), two.path().join("index")).expect("moves");
    let (store, report) = open(two.path());
    assert!(report.rebuilt.is_some());
    assert_eq!(store.count(), 2);
}

#[test]
fn of_rivals_at_one_revision_the_two_lowest_ids_stay_in_any_order() {
    let mut rivals: Vec<Signed> = (1..=5).map(|rooted| record(1, 7, 0, rooted)).collect();
    rivals.sort_by_key(|signed| signed.id);
    let lowest: Vec<RecordId> = rivals[..2].iter().map(|signed| signed.id).collect();
    for rotation in 0..rivals.len() {
        rivals.rotate_left(rotation);
        for batch_size in [1, 2, 5] {
            let home = tempfile::tempdir().expect("a folder");
            let (store, _) = open(home.path());
            for part in rivals.chunks(batch_size) {
                store.append(&part.iter().map(accepted).collect::<Vec<_>>()).expect("appends");
            }
            let mut left = store.all_ids().expect("reads");
            left.sort_unstable();
            assert_eq!((left, store.count()), (lowest.clone(), 2));
            assert!(rivals.iter().all(|signed| store.knows(&signed.id).expect("reads")));
            fs::remove_dir_all(home.path().join("index")).expect("removes");
            let months = store.months();
            drop(store);
            assert_eq!(open(home.path()).0.months(), months);
        }
    }
}

#[test]
fn own_records_wait_in_the_outbox_until_handed_on_over_restarts() {
    let home = tempfile::tempdir().expect("a folder");
    let (store, _) = open(home.path());
    let own = record(1, 7, 0, 3);
    store.append(&[Arrival::Accepted { signed: Box::new(own.clone()), is_own: true }]).expect("appends");
    drop(store);
    let (store, _) = open(home.path());
    assert_eq!(store.outbox().expect("reads"), [own.id]);
    store.mark_handed_on(&own.id).expect("marks");
    drop(store);
    fs::remove_dir_all(home.path().join("index")).expect("removes");
    let (store, _) = open(home.path());
    assert_eq!(store.outbox().expect("reads"), []);
    assert_eq!(store.count(), 1);
}

#[test]
fn a_record_kept_aside_enters_the_set_when_it_can_be_judged() {
    let home = tempfile::tempdir().expect("a folder");
    let (store, _) = open(home.path());
    let late = record(1, 7, 0, 3);
    let aside = Arrival::Aside { id: late.id, bytes: late.bytes.clone() };
    assert_eq!(store.append(&[aside]).expect("appends"), [Intake::Held]);
    assert!(store.knows(&late.id).expect("reads"), "it is not wanted again");
    assert_eq!(store.count(), 0);
    assert_eq!(store.judge_aside("month 1", |_| None).expect("judges"), 0);
    let judge = |bytes: &[u8]| propagule_protocol::reopen(bytes, &network()).ok();
    assert_eq!(store.judge_aside("month 1", judge).expect("judges"), 0, "once an occasion");
    assert_eq!(store.judge_aside("month 2", judge).expect("judges"), 1);
    assert_eq!((store.count(), store.count_aside().expect("reads")), (1, 0));
}

#[test]
fn a_damaged_record_is_named_and_all_others_stay() {
    let home = tempfile::tempdir().expect("a folder");
    let (store, _) = open(home.path());
    store.append(&batch(10)).expect("appends");
    drop(store);
    let path = segment::path(&home.path().join("records"), JournalKind::Records, 1);
    let mut bytes = fs::read(&path).expect("reads");
    let middle = bytes.len() / 2;
    bytes[middle] ^= 1;
    fs::write(&path, &bytes).expect("writes");
    let (_, report) = open(home.path());
    assert_eq!(report.damage.len(), 1, "{report:?}");
    fs::remove_dir_all(home.path().join("index")).expect("removes");
    let (store, report) = open(home.path());
    assert_eq!((report.damage.len(), store.count()), (1, 9), "{report:?}");
}
