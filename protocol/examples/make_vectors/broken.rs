//! Summaries whose numbers cannot all be true, in an envelope that holds.

use ciborium::Value;
use propagule_protocol::cbor::encode;
use serde_json::Value as Json;

use crate::sample::seal::Seal;
use crate::schema::{set, trial};
use crate::{bad, network};

/// `counts` of the first arm (24 started) at a stage.
fn counts(stage: u64, counts: &[(i64, i64)]) -> Value {
    let entries = counts.iter().map(|(key, n)| ((*key).into(), (*n).into())).collect();
    set(trial(), &[14, 0, 3, stage], Value::Map(entries))
}

fn numbers(numbers: &[i64]) -> Value {
    Value::Array(numbers.iter().map(|n| (*n).into()).collect())
}

/// Replicates of the first arm: started, rooted and rooted per replicate.
fn replicated(started: &[i64], rooted: i64, each: &[i64]) -> Value {
    let counted = Value::Map(vec![(3.into(), rooted.into()), (8.into(), numbers(each))]);
    set(set(trial(), &[14, 0, 4], numbers(started)), &[14, 0, 3, 1], counted)
}

fn phases(weeks: [i64; 2]) -> Value {
    let facets = Value::Map(vec![(0.into(), 3.into())]);
    let phase = |weeks: i64| Value::Map(vec![(0.into(), weeks.into()), (1.into(), facets.clone())]);
    set(trial(), &[14, 0, 7], Value::Array(weeks.map(phase).to_vec()))
}

pub(crate) fn vectors() -> Vec<Json> {
    let all = [
        ("arm numbers do not rise", set(trial(), &[14, 1, 0], 1)),
        ("phases do not follow each other", phases([15, 15])),
        ("rooted exceeds started", counts(1, &[(3, 25)])),
        ("rooted exceeds alive", counts(1, &[(1, 5), (3, 6)])),
        ("callused exceeds alive", counts(1, &[(1, 5), (2, 6)])),
        ("established exceeds rooted", counts(2, &[(3, 5), (4, 6)])),
        ("final exceeds started", counts(3, &[(5, 25)])),
        ("final still here exceeds established", counts(3, &[(4, 2), (5, 9), (9, 6)])),
        ("dead exceeds started", counts(1, &[(6, 25)])),
        ("left as finished exceeds final", counts(3, &[(5, 3), (9, 4)])),
        ("left as finished without final", counts(3, &[(9, 4)])),
        ("alive, dead and lost exceed started", counts(1, &[(1, 20), (6, 4), (7, 1)])),
        ("rooted and dead exceed started", counts(1, &[(3, 20), (6, 5)])),
        ("all four parts do not add up", counts(3, &[(1, 4), (5, 19), (6, 4), (7, 0), (9, 15)])),
        ("established at lift", counts(1, &[(4, 1)])),
        ("final in spring", counts(2, &[(5, 1)])),
        ("left as finished in spring", counts(2, &[(9, 1)])),
        ("replicates do not add up to started", replicated(&[12, 11], 9, &[4, 5])),
        ("replicates do not add up to rooted", replicated(&[12, 12], 9, &[4, 4])),
        ("more replicates counted than started", replicated(&[12, 12], 9, &[3, 3, 3])),
        ("replicate exceeds its started", replicated(&[4, 20], 9, &[5, 4])),
        (
            "replicates without the lead outcome",
            set(set(trial(), &[14, 0, 4], numbers(&[12, 12])), &[14, 0, 3, 3, 8], numbers(&[1, 1])),
        ),
        ("replicates counted, none started", set(trial(), &[14, 0, 3, 1, 8], numbers(&[4, 5]))),
    ];
    all.iter().map(|(name, body)| bad(name, &Seal::new(1, network(), encode(body)).record())).collect()
}
