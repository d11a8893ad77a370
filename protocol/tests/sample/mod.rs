//! Invented records for the tests.
#![allow(dead_code, unreachable_pub, reason = "each test file uses its own part")]

pub mod seal;
pub mod stands;
pub mod view;

use propagule_protocol::record::{
    Arm, Body, Code, Counts, DesignFlags, Extensions, Facets, Head, Region, Revocation, Rotation,
    StageCounts, Summary, Taxon, Vouch, Weeks, Withdrawal,
};
use propagule_protocol::vocab::Facet;
use propagule_protocol::{AuthorKey, Month, NetworkId, SecretKey, Signed, rotation_proof, sign};

pub fn network() -> NetworkId {
    NetworkId::of("tests")
}

pub fn key(n: u8) -> SecretKey {
    SecretKey::from_bytes(&[n; 32])
}

pub fn month(text: &str) -> Month {
    text.parse().expect("a month")
}

pub fn facets(words: &[(Facet, &str)]) -> Facets {
    let mut facets = Facets::default();
    for (facet, word) in words {
        facets.set(*facet, word).expect("a known word");
    }
    facets
}

pub fn arm(number: u8, started: u16, rooted: Option<u16>) -> Arm {
    let lift = rooted.map(|rooted| Counts { rooted: Some(rooted), ..Counts::default() });
    Arm {
        number,
        started,
        facets: facets(&[(Facet::Kind, "stem cutting"), (Facet::Wood, "hardwood")]),
        stages: StageCounts { lift, ..StageCounts::default() },
        replicates: None,
        start_offset_months: None,
        unlisted_difference: None,
        phases: Vec::new(),
        weeks_to_lift: None,
        extensions: Extensions::new(),
    }
}

/// The head of a record of the first schema, as the older vectors have it.
pub fn old_head(signed: Month) -> Head {
    Head { major: 0, minor: 0, signed }
}

/// A summary as this version writes it.
pub fn new_summary(arms: Vec<Arm>) -> Summary {
    Summary { head: Head::of_summary(month("2026-11")), ..summary(arms) }
}

/// A summary of major 0.
pub fn summary(arms: Vec<Arm>) -> Summary {
    Summary {
        head: old_head(month("2026-11")),
        series: [7; 16],
        revision: 0,
        taxon: Taxon::parse("Ribes nigrum").expect("a name"),
        region: Region {
            rule: Code(2),
            koppen: Some(Code(7)),
            zone: Some(8),
            coldest: Some(0),
            hottest: Some(4),
            rain: Some(4),
            extensions: Extensions::new(),
        },
        season: month("2026-02"),
        weeks: Weeks { lift: Some(12), ..Weeks::default() },
        design: DesignFlags(DesignFlags::RANDOMISED | DesignFlags::ALL_ARMS_REPORTED),
        stock_plants: Some(2),
        doi: None,
        grower_mark: None,
        parent: None,
        control: None,
        arms,
        extensions: Extensions::new(),
    }
}

pub fn signed(body: &Body, n: u8) -> Signed {
    sign(body, &key(n), &network()).expect("a valid body")
}

pub fn trial() -> Body {
    Body::Summary(summary(vec![arm(1, 24, Some(9)), arm(2, 24, Some(0))]))
}

pub fn withdrawal() -> Body {
    let head = old_head(month("2026-12"));
    Body::Withdrawal(Withdrawal { head, series: [7; 16], reason: Code(2), extensions: Extensions::new() })
}

pub fn rotation(old: u8, new: u8) -> Body {
    let (old, new) = (key(old).author(), key(new));
    let proof = rotation_proof(&new, &old, &network());
    let head = old_head(month("2027-01"));
    Body::Rotation(Rotation { head, new_key: new.author(), proof, extensions: Extensions::new() })
}

pub fn revocation(from: Option<Month>) -> Body {
    Body::Revocation(Revocation { head: old_head(month("2027-02")), from, extensions: Extensions::new() })
}

pub fn vouch(subject: AuthorKey, sequence: u8, vouches: bool) -> Body {
    let head = old_head(month("2026-11"));
    Body::Vouch(Vouch { head, subject, sequence, vouches, extensions: Extensions::new() })
}
