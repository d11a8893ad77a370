//! The corpus of the fuzz targets, replayed; and where it comes from.

use std::path::{Path, PathBuf};

use super::*;
use crate::fixtures::record;

type Target = (&'static str, fn(&[u8]));

const TARGETS: [Target; 9] = [
    ("journal", journal),
    ("end_file", end_file),
    ("bundle", bundle),
    ("request", request),
    ("message", message),
    ("reconcile", reconcile),
    ("gossip", gossip),
    ("socket", socket),
    ("table", table),
];

fn corpus(target: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz/corpus").join(target)
}

#[test]
fn the_corpus_keeps_every_promise() {
    for (target, run) in TARGETS {
        let folder = corpus(target);
        let entries =
            std::fs::read_dir(&folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
        let mut number = 0;
        for entry in entries {
            run(&std::fs::read(entry.expect("a readable folder").path()).expect("a readable file"));
            number += 1;
        }
        assert!(number > 0, "no corpus in {}", folder.display());
    }
}

#[test]
fn every_target_has_a_program_and_every_program_a_target() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz/fuzz_targets");
    let mut found: Vec<String> = std::fs::read_dir(folder)
        .expect("a readable folder")
        .filter_map(|entry| entry.ok()?.path().file_stem().map(|stem| stem.to_string_lossy().into_owned()))
        .collect();
    found.sort_unstable();
    let mut wanted: Vec<String> = TARGETS.iter().map(|(name, _)| (*name).to_owned()).collect();
    wanted.push("invite".to_owned());
    wanted.sort_unstable();
    assert_eq!(found, wanted);
}

/// Cuts and flips of good inputs, a few of each: what libFuzzer would begin with.
#[test]
fn damaged_good_inputs_keep_every_promise() {
    for (target, run) in TARGETS {
        for (_, whole) in seeds().into_iter().filter(|(name, _)| *name == target) {
            run(&whole);
            for length in (0..whole.len()).step_by(1 + whole.len() / 60) {
                run(&whole[..length]);
                let mut flipped = whole.clone();
                flipped[length] ^= 0x24;
                run(&flipped);
            }
        }
    }
    for text in
        ["propagule-invite/1,propagule,", "/ip4/127.0.0.1/tcp/1", "propagule-invite/1,elsewhere,x", ""]
    {
        invite(text.as_bytes());
    }
}

/// Good inputs, one or more a target.
fn seeds() -> Vec<(&'static str, Vec<u8>)> {
    let signed = record(1, 1, 0, 3);
    let mut out = Vec::new();
    let mut writer = Writer::new(&mut out, NETWORK).expect("memory takes all");
    writer.add(&signed.bytes).expect("memory takes all");
    writer.finish().expect("memory takes all");
    let set = Few::new();
    let (mut pull, _) = Pull::start(NETWORK, Budget::DIRECT);
    let row = MonthRow { month: MONTH, count: 9, fingerprint: [2; 16] };
    let asked = pull.answer(Reply::Months(vec![row]), &set).expect("memory does not fail");
    let Step::Ask(Question::Reconcile(_, frame)) = asked else { panic!("it asks to reconcile") };
    let call =
        serde_json::json!({ "version": "0", "id": 1, "request": { "request": "trial_list" } }).to_string();
    let socket = [&(call.len() as u32).to_be_bytes()[..], call.as_bytes()].concat();
    let evidence = "grower,trial,arm,method,medium,region,stuck,rooted\ng01,t1,A,x,y,z,24,0\n";
    vec![
        ("journal", files::sample_segment()),
        ("end_file", files::sample_end_file()),
        ("bundle", out),
        ("message", Question::Fetch(vec![signed.id]).encode()),
        ("message", Reply::Months(vec![row]).encode()),
        ("message", Question::Stem(signed.bytes.clone()).encode()),
        ("message", Reply::Peers(vec!["/ip4/192.0.2.7/tcp/1".to_owned()]).encode()),
        ("reconcile", frame),
        ("gossip", signed.bytes),
        ("socket", socket),
        ("table", evidence.as_bytes().to_vec()),
        ("table", b"grower,temp,rain\ng01,9.5,700\n".to_vec()),
        (
            "table",
            b"trial,species,started,started_on,arm,kind,lift_on,lift_alive,lift_rooted\n\
              M1,Morus nigra,24,2026-06-05,A,stem cutting,2026-09-12,17,0\n"
                .to_vec(),
        ),
        ("request", request_file()),
    ]
}

fn request_file() -> Vec<u8> {
    let mut out = Vec::new();
    let mut writer =
        propagule_network::bundle::RequestWriter::new(&mut out, NETWORK).expect("memory takes all");
    let row = MonthRow { month: MONTH, count: 2, fingerprint: [2; 16] };
    writer.add(&row, &[[1; 8], [2; 8]]).expect("memory takes all");
    writer.finish().expect("memory takes all");
    out
}

/// The targets begin from these. With `PROPAGULE_WRITE_CORPUS` set they are written anew.
#[test]
fn the_good_inputs_are_in_the_corpus() {
    let writes = std::env::var_os("PROPAGULE_WRITE_CORPUS").is_some();
    let mut all = seeds();
    let invite = "propagule-invite/1,propagule,/ip4/127.0.0.1/tcp/4001/p2p/12D3KooWK99VoVxNE7XzyBwXEzW7xhK7Gpv85r9F3V3fyKSUKPH5";
    all.push(("invite", invite.as_bytes().to_vec()));
    for (number, (target, bytes)) in all.into_iter().enumerate() {
        let path = corpus(target).join(format!("good-{number}"));
        if writes {
            std::fs::create_dir_all(corpus(target)).expect("a folder");
            std::fs::write(&path, &bytes).expect("writes");
        }
        assert_eq!(std::fs::read(&path).expect("a good input"), bytes, "{target}");
    }
}
