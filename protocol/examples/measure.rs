//! Measures record sizes and the speed of judging beside bare `verify_strict`, on one core:
//! `cargo run --release -p propagule-protocol --example measure`.
#![expect(clippy::print_stdout, reason = "the measurements are printed")]

use std::hint::black_box;
use std::time::Instant;

use ed25519_dalek::{Signature, Signer, SigningKey};
use propagule_protocol::record::{Arm, Body, Counts, StageCounts, Summary};
use propagule_protocol::{Judged, Signed, cbor, judge, reopen, sign};
use sample::{arm, key, network, summary};

#[path = "../tests/sample/mod.rs"]
mod sample;

const RECORDS: u8 = 200;
const ROUNDS: usize = 100;

fn main() {
    println!("record sizes in bytes, envelope included");
    for arms in [1, 4, 24] {
        println!(
            "  {arms} arms: {}",
            signed(0, (1..=arms).map(|n| arm(n, 24, Some(9))).collect()).bytes.len()
        );
    }
    let replicated = (1..=24).map(replicated).collect();
    println!("  24 arms with 12 replicates at 3 stages: {}", signed(0, replicated).bytes.len());

    let records: Vec<Signed> =
        (0..RECORDS).map(|n| signed(n, (1..=4).map(|a| arm(a, 24, Some(9))).collect())).collect();
    let bodies: Vec<Vec<u8>> = records.iter().map(|record| sample::seal::payload(&record.bytes)).collect();
    println!("records a second and core, four arms ({} bytes)", records[0].bytes.len());
    let bare = verify_strict_alone(records[0].bytes.len());
    println!("  verify_strict alone: {bare:.0}");
    let judged =
        rate(|| records.iter().all(|r| matches!(judge(&r.bytes, &network()), Ok(Judged::Accepted(_)))));
    println!(
        "  judge (scan, verify, schema, rules): {judged:.0} ({:.0} % of verify_strict)",
        100.0 * judged / bare
    );
    println!(
        "  reopen (all but the signature): {:.0}",
        rate(|| records.iter().all(|r| reopen(&r.bytes, &network()).is_ok()))
    );
    println!("  scan of the bodies: {:.0}", rate(|| bodies.iter().all(|body| cbor::scan(body).is_ok())));
}

/// How many a second in the fastest of many rounds: other programs only make rounds slower.
fn rate(mut all: impl FnMut() -> bool) -> f64 {
    let round = |_| {
        let start = Instant::now();
        assert!(black_box(all()), "every record is good");
        start.elapsed().as_secs_f64()
    };
    f64::from(RECORDS) / (0..ROUNDS).map(round).fold(f64::INFINITY, f64::min)
}

fn verify_strict_alone(bytes: usize) -> f64 {
    let signer = SigningKey::from_bytes(&[1; 32]);
    let messages: Vec<(Vec<u8>, Signature)> = (0..RECORDS)
        .map(|n| {
            let message = vec![n; bytes];
            let signature = signer.sign(&message);
            (message, signature)
        })
        .collect();
    let key = signer.verifying_key();
    rate(|| messages.iter().all(|(message, signature)| key.verify_strict(message, signature).is_ok()))
}

fn signed(series: u8, arms: Vec<Arm>) -> Signed {
    let body = Body::Summary(Summary { series: [series; 16], ..summary(arms) });
    sign(&body, &key(1), &network()).expect("a valid body")
}

fn replicated(number: u8) -> Arm {
    let counts = Counts { rooted: Some(60), replicates: Some(vec![5; 12]), ..Counts::default() };
    let last = Counts { finished: Some(60), ..counts.clone() };
    Arm {
        stages: StageCounts {
            lift: Some(counts.clone()),
            season: None,
            spring: Some(counts),
            last: Some(last),
        },
        replicates: Some(vec![10; 12]),
        ..arm(number, 120, None)
    }
}
