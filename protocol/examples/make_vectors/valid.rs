//! Records that are accepted: every kind, and the edges of the summary.

use propagule_protocol::record::{
    Arm, Auxin, Body, Code, Counts, DesignFlags, Extensions, Facets, Head, Phase, Region, Rotation,
    StageCounts, Summary, Taxon, Weeks,
};
use propagule_protocol::vocab::Facet;
use propagule_protocol::{Month, sign};
use serde_json::Value as Json;

use crate::sample::seal::{Seal, payload};
use crate::sample::{arm, facets, key, month, old_head, summary};
use crate::{good, network};

pub(crate) fn vectors() -> Vec<Json> {
    let all = summaries().into_iter().map(|(name, body)| (name, Body::Summary(body))).chain(others());
    all.map(|(name, body)| vector(name, &body)).collect()
}

fn vector(name: &str, body: &Body) -> Json {
    let record = sign(body, &key(1), &network()).expect(name);
    good(name, &Seal::new(1, network(), payload(&record.bytes)))
}

fn summaries() -> Vec<(&'static str, Summary)> {
    let opening = summary(vec![arm(1, 24, None), arm(2, 24, None)]);
    vec![
        ("summary, one arm", summary(vec![arm(1, 24, Some(9))])),
        ("summary, opening without counts", opening),
        ("summary, none rooted", summary(vec![arm(1, 12, Some(0)), arm(2, 15, Some(0))])),
        ("summary, four arms", summary((1..=4).map(|n| arm(n, 24, Some(n.into()))).collect())),
        ("summary, 24 arms", summary((1..=24).map(|n| arm(n, 24, Some(n.into()))).collect())),
        ("summary, every facet", summary(vec![full_arm()])),
        ("summary, three stages and a move", Summary { revision: 2, ..summary(vec![staged_arm()]) }),
        ("summary, replicates", summary(vec![replicated_arm(1, 4, 6)])),
        (
            "summary, 24 arms with 12 replicates",
            summary((1..=24).map(|n| replicated_arm(n, 12, 10)).collect()),
        ),
        (
            "summary, transcribed from print",
            Summary { doi: Some("10.1000/182".to_owned()), ..summary(vec![arm(1, 40, Some(37))]) },
        ),
        (
            "summary, entered for another grower",
            Summary { grower_mark: Some([0xa5; 8]), ..summary(vec![arm(1, 20, Some(3))]) },
        ),
        (
            "summary, hybrid formula and cultivar",
            Summary { taxon: formula(), ..summary(vec![arm(1, 20, Some(3))]) },
        ),
        ("summary, unknown codes", unknown_codes()),
        ("summary, ignorable keys kept", with_extensions()),
        ("summary, lowest values", lowest()),
        ("summary, highest values", highest()),
    ]
}

fn others() -> Vec<(&'static str, Body)> {
    let subject = key(3).author();
    vec![
        ("withdrawal", crate::sample::withdrawal()),
        ("rotation", rotation()),
        ("revocation of everything", crate::sample::revocation(None)),
        ("revocation from a month", crate::sample::revocation(Some(month("2027-01")))),
        ("vouch", crate::sample::vouch(subject, 0, true)),
        ("unvouch", crate::sample::vouch(subject, 255, false)),
    ]
}

fn rotation() -> Body {
    let proof = propagule_protocol::rotation_proof(&key(2), &key(1).author(), &network());
    let head = old_head(month("2027-01"));
    Body::Rotation(Rotation { head, new_key: key(2).author(), proof, extensions: Extensions::new() })
}

pub(crate) fn full_arm() -> Arm {
    let words = [
        (Facet::Kind, "graft"),
        (Facet::Wood, "hardwood"),
        (Facet::Form, "whip-and-tongue"),
        (Facet::Medium, "peat 50 + perlite 30 + bark 20"),
        (Facet::Auxin, "IBA powder 3000 mg/kg + NAA quick dip, strength unknown"),
        (Facet::Solvent, "ethanol"),
        (Facet::Wound, "light"),
        (Facet::Leaves, "halved"),
        (Facet::Humidity, "mist"),
        (Facet::BottomHeat, "22"),
        (Facet::Container, "pot"),
        (Facet::GrowingPlace, "glass"),
        (Facet::Rootstock, "Ferulastra vulgata"),
        (Facet::Stratification, "8/12"),
        (Facet::Bbch, "07"),
        (Facet::StockOrigin, "grafted"),
        (Facet::StockAge, "8"),
        (Facet::Watering, "kept moist"),
        (Facet::TipNodesRemoved, "2"),
        (Facet::FlowerBuds, "removed"),
        (Facet::Light, "60 % let through"),
        (Facet::Cultivar, "Brasswing"),
    ];
    Arm {
        facets: facets(&words),
        unlisted_difference: Some(1),
        weeks_to_lift: Some(0),
        ..arm(1, 24, Some(9))
    }
}

fn staged_arm() -> Arm {
    let lift = Counts {
        alive: Some(9),
        callused: Some(4),
        rooted: Some(0),
        dead: Some(4),
        lost: Some(0),
        ..Counts::default()
    };
    let spring = Counts { alive: Some(6), rooted: Some(3), established: Some(3), ..Counts::default() };
    let last = Counts {
        alive: Some(1),
        rooted: Some(1),
        established: Some(1),
        finished: Some(3),
        dead: Some(10),
        lost: Some(0),
        left_as_finished: Some(2),
        ..Counts::default()
    };
    let frame = facets(&[(Facet::Kind, "stem cutting"), (Facet::GrowingPlace, "cold frame")]);
    Arm {
        stages: StageCounts { lift: Some(lift), season: None, spring: Some(spring), last: Some(last) },
        start_offset_months: Some(-1),
        phases: vec![
            Phase { after_weeks: 15, facets: frame.clone() },
            Phase { after_weeks: 40, facets: frame },
        ],
        ..arm(1, 13, None)
    }
}

fn replicated_arm(number: u8, replicates: u16, each: u16) -> Arm {
    let started = vec![each; usize::from(replicates)];
    let counts = Counts {
        rooted: Some(replicates * (each / 2)),
        replicates: Some(vec![each / 2; usize::from(replicates)]),
        ..Counts::default()
    };
    let last = Counts { finished: counts.rooted, ..counts.clone() };
    Arm {
        stages: StageCounts {
            lift: Some(counts.clone()),
            season: None,
            spring: Some(counts),
            last: Some(last),
        },
        replicates: Some(started),
        ..arm(number, replicates * each, None)
    }
}

fn formula() -> Taxon {
    let taxon = Taxon::parse("Morus alba × Morus rubra 'Zlatá'").expect("a name");
    Taxon { group: Some("Low Lantern".to_owned()), infraspecific: Some((3, "tatarica".to_owned())), ..taxon }
}

fn unknown_codes() -> Summary {
    let mut body = summary(vec![full_arm()]);
    body.region.koppen = Some(Code(255));
    body.region.rule = Code(9);
    let facets = &mut body.arms[0].facets;
    (facets.kind, facets.wood, facets.medium) = (Code(200), Some(Code(17)), Some(vec![(Code(99), 0)]));
    body.taxon.infraspecific = Some((77, "minor".to_owned()));
    body
}

fn with_extensions() -> Summary {
    let kept = |key: u64| Extensions::from([(key, ciborium::Value::from("kept"))]);
    let mut body = summary(vec![arm(1, 24, Some(9))]);
    body.extensions = kept(64);
    body.region.extensions = kept(65);
    body.arms[0].extensions = kept(1000);
    body.arms[0].facets.extensions = kept(70_000);
    if let Some(counts) = &mut body.arms[0].stages.lift {
        counts.extensions = kept(64);
    }
    body
}

fn lowest() -> Summary {
    let region = Region {
        rule: Code(0),
        koppen: None,
        zone: Some(1),
        coldest: Some(-20),
        hottest: Some(-10),
        rain: Some(0),
        extensions: Extensions::new(),
    };
    let facets = Facets { bottom_heat: Some(-5), medium: Some(vec![(Code(0), 0)]), ..Facets::default() };
    let arm = Arm { facets, start_offset_months: Some(-12), ..arm(1, 1, Some(0)) };
    let head = old_head(Month(0));
    let weeks = Weeks { lift: Some(0), season: None, spring: Some(0), last: Some(0) };
    Summary {
        head,
        region,
        season: Month(0),
        weeks,
        design: DesignFlags(0),
        stock_plants: Some(1),
        ..summary(vec![arm])
    }
}

fn highest() -> Summary {
    let region = Region {
        rule: Code(2),
        koppen: Some(Code(13)),
        zone: Some(13),
        coldest: Some(12),
        hottest: Some(12),
        rain: Some(30),
        extensions: Extensions::new(),
    };
    let auxin = Auxin { substance: Code(2), form: Code(2), dose: Some(50_000) };
    let facets = Facets {
        bottom_heat: Some(40),
        auxin: Some(vec![auxin; 3]),
        medium: Some(vec![(Code(2), 100); 6]),
        stratification: Some((104, 104)),
        bbch: Some(99),
        tip_nodes_removed: Some(20),
        cultivar: Some("é".repeat(20)),
        ..Facets::default()
    };
    let arm = Arm {
        facets,
        start_offset_months: Some(12),
        unlisted_difference: Some(255),
        weeks_to_lift: Some(520),
        ..arm(24, 10_000, Some(10_000))
    };
    let (head, season) = (Head { minor: 23, ..old_head(Month(3599)) }, Month(3599));
    let weeks = Weeks { lift: Some(520), season: None, spring: Some(520), last: Some(520) };
    let base = summary(vec![arm]);
    Summary {
        head,
        revision: 31,
        region,
        season,
        weeks,
        design: DesignFlags(127),
        stock_plants: Some(4),
        ..base
    }
}
