//! Archives that are not as they were made are refused, each with what is wrong.

use std::io::{Cursor, Write};

use proptest::prelude::*;
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

use super::*;

fn files() -> Files {
    let record = format!("{RECORDS}{}.cbor", "ab".repeat(32));
    [
        (EVENTS, &b"{\"event\":\"x\"}\n"[..]),
        (TRUST, b"{}"),
        (record.as_str(), b"\x01\x02"),
        ("table/bench-table.csv", b"a\n1\n2\n"),
    ]
    .map(|(name, bytes)| (name.to_owned(), bytes.to_vec()))
    .into()
}

fn manifest(files: &Files) -> Manifest {
    Manifest::of(files, [7; 16], "test", "2026-11-25".to_owned())
}

/// A ZIP file of these entries, whatever they are called.
fn zipped(entries: &[(&str, &[u8])]) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in entries {
        zip.start_file(*name, SimpleFileOptions::default()).expect("a name that is new");
        zip.write_all(bytes).expect("writes");
    }
    zip.finish().expect("finishes").into_inner()
}

fn refused(bytes: &[u8]) -> String {
    let failure = unpack("old.zip", bytes, Bounds::USUAL).expect_err("it is refused");
    assert_eq!(failure.params.get("file").map(String::as_str), Some("old.zip"), "{failure}");
    failure.to_string()
}

#[test]
fn what_was_packed_is_unpacked_and_the_same_files_give_the_same_bytes() {
    let files = files();
    let packed = pack(&manifest(&files), &files).expect("packs");
    assert_eq!(packed, pack(&manifest(&files), &files).expect("packs"));
    let (read, unpacked) = unpack("new.zip", &packed, Bounds::USUAL).expect("whole");
    assert_eq!((&read, &unpacked), (&manifest(&files), &files));
    assert_eq!((read.rows(EVENTS), read.rows("table/bench-table.csv"), read.count_in(RECORDS)), (1, 2, 1));
}

/// From FIPS 180-2, appendix B.1.
#[test]
fn hashes_are_those_of_the_standard() {
    assert_eq!(manifest::sha256(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
}

#[test]
fn a_file_that_is_changed_missing_or_added_is_named() {
    let whole = files();
    let stated = manifest(&whole);
    let with = |change: &dyn Fn(&mut Files)| {
        let mut files = files();
        change(&mut files);
        refused(&pack(&stated, &files).expect("packs"))
    };
    let changed = with(&|files| files.get_mut(TRUST).expect("there").push(b' '));
    assert!(changed.contains("archive-file-changed file=\"old.zip\" name=\"trust.json\""), "{changed}");
    let missing = with(&|files| drop(files.remove(EVENTS)));
    assert!(missing.contains("archive-file-missing file=\"old.zip\" name=\"events.jsonl\""), "{missing}");
    let added = with(&|files| drop(files.insert("keys/author.key".to_owned(), b"00".to_vec())));
    assert!(added.contains("archive-file-not-named file=\"old.zip\" name=\"keys/author.key\""), "{added}");
    let mut short = files();
    short.remove(TRUST);
    let short = refused(&pack(&manifest(&short), &short).expect("packs"));
    assert!(short.contains("archive-file-missing file=\"old.zip\" name=\"trust.json\""), "{short}");
}

#[test]
fn names_that_lead_out_or_belong_elsewhere_are_refused() {
    for name in [
        "../home.json",
        "/etc/x",
        "records/../../x.cbor",
        "keys/../x.key",
        "keys/.key",
        "table/x.csv",
        "records\\x",
        "home.json",
        "keys/a/b.key",
        "C:\\x",
    ] {
        let said = refused(&zipped(&[(MANIFEST, b"{}"), (name, b"x")]));
        assert!(said.starts_with("archive-with-strange-file"), "{name}: {said}");
    }
}

#[test]
fn a_name_that_stands_there_twice_is_refused() {
    // The writer refuses the same name twice, so one of the same length is renamed in the bytes.
    let mut bytes = zipped(&[(MANIFEST, b"{}"), (TRUST, b"{}"), ("Trust.json", b"[]")]);
    while let Some(at) = bytes.windows(10).position(|some| some == b"Trust.json") {
        bytes[at] = b't';
    }
    let said = refused(&bytes);
    assert!(said.contains("archive-with-file-twice file=\"old.zip\" name=\"trust.json\""), "{said}");
}

#[test]
fn what_would_fill_memory_is_refused() {
    let files: Files = [(EVENTS.to_owned(), vec![b'\n'; 1 << 20]), (TRUST.to_owned(), b"{}".to_vec())].into();
    let packed = pack(&manifest(&files), &files).expect("packs");
    assert!(packed.len() < 10_000, "a megabyte of nothing is small when packed");
    let bounds = |files, bytes| unpack("big.zip", &packed, Bounds { files, bytes });
    assert!(bounds(3, 2 << 20).is_ok());
    let large = bounds(3, 1 << 20).expect_err("too large");
    assert_eq!(large.code, "archive-unpacked-too-large");
    let many = bounds(2, 2 << 20).expect_err("too many").to_string();
    assert_eq!(many, "archive-of-too-many-files file=\"big.zip\" files=\"3\" most=\"2\"");
}

#[test]
fn another_form_is_named() {
    let files = files();
    let newer = Manifest { format: "propagule.archive/2".to_owned(), ..manifest(&files) };
    let said = refused(&pack(&newer, &files).expect("packs"));
    assert!(said.contains("format=\"propagule.archive/2\" known=\"propagule.archive/1\""), "{said}");
    let none = refused(&zipped(&[(TRUST, b"{}")]));
    assert!(none.starts_with("archive-without-manifest"), "{none}");
}

proptest! {
    /// Whatever bytes come, they are refused or read, and a changed archive is never read as another one.
    #[test]
    fn a_changed_byte_is_noticed_or_changes_nothing(at in any::<proptest::sample::Index>(), flip in 1_u8..=255) {
        let files = files();
        let mut packed = pack(&manifest(&files), &files).expect("packs");
        let at = at.index(packed.len());
        packed[at] ^= flip;
        if let Ok((read, unpacked)) = unpack("flipped.zip", &packed, Bounds::USUAL) {
            prop_assert_eq!(unpacked, files.clone());
            prop_assert_eq!(read.files, manifest(&files).files);
        }
    }

    /// Any bytes at all.
    #[test]
    fn any_bytes_are_refused(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        prop_assert!(unpack("any.zip", &bytes, Bounds::USUAL).is_err());
    }
}
