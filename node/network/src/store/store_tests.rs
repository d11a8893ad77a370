//! The store as a whole: what was acknowledged is there after every kind of accident to the index.

use std::fs;

use super::recover::{index_numbers, index_path};
use super::*;
use crate::fixtures::{network, record};
use crate::spread::Handing;
use propagule_files::clock::Moment;

const HOME: HomeId = HomeId([9; 16]);
const QUOTA: u64 = 1 << 30;

fn open(folder: &Path) -> (Store, OpenReport) {
    Store::open(folder, HOME, network(), QUOTA).expect("the store opens")
}

fn accepted(signed: &Signed) -> Arrival {
    Arrival::Accepted { signed: Box::new(signed.clone()), own: None }
}

fn batch(count: u32) -> Vec<Arrival> {
    (0..count).map(|series| accepted(&record(1, series, 0, 3))).collect()
}

fn index_folder(folder: &Path) -> PathBuf {
    index_path(folder, *index_numbers(folder).last().expect("there is an index"))
}

fn handed(until: u64) -> Stage {
    Stage::Stemmed(Handing { since: Moment(2), until: Moment(until), times: 3 })
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
fn own_records_wait_hidden_in_the_outbox_until_handed_on_over_restarts() {
    let home = tempfile::tempdir().expect("a folder");
    let (store, _) = open(home.path());
    let (own, waiting) = (record(1, 7, 0, 3), Stage::Waiting(Moment(5)));
    let month = own.body.head().signed;
    store
        .append(&[Arrival::Accepted { signed: Box::new(own.clone()), own: Some(waiting) }])
        .expect("appends");
    drop(store);
    for rebuilds in [false, true] {
        if rebuilds {
            fs::remove_dir_all(home.path().join("index")).expect("removes");
        }
        let (store, _) = open(home.path());
        assert_eq!(store.outbox().expect("reads"), [(own.id, waiting)]);
        assert_eq!(
            (store.count(), store.months(), store.public_bytes(&own.id).expect("reads")),
            (0, vec![], None)
        );
        assert_eq!(store.ids_in_month(month).expect("reads"), []);
        assert_eq!(store.ids_behind(None, 9).expect("reads"), [], "no bundle has it");
        assert!(store.knows(&own.id).expect("reads"));
        let species = store.species().expect("reads");
        assert_eq!(
            store.evidence_of(&species[0]).expect("reads"),
            std::slice::from_ref(&own),
            "own answers have it"
        );
        assert!(store.verify().expect("verifies").is_sound());
    }
    let (store, _) = open(home.path());
    store.note_stage(&own.id, handed(9)).expect("marks");
    assert_eq!(store.count(), 0);
    store.mark_handed_on(&own.id).expect("marks");
    assert_eq!(store.public_bytes(&own.id).expect("reads"), Some(own.bytes.clone()));
    drop(store);
    fs::remove_dir_all(home.path().join("index")).expect("removes");
    let (store, _) = open(home.path());
    assert_eq!(store.outbox().expect("reads"), []);
    assert_eq!((store.count(), store.ids_in_month(month).expect("reads")), (1, vec![own.id]));
    assert!(store.verify().expect("verifies").is_sound());
}

#[test]
fn the_disk_quota_drops_records_of_others_and_never_own_ones() {
    let home = tempfile::tempdir().expect("a folder");
    let (store, _) = Store::open(home.path(), HOME, network(), 4_000).expect("opens");
    let taken = store.append(&batch(30)).expect("appends");
    let kept = taken.iter().filter(|intake| **intake == Intake::New).count();
    let dropped = taken.iter().filter(|intake| **intake == Intake::Dropped).count();
    assert_eq!(kept + dropped, 30);
    assert!(kept > 5 && dropped > 5, "{kept} kept");
    assert!(store.disk().0 <= 4_000);
    let own = record(2, 7, 0, 3);
    assert!(
        !store.knows(&batch(30)[29].id().to_owned()).expect("reads"),
        "it can be had again with more room"
    );
    let arrival = Arrival::Accepted { signed: Box::new(own.clone()), own: Some(Stage::Open) };
    assert_eq!(store.append(&[arrival]).expect("appends"), [Intake::New]);
}

#[test]
fn records_kept_aside_have_a_tenth_of_the_quota_over_restarts() {
    let home = tempfile::tempdir().expect("a folder");
    let aside = |number: u32| {
        let late = record(1, number, 0, 3);
        Arrival::Aside { id: late.id, bytes: late.bytes }
    };
    let quota = 40_000;
    for part in 0..3 {
        let (store, _) = Store::open(home.path(), HOME, network(), quota).expect("opens");
        let batch: Vec<Arrival> = (part * 10..part * 10 + 10).map(aside).collect();
        assert!(store.append(&batch).expect("appends").iter().all(|intake| *intake == Intake::Held));
    }
    let (store, _) = Store::open(home.path(), HOME, network(), quota).expect("opens");
    assert_eq!(store.count_aside().expect("reads"), 30, "every id is remembered");
    let held = store.writer().stamp.held_bytes;
    let share = quota / HELD_SHARE;
    assert!((share / 2..=share).contains(&held), "{held}");
    fs::remove_dir_all(home.path().join("index")).ok();
    let judge = |bytes: &[u8]| propagule_protocol::reopen(bytes, &network()).ok();
    let released = store.judge_aside("month 2", judge).expect("judges");
    assert!(released > 0 && store.writer().stamp.held_bytes == 0, "what is released is not held any more");
}

#[test]
fn compacting_keeps_the_set_and_loses_bytes() {
    let home = tempfile::tempdir().expect("a folder");
    let (store, _) = open(home.path());
    store.append(&batch(60)).expect("appends");
    for rooted in 1..=8 {
        store.append(&[accepted(&record(1, 3, 0, rooted))]).expect("appends");
    }
    let own = record(2, 7, 0, 3);
    let waiting = handed(77);
    store
        .append(&[Arrival::Accepted { signed: Box::new(own.clone()), own: Some(Stage::Waiting(Moment(5))) }])
        .expect("appends");
    store.note_stage(&own.id, waiting).expect("marks");
    let (months, aside) = (store.months(), store.count_aside().expect("reads"));
    let tidied = store.compact().expect("compacts");
    assert!(tidied.bytes < tidied.bytes_before, "{tidied:?}");
    assert_eq!((store.months(), store.count_aside().expect("reads")), (months.clone(), aside));
    assert_eq!(store.outbox().expect("reads"), [(own.id, waiting)]);
    assert!(store.verify().expect("verifies").is_sound());
    drop(store);
    let (store, report) = open(home.path());
    assert!(report.damage.is_empty() && report.rebuilt.is_none(), "{report:?}");
    assert_eq!((store.months(), store.outbox().expect("reads")), (months, vec![(own.id, waiting)]));
    store.append(&batch(70)).expect("appends");
    assert!(store.verify().expect("verifies").is_sound());
}

#[test]
fn repair_salvages_what_is_whole_names_what_is_lost_and_wants_it_again() {
    let home = tempfile::tempdir().expect("a folder");
    let (store, _) = open(home.path());
    let all = batch(20);
    store.append(&all).expect("appends");
    let path = segment::path(&home.path().join("records"), JournalKind::Records, 1);
    let mut bytes = fs::read(&path).expect("reads");
    let middle = bytes.len() / 2;
    bytes[middle] ^= 1;
    fs::write(&path, &bytes).expect("writes");
    let found = store.verify().expect("verifies");
    assert_eq!(found.damage.len(), 1);
    let tidied = store.repair().expect("repairs");
    let lost: Vec<RecordId> = tidied.losses.iter().flat_map(|loss| loss.records.clone()).collect();
    assert_eq!((lost.len(), tidied.kept_aside.len(), store.count()), (1, 1, 19));
    assert!(!store.knows(&lost[0]).expect("reads"), "it is wanted again");
    let verified = store.verify().expect("verifies");
    assert!(verified.is_sound() && verified.losses == tidied.losses, "{verified:?}");
    drop(store);
    let (store, report) = open(home.path());
    assert_eq!(report.losses, tidied.losses, "it stays named over restarts");
    store.append(&all).expect("appends");
    assert_eq!(store.verify().expect("verifies").losses, [], "it has come back");
}

#[test]
fn a_cut_at_a_frames_edge_is_noticed_and_names_its_record() {
    for has_end_file in [true, false] {
        let home = tempfile::tempdir().expect("a folder");
        let (store, _) = open(home.path());
        store.append(&batch(10)).expect("appends");
        store.flush().expect("flushes");
        let last = store.all_ids().expect("reads").len();
        drop(store);
        let folder = home.path().join("records");
        let path = segment::path(&folder, JournalKind::Records, 1);
        let bytes = fs::read(&path).expect("reads");
        let scan = segment::scan(&bytes, JournalKind::Records, HOME, 1);
        let edge = scan.frames[scan.frames.len() - 1].offset;
        fs::write(&path, &bytes[..edge]).expect("cuts");
        if !has_end_file {
            fs::remove_file(propagule_files::journal::end::path(&folder, JournalKind::Records))
                .expect("removes");
        }
        let (store, report) = open(home.path());
        assert!(report.damage.iter().any(|damage| damage.is_loss), "{report:?}");
        let lost: usize = report.losses.iter().map(|loss| loss.records.len()).sum();
        assert_eq!((lost, store.count() as usize), (1, last - 1));
    }
}

#[test]
fn a_row_missing_from_the_index_is_noticed_and_repaired() {
    let home = tempfile::tempdir().expect("a folder");
    let (store, _) = open(home.path());
    store.append(&batch(10)).expect("appends");
    let id = store.all_ids().expect("reads")[4];
    let mut change = index::Change::default();
    change.remove(&keys::record(&id));
    store.index().apply(change, &store.writer().stamp).expect("applies");
    assert!(!store.verify().expect("verifies").is_sound());
    store.repair().expect("repairs");
    assert!(store.verify().expect("verifies").is_sound());
    assert!(store.record(&id).expect("reads").is_some());
}

/// The same story on disk and in memory: the two agree on everything that others can see.
#[test]
fn both_stores_keep_the_same_rules() {
    let home = tempfile::tempdir().expect("a folder");
    let (disk, _) = open(home.path());
    let memory = Memory::new(QUOTA);
    let own = record(9, 1, 0, 3);
    let late = record(8, 1, 0, 3);
    let mut story: Vec<Vec<Arrival>> = vec![batch(5), batch(7)];
    story.extend((1..=5).map(|rooted| vec![accepted(&record(1, 3, 0, rooted))]));
    story.push(vec![Arrival::Accepted {
        signed: Box::new(own.clone()),
        own: Some(Stage::Waiting(Moment(1))),
    }]);
    story.push(vec![Arrival::Aside { id: late.id, bytes: late.bytes.clone() }, accepted(&own)]);
    let stores: [&dyn Records; 2] = [&disk, &memory];
    let same = |what: &str| {
        assert_eq!(stores[0].months(), stores[1].months(), "{what}");
        assert_eq!(stores[0].outbox().expect("reads"), stores[1].outbox().expect("reads"), "{what}");
        let month = own.body.head().signed;
        let ids = stores.map(|store| store.ids_in_month(month).expect("reads"));
        assert_eq!(ids[0], ids[1], "{what}");
        for signed in [&own, &late] {
            let seen = stores.map(|store| {
                (store.knows(&signed.id).expect("reads"), store.bytes(&signed.id).expect("reads"))
            });
            assert_eq!(seen[0], seen[1], "{what}");
        }
    };
    for (part, arrivals) in story.iter().enumerate() {
        let taken = stores.map(|store| store.append(arrivals).expect("appends"));
        assert_eq!(taken[0], taken[1], "part {part}");
        same(&format!("part {part}"));
    }
    for stage in [handed(8), Stage::Open] {
        for store in stores {
            store.note_stage(&own.id, stage).expect("marks");
        }
        same(&format!("{stage:?}"));
    }
    for store in stores {
        store.mark_handed_on(&own.id).expect("marks");
    }
    same("handed on");
    assert_eq!(memory.count(), disk.count());
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
