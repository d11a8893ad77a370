//! Records of schema major 1 that break its schema or its rules, each in one place, and those that only a still
//! newer version can judge.

use ciborium::Value;
use propagule_protocol::cbor::encode;
use propagule_protocol::record::Body;
use serde_json::Value as Json;

use crate::major_one::plain;
use crate::sample::seal::{Seal, bytes};
use crate::schema::{array, body, set, without};
use crate::{bad, good, network};

fn trial() -> Value {
    body(&Body::Summary(plain()))
}

pub(crate) fn held() -> Vec<Json> {
    let all: [(&str, Value); 7] = [
        ("major 2", set(trial(), &[1], 2)),
        ("critical key in a summary of major 1", set(trial(), &[18], 1)),
        ("critical key in an arm of major 1", set(trial(), &[14, 0, 9], 1)),
        ("critical key in the facets of major 1", set(trial(), &[14, 0, 2, 24], 1)),
        ("critical key in the counts of major 1", set(trial(), &[14, 0, 3, 1, 12], 1)),
        ("control in a summary of major 0", set(set(trial(), &[17], 1), &[1], 0)),
        ("ever rooted in a summary of major 0", set(set(trial(), &[14, 0, 3, 1, 10], 9), &[1], 0)),
    ];
    all.iter().map(|(name, body)| good(name, &Seal::new(1, network(), encode(body)))).collect()
}

type Named = (&'static str, Value);

fn refused(all: &[Named]) -> Vec<Json> {
    all.iter().map(|(name, body)| bad(name, &Seal::new(1, network(), encode(body)).record())).collect()
}

pub(crate) fn broken_schema() -> Vec<Json> {
    let series = || bytes(&[6; 16]);
    let parent = |relation: i64| set(set(trial(), &[15], series()), &[16], relation);
    let facet = |key: u64, code: i64| set(trial(), &[14, 0, 2, key], code);
    let lost = |list: Value| set(trial(), &[14, 0, 3, 1, 11], list);
    refused(&[
        ("design flags of eleven bits", set(trial(), &[10], 1024)),
        ("matched replicates in a summary of major 0", set(set(trial(), &[10], 128), &[1], 0)),
        ("parent of 15 bytes", set(set(trial(), &[15], bytes(&[6; 15])), &[16], 1)),
        ("parent without relation", set(trial(), &[15], series())),
        ("relation without parent", set(trial(), &[16], 1)),
        ("relation 0", parent(0)),
        ("relation 4", parent(4)),
        ("control 0", set(trial(), &[17], 0)),
        ("control 25", set(trial(), &[17], 25)),
        ("season end after 521 weeks", set(trial(), &[9, 4], 521)),
        ("unknown key in the weeks of major 1", set(trial(), &[9, 5], 1)),
        ("unknown stage of major 1", set(trial(), &[14, 0, 3, 5], Value::Map(Vec::new()))),
        (
            "season end in a summary of major 0",
            set(set(trial(), &[14, 0, 3, 4], Value::Map(Vec::new())), &[1], 0),
        ),
        (
            "replicate of none in a summary of major 0",
            set(set(trial(), &[14, 0, 4], array([24, 0])), &[1], 0),
        ),
        ("negative ever rooted", set(trial(), &[14, 0, 3, 1, 10], -1)),
        ("lost of one replicate", lost(array([1]))),
        ("lost of 51 replicates", lost(array([1; 51]))),
        ("bottom heat in degrees and in words", set(facet(9, 20), &[14, 0, 2, 22], 2)),
        ("code 256 for bottom heat", facet(22, 256)),
        ("code 256 for scarified", facet(23, 256)),
        ("no weeks at all in major 1", without(trial(), &[9])),
    ])
}

/// Counts of the first arm (24 started) at a stage.
fn counts(value: Value, stage: u64, counts: &[(i64, i64)]) -> Value {
    let entries = counts.iter().map(|(key, n)| ((*key).into(), (*n).into())).collect();
    set(value, &[14, 0, 3, stage], Value::Map(entries))
}

fn at(stage: u64, of: &[(i64, i64)]) -> Value {
    counts(trial(), stage, of)
}

/// Replicates of both arms, with counts of the first one at lift.
fn lists(flags: i64, first: &[i64], second: &[i64], lift: Vec<(Value, Value)>) -> Value {
    let of = |list: &[i64]| array(list.iter().copied());
    let value = set(set(trial(), &[10], flags), &[14, 0, 4], of(first));
    set(set(value, &[14, 1, 4], of(second)), &[14, 0, 3, 1], Value::Map(lift))
}

/// Two replicates of twelve in the first arm, and what was counted of them.
fn counted(rooted: i64, list: &[i64], more: Vec<(Value, Value)>) -> Value {
    let lift = [vec![(3.into(), rooted.into()), (8.into(), array(list.iter().copied()))], more].concat();
    lists(0, &[12, 12], &[12, 12], lift)
}

fn lost(count: i64, list: &[i64]) -> Vec<(Value, Value)> {
    vec![(7.into(), count.into()), (11.into(), array(list.iter().copied()))]
}

pub(crate) fn broken_rules() -> Vec<Json> {
    let all = [broken_layouts(), broken_counts()].concat();
    refused(&all)
}

fn broken_layouts() -> Vec<Named> {
    vec![
        ("control that is no arm", set(trial(), &[17], 3)),
        ("replicate of none, not matched", lists(0, &[24, 0], &[12, 12], Vec::new())),
        ("matched replicates that are not as many", lists(128, &[12, 12], &[8, 8, 8], Vec::new())),
        ("matched replicates, an arm without", set(set(trial(), &[10], 128), &[14, 0, 4], array([12, 12]))),
        ("matched replicates, none in any arm", set(trial(), &[10], 128)),
        ("matched replicates that do not add up", lists(128, &[24, 0], &[11, 12], Vec::new())),
        (
            "a count where nothing was started",
            lists(128, &[24, 0], &[12, 12], vec![(3.into(), 9.into()), (8.into(), array([8, 1]))]),
        ),
    ]
}

fn broken_counts() -> Vec<Named> {
    vec![
        ("final at season end", at(4, &[(5, 1)])),
        ("established at lift of major 1", at(1, &[(4, 1)])),
        ("rooted exceeds alive and left as finished", at(1, &[(1, 5), (3, 8), (9, 2)])),
        ("rooted and left as finished exceed started", at(1, &[(3, 20), (9, 5)])),
        ("left as finished exceeds started", at(1, &[(9, 25)])),
        ("left as finished exceeds final, major 1", at(3, &[(5, 3), (9, 4)])),
        ("established exceeds rooted at season end", at(4, &[(3, 5), (4, 6)])),
        ("all four parts do not add up at lift", at(1, &[(1, 10), (6, 4), (7, 0), (9, 9)])),
        ("ever rooted exceeds started", at(1, &[(3, 9), (10, 25)])),
        ("rooted exceeds ever rooted", at(1, &[(3, 9), (10, 8)])),
        ("ever rooted falls from lift to season end", counts(at(1, &[(10, 9)]), 4, &[(10, 8)])),
        ("ever rooted falls from season end to spring", counts(at(4, &[(10, 9)]), 2, &[(10, 8)])),
        (
            "ever rooted below rooted and left at an earlier stage",
            counts(at(1, &[(3, 9), (9, 2)]), 3, &[(10, 10)]),
        ),
        (
            "replicates add up to rooted without those that left",
            counted(7, &[4, 3], vec![(9.into(), 2.into())]),
        ),
        (
            "lost by replicate, outcome not",
            set(set(trial(), &[14, 0, 4], array([12, 12])), &[14, 0, 3, 1], Value::Map(lost(2, &[1, 1]))),
        ),
        ("lost by replicate without lost", counted(7, &[4, 3], vec![(11.into(), array([0, 0]))])),
        ("lost by replicate where none was lost", counted(7, &[4, 3], lost(0, &[0, 0]))),
        ("lost by replicate does not add up", counted(7, &[4, 3], lost(3, &[1, 1]))),
        ("lost of three replicates, two started", counted(7, &[4, 3], lost(3, &[1, 1, 1]))),
        ("a replicate with its lost pieces exceeds its started", counted(7, &[4, 3], lost(9, &[9, 0]))),
    ]
}
