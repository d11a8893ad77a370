//! A journal written anew, and broken off at each step.

use super::super::end::{self, EndFile};
use super::super::log::Journal;
use super::*;

const HOME: HomeId = HomeId([3; 16]);
const KIND: JournalKind = JournalKind::Bench;

fn open(folder: &Path) -> (Journal, Vec<Damage>) {
    Journal::open(folder, KIND, HOME, 200).expect("the journal opens")
}

fn bodies(folder: &Path) -> Vec<Vec<u8>> {
    let mut all = Vec::new();
    log::replay(folder, KIND, HOME, Position::default(), |_, _, body| {
        all.push(body.to_vec());
        Ok(())
    })
    .expect("the journal replays");
    all
}

fn written(folder: &Path) -> Journal {
    let (mut journal, _) = open(folder);
    for i in 0..20_u8 {
        journal.append(&[(1, &[i; 40])]).expect("appends");
    }
    journal
}

#[expect(clippy::unnecessary_wraps, reason = "as rewriting wants it")]
fn even(kind: u8, body: &[u8]) -> Result<Kept, StoreError> {
    Ok(if body[0].is_multiple_of(2) { vec![(kind, body.to_vec())] } else { Vec::new() })
}

fn evens() -> Vec<Vec<u8>> {
    (0..20_u8).step_by(2).map(|i| vec![i; 40]).collect()
}

#[test]
fn keeps_what_is_kept_and_goes_on() {
    let home = tempfile::tempdir().expect("a folder");
    let mut journal = written(home.path());
    let before = journal.bytes();
    assert_eq!(journal.rewrite(even).expect("rewrites"), Vec::<String>::new());
    assert_eq!(bodies(home.path()), evens());
    assert!(journal.bytes() < before);
    journal.append(&[(1, b"behind")]).expect("appends");
    let bytes = journal.bytes();
    drop(journal);
    let (journal, damage) = open(home.path());
    assert!(damage.is_empty(), "{damage:?}");
    assert_eq!((bodies(home.path()).len(), journal.bytes()), (11, bytes));
}

#[test]
fn broken_off_before_it_counts_it_never_was_and_after_that_it_is_finished() {
    for steps in 0..3 {
        let home = tempfile::tempdir().expect("a folder");
        let journal = written(home.path());
        let all = bodies(home.path());
        let begin = journal.end().segment + 1;
        drop(journal);
        let plan = Plan { folder: home.path(), kind: KIND, home: HOME, segment_bytes: 200, begin };
        let reach = plan.write(even).expect("writes");
        if steps >= 1 {
            EndFile::open(home.path(), KIND, HOME).and_then(|file| file.settle(reach)).expect("settles");
        }
        if steps == 2 {
            let path = segment::path(home.path(), KIND, begin);
            fs::rename(path.with_extension(NEW), &path).expect("renames the first only");
        }
        let (mut journal, damage) = open(home.path());
        assert!(damage.is_empty(), "{damage:?}");
        assert_eq!(bodies(home.path()), if steps == 0 { all } else { evens() }, "step {steps}");
        assert_eq!(new_numbers(home.path(), KIND).expect("lists"), Vec::<u32>::new());
        journal.append(&[(1, b"behind")]).expect("appends");
        assert!(end::read(home.path(), KIND, HOME).reach().is_some());
    }
}

#[test]
fn a_damaged_segment_is_kept_aside_and_the_rest_salvaged() {
    let home = tempfile::tempdir().expect("a folder");
    let mut journal = written(home.path());
    let path = segment::path(home.path(), KIND, 2);
    let mut bytes = fs::read(&path).expect("reads");
    bytes[HEADER_BYTES + 20] ^= 1;
    fs::write(&path, &bytes).expect("writes");
    let before = bodies(home.path()).len();
    let aside = journal.rewrite(|kind, body| Ok(vec![(kind, body.to_vec())])).expect("rewrites");
    assert_eq!(aside, ["bench-000002.damaged"]);
    assert_eq!(fs::read(home.path().join(&aside[0])).expect("is kept"), bytes);
    assert_eq!(bodies(home.path()).len(), before);
    let damage = log::check(home.path(), KIND, HOME, |_, _, _| Ok(())).expect("checks");
    assert!(damage.is_empty(), "{damage:?}");
}

#[test]
fn a_segment_that_is_gone_and_a_tail_cut_at_a_frames_edge_are_named() {
    let home = tempfile::tempdir().expect("a folder");
    drop(written(home.path()));
    fs::remove_file(segment::path(home.path(), KIND, 2)).expect("removes");
    let last = *segment::numbers(home.path(), KIND).expect("lists").last().expect("some");
    let path = segment::path(home.path(), KIND, last);
    let bytes = fs::read(&path).expect("reads");
    let scan = segment::scan(&bytes, KIND, HOME, last);
    let edge = scan.frames.last().expect("a frame").offset;
    fs::write(&path, &bytes[..edge]).expect("cuts");
    let damage = log::check(home.path(), KIND, HOME, |_, _, _| Ok(())).expect("checks");
    let named: Vec<(&str, u64, bool)> =
        damage.iter().map(|one| (&one.file[..], one.from, one.is_loss)).collect();
    let name = path.file_name().expect("a name").to_string_lossy();
    assert_eq!(named, [("bench-000002.journal", 0, true), (&name[..], edge as u64, true)]);
    let (_, found) = open(home.path());
    assert_eq!(found.len(), 2, "{found:?}");
}
