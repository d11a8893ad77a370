//! The journal under cuts, flips and copies.

use super::super::frame::HEAD_BYTES;
use super::super::reader::Reader;
use super::*;

const HOME: HomeId = HomeId([3; 16]);
const KIND: JournalKind = JournalKind::Records;

fn open(folder: &Path) -> (Journal, Vec<Damage>) {
    Journal::open(folder, KIND, HOME, 1 << 20).expect("the journal opens")
}

fn bodies(journal: &Journal) -> Vec<Vec<u8>> {
    let mut all = Vec::new();
    replay(&journal.folder, KIND, HOME, Position::default(), |_, _, body| {
        all.push(body.to_vec());
        Ok(())
    })
    .expect("the journal replays");
    all
}

fn written(folder: &Path, count: u8) -> PathBuf {
    let (mut journal, _) = open(folder);
    for i in 0..count {
        journal.append(&[(1, &vec![i; 20 + usize::from(i)])]).expect("appends");
    }
    segment::path(folder, KIND, 1)
}

#[test]
fn reads_back_by_position_and_after_reopening() {
    let home = tempfile::tempdir().expect("a folder");
    let (mut journal, damage) = open(home.path());
    assert!(damage.is_empty());
    let positions = journal.append(&[(1, b"one"), (2, b"two")]).expect("appends");
    let reader = Reader::new(home.path(), KIND, HOME);
    assert_eq!(reader.read(positions[1]).expect("reads"), Some((2, b"two".to_vec())));
    drop(journal);
    let (journal, damage) = open(home.path());
    assert!(damage.is_empty());
    assert_eq!(bodies(&journal), [b"one".to_vec(), b"two".to_vec()]);
    assert_eq!(after(positions[1], 3), journal.end());
}

#[test]
fn a_cut_at_every_byte_keeps_all_whole_frames_and_moves_the_rest_aside() {
    let home = tempfile::tempdir().expect("a folder");
    let path = written(home.path(), 4);
    let clean = fs::read(&path).expect("reads");
    let scan = segment::scan(&clean, KIND, HOME, 1);
    for length in 0..clean.len() {
        let folder = tempfile::tempdir().expect("a folder");
        fs::write(segment::path(folder.path(), KIND, 1), &clean[..length]).expect("writes");
        let (mut journal, damage) = open(folder.path());
        let whole = scan.frames.iter().filter(|found| found.end() <= length).count();
        assert_eq!(bodies(&journal).len(), whole, "cut at {length}");
        let at_an_edge = length == HEADER_BYTES || scan.frames.iter().any(|found| found.end() == length);
        assert_eq!(damage.is_empty(), at_an_edge, "cut at {length}");
        if let Some(aside) = damage.first().and_then(|damage| damage.moved_to.as_ref()) {
            let kept = fs::read(folder.path().join(aside)).expect("the torn tail is kept");
            assert!(clean[..length].ends_with(&kept));
        }
        journal.append(&[(1, b"after")]).expect("appends after a cut");
        assert_eq!(bodies(&journal).len(), whole + 1, "cut at {length}");
    }
}

#[test]
fn every_cut_of_acknowledged_frames_is_named_as_a_loss_and_no_other() {
    let home = tempfile::tempdir().expect("a folder");
    let path = written(home.path(), 4);
    let clean = fs::read(&path).expect("reads");
    let end_file = end::path(home.path(), KIND);
    for length in 0..clean.len() + 5 {
        let folder = tempfile::tempdir().expect("a folder");
        let bytes: Vec<u8> = clean.iter().copied().chain([0xF1, 1, 2, 3, 4]).take(length).collect();
        fs::write(segment::path(folder.path(), KIND, 1), &bytes).expect("writes");
        fs::copy(&end_file, end::path(folder.path(), KIND)).expect("copies");
        let (_, damage) = open(folder.path());
        let lost = damage.iter().any(|one| one.is_loss);
        assert_eq!(lost, length < clean.len(), "cut at {length}: {damage:?}");
        assert_eq!(damage.is_empty(), length == clean.len(), "cut at {length}");
        assert!(open(folder.path()).1.is_empty(), "it is named once");
    }
}

#[test]
fn damage_with_a_whole_frame_behind_it_is_named_and_the_rest_kept() {
    let home = tempfile::tempdir().expect("a folder");
    let path = written(home.path(), 3);
    let mut bytes = fs::read(&path).expect("reads");
    let second = segment::scan(&bytes, KIND, HOME, 1).frames[1];
    bytes[second.offset + HEAD_BYTES] ^= 1;
    fs::write(&path, &bytes).expect("writes");
    let (journal, damage) = open(home.path());
    assert_eq!(bodies(&journal), [vec![0; 20], vec![2; 22]]);
    assert_eq!((damage[0].from, damage[0].to), (second.offset as u64, second.end() as u64));
    assert_eq!(damage[0].moved_to, None);
    assert_eq!(fs::read(&path).expect("reads"), bytes, "damage is never cut away");
}

#[test]
fn a_flip_in_the_header_loses_no_frame() {
    for byte in 0..HEADER_BYTES {
        let home = tempfile::tempdir().expect("a folder");
        let path = written(home.path(), 2);
        let mut bytes = fs::read(&path).expect("reads");
        bytes[byte] ^= 0x10;
        fs::write(&path, &bytes).expect("writes");
        match Journal::open(home.path(), KIND, HOME, 1 << 20) {
            Ok((journal, damage)) => {
                assert_eq!(bodies(&journal).len(), 2, "byte {byte}");
                assert_eq!(damage.len(), 1, "byte {byte}");
            }
            // A version byte that reads as newer is refused with words, and nothing is touched.
            Err(StoreError::NewerFormat { .. }) => assert!((8..10).contains(&byte), "byte {byte}"),
            Err(other) => panic!("byte {byte}: {other}"),
        }
    }
}

#[test]
fn goes_on_in_a_new_segment_when_one_is_full() {
    let home = tempfile::tempdir().expect("a folder");
    let (mut journal, _) = Journal::open(home.path(), KIND, HOME, 100).expect("opens");
    for i in 0..10_u8 {
        journal.append(&[(1, &[i; 40])]).expect("appends");
    }
    assert!(segment::numbers(home.path(), KIND).expect("lists").len() > 3);
    assert_eq!(bodies(&journal).len(), 10);
    drop(journal);
    let (journal, damage) = Journal::open(home.path(), KIND, HOME, 100).expect("opens");
    assert!(damage.is_empty());
    assert_eq!(bodies(&journal).len(), 10);
}

#[test]
fn a_segment_of_another_home_is_refused_untouched() {
    let home = tempfile::tempdir().expect("a folder");
    let path = written(home.path(), 2);
    let before = fs::read(&path).expect("reads");
    let error = Journal::open(home.path(), KIND, HomeId([4; 16]), 1 << 20).expect_err("refused");
    assert!(matches!(error, StoreError::OtherHome { .. }), "{error}");
    assert_eq!(fs::read(&path).expect("reads"), before);
}
