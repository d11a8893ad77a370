//! Records of schema major 1: what came with it, each valid once and broken once, and what only a still newer
//! version can judge.

use ciborium::Value;
use propagule_protocol::cbor::encode;
use propagule_protocol::record::{
    Arm, Auxin, Body, Code, Counts, DesignFlags, Extensions, Facets, Head, Parent, Relation, StageCounts,
    Summary, Weeks, Withdrawal,
};
use propagule_protocol::sign;
use propagule_protocol::vocab::Facet;
use serde_json::Value as Json;

use crate::sample::seal::{Seal, bytes, payload};
use crate::sample::{arm, facets, key, month, new_summary, summary};
use crate::schema::{array, body, set, without};
use crate::valid::full_arm;
use crate::{bad, good, network};

pub(crate) fn valid() -> Vec<Json> {
    let all = summaries().into_iter().map(|(name, body)| (name, Body::Summary(body))).chain(others());
    all.map(|(name, body)| {
        let record = sign(&body, &key(1), &network()).expect(name);
        good(name, &Seal::new(1, network(), payload(&record.bytes)))
    })
    .collect()
}

type Summaries = Vec<(&'static str, Summary)>;

fn summaries() -> Summaries {
    [layouts(), lineage(), stages(), methods()].concat()
}

fn plain() -> Summary {
    new_summary(vec![arm(1, 24, Some(9)), arm(2, 24, Some(0))])
}

fn with_design(bits: u16, arms: Vec<Arm>) -> Summary {
    Summary { design: DesignFlags(bits), ..new_summary(arms) }
}

fn layouts() -> Summaries {
    let blocks = || vec![listed(1, &[8, 8, 8], &[5, 4, 6], None), listed(2, &[8, 0, 8], &[2, 0, 3], None)];
    let lost = vec![listed(1, &[6, 6], &[5, 1], Some(&[0, 4])), listed(2, &[6, 6], &[3, 2], None)];
    vec![
        ("summary of major 1, two arms", plain()),
        ("summary of major 1, opening without counts", new_summary(vec![arm(1, 24, None)])),
        ("matched replicates, a block without one arm", with_design(128, blocks())),
        ("each piece placed by itself in shared trays", with_design(128 + 256, blocks())),
        ("each piece placed by itself, one block", with_design(256, plain().arms)),
        ("started changed after the first count", with_design(512, plain().arms)),
        ("every design flag", with_design(1023, blocks())),
        ("lost pieces by replicate", with_design(1, lost)),
        (
            "the same unlisted difference in two arms",
            new_summary(vec![
                Arm { unlisted_difference: Some(1), ..arm(1, 24, Some(9)) },
                Arm { unlisted_difference: Some(1), ..arm(2, 24, Some(3)) },
                Arm { unlisted_difference: Some(2), ..arm(3, 24, Some(4)) },
            ]),
        ),
    ]
}

/// An arm with counts per replicate at lift, all of them alive or lost.
fn listed(number: u8, started: &[u16], rooted: &[u16], lost: Option<&[u16]>) -> Arm {
    let lift = Counts {
        rooted: Some(rooted.iter().sum()),
        lost: lost.map(|lost| lost.iter().sum()),
        replicates: Some(rooted.to_vec()),
        lost_by_replicate: lost.map(<[u16]>::to_vec),
        ..Counts::default()
    };
    Arm {
        stages: StageCounts { lift: Some(lift), ..StageCounts::default() },
        replicates: Some(started.to_vec()),
        ..arm(number, started.iter().sum(), None)
    }
}

fn lineage() -> Summaries {
    let follows = |relation| Summary { parent: Some(Parent { series: [6; 16], relation }), ..plain() };
    vec![
        ("replaces an earlier trial", follows(Relation::Replaces)),
        ("regraft of an earlier trial", follows(Relation::Regraft)),
        ("repeats an earlier trial", follows(Relation::Repeat)),
        ("the second arm is the control", Summary { control: Some(2), ..plain() }),
    ]
}

fn stages() -> Summaries {
    let weeks = Weeks { lift: Some(8), season: Some(26), spring: Some(40), last: Some(60) };
    let whole = Summary { weeks, ..new_summary(vec![four_stages()]) };
    let taken = |rooted| Counts { rooted: Some(rooted), established: Some(rooted), ..Counts::default() };
    let graft = Arm {
        stages: StageCounts {
            lift: Some(Counts { established: None, ..taken(7) }),
            season: Some(taken(6)),
            ..StageCounts::default()
        },
        facets: facets(&[(Facet::Kind, "graft"), (Facet::Form, "cleft")]),
        ..arm(1, 12, None)
    };
    let unsaid = StageCounts { lift: Some(rooted(9)), spring: Some(rooted(6)), ..StageCounts::default() };
    vec![
        ("four stages, ever rooted and left as finished", whole),
        (
            "grafts at season end",
            Summary { weeks: Weeks { season: Some(30), ..Weeks::default() }, ..new_summary(vec![graft]) },
        ),
        ("left as finished by lift, by replicate", new_summary(vec![left_early()])),
        (
            "fewer rooted in spring, ever rooted not stated",
            new_summary(vec![Arm { stages: unsaid, ..arm(1, 24, None) }]),
        ),
    ]
}

fn rooted(rooted: u16) -> Counts {
    Counts { rooted: Some(rooted), ..Counts::default() }
}

/// 20 started: 12 rooted, 2 of them sold before lift, and 3 died with roots by the end.
fn four_stages() -> Arm {
    let at = |alive, rooted, dead, left, ever| Counts {
        alive: Some(alive),
        rooted: Some(rooted),
        dead: Some(dead),
        lost: Some(1),
        left_as_finished: Some(left),
        ever_rooted: ever,
        ..Counts::default()
    };
    let grown = |counts: Counts| Counts { established: counts.rooted, ..counts };
    let last = Counts { finished: Some(9), ..grown(at(5, 5, 9, 5, Some(13))) };
    Arm {
        stages: StageCounts {
            lift: Some(at(13, 10, 4, 2, None)),
            season: Some(grown(at(10, 9, 6, 3, Some(13)))),
            spring: Some(grown(at(8, 8, 8, 3, Some(13)))),
            last: Some(last),
        },
        ..arm(1, 20, None)
    }
}

/// The list holds rooted and left together.
fn left_early() -> Arm {
    let lift = Counts {
        alive: Some(9),
        rooted: Some(7),
        left_as_finished: Some(5),
        replicates: Some(vec![8, 4]),
        ..Counts::default()
    };
    Arm {
        stages: StageCounts { lift: Some(lift), ..StageCounts::default() },
        replicates: Some(vec![10, 10]),
        ..arm(1, 20, None)
    }
}

fn methods() -> Summaries {
    let one =
        |words: &[(Facet, &str)]| new_summary(vec![Arm { facets: facets(words), ..arm(1, 24, Some(9)) }]);
    let all = Arm { facets: Facets { scarified: Some(Code(3)), ..full_arm().facets }, ..full_arm() };
    vec![
        ("summary of major 1, every facet", new_summary(vec![all])),
        ("no bottom heat", one(&[(Facet::Kind, "stem cutting"), (Facet::BottomHeat, "none")])),
        ("bottom heat on, not measured", one(&[(Facet::Kind, "stem cutting"), (Facet::BottomHeat, "on")])),
        ("seed in hot water", one(&[(Facet::Kind, "seed"), (Facet::Scarified, "hot water")])),
        ("every new code", new_summary(new_codes())),
        ("unknown codes of the new facets", new_summary(vec![unknown_codes()])),
    ]
}

/// Codes that were added to the lists with major 1, one arm for each that a list has of them.
fn new_codes() -> Vec<Arm> {
    let code = |first: u8, last: u8, at: u8| Code(first + at % (last - first + 1));
    let facets = |at: u8| Facets {
        kind: code(15, 17, at),
        wood: Some(Code(9)),
        form: Some(code(38, 49, at)),
        medium: Some(vec![(code(16, 30, at), 0)]),
        auxin: Some(vec![Auxin { substance: code(7, 12, at), form: Code(10), dose: None }]),
        solvent: Some(Code(6)),
        growing_place: Some(code(7, 10, at)),
        container: Some(code(9, 10, at)),
        scarified: Some(code(2, 5, at)),
        bottom_heat_state: Some(code(2, 3, at)),
        ..Facets::default()
    };
    (0..15).map(|at| Arm { facets: facets(at), ..arm(at + 1, 24, Some(9)) }).collect()
}

fn unknown_codes() -> Arm {
    let facets =
        Facets { bottom_heat_state: Some(Code(200)), scarified: Some(Code(17)), ..arm(1, 1, None).facets };
    Arm { facets, ..arm(1, 24, Some(9)) }
}

fn others() -> Vec<(&'static str, Body)> {
    let withdrawal = |head| {
        Body::Withdrawal(Withdrawal { head, series: [7; 16], reason: Code(2), extensions: Extensions::new() })
    };
    let signed = month("2026-12");
    let old = Summary { head: Head::new(signed), ..summary(vec![arm(1, 24, Some(9))]) };
    vec![
        ("withdrawal of minor 1", withdrawal(Head::new(signed))),
        ("withdrawal of major 1", withdrawal(Head::of_summary(signed))),
        ("summary of major 0, minor 1", Body::Summary(old)),
    ]
}

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
