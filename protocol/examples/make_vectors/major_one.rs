//! Records of schema major 1: what came with it, each valid once. What breaks it is in `major_one_broken`.

use propagule_protocol::record::{
    Arm, Auxin, Body, Code, Counts, DesignFlags, Extensions, Facets, Head, Parent, Relation, StageCounts,
    Summary, Weeks, Withdrawal,
};
use propagule_protocol::sign;
use propagule_protocol::vocab::Facet;
use serde_json::Value as Json;

use crate::sample::seal::{Seal, payload};
use crate::sample::{arm, facets, key, month, new_summary, summary};
use crate::valid::full_arm;
use crate::{good, network};

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

pub(crate) fn plain() -> Summary {
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
