//! Records for tests: invented counts, signed by keys made from a number.

use propagule_protocol::{
    Arm, Body, Code, Counts, DesignFlags, Extensions, Facets, Head, Month, NetworkId, Region, SecretKey,
    Signed, StageCounts, Summary, Taxon, Weeks, sign,
};

/// The network of all test records.
pub(crate) fn network() -> NetworkId {
    NetworkId::of("test")
}

/// A key made from a number.
pub(crate) fn key(number: u8) -> SecretKey {
    SecretKey::from_bytes(&[number; 32])
}

/// A summary of *Morus nigra*, semi-ripe under mist: 24 put in, `rooted` rooted at lift.
pub(crate) fn summary(series: u32, revision: u8, rooted: u16) -> Summary {
    let mut name = [0; 16];
    name[..4].copy_from_slice(&series.to_be_bytes());
    let lift = Counts {
        alive: Some(rooted),
        rooted: Some(rooted),
        dead: Some(24 - rooted),
        lost: Some(0),
        ..Counts::default()
    };
    Summary {
        head: Head::of_summary(Month::new(2026, 10).expect("a month")),
        series: name,
        revision,
        taxon: Taxon::parse("Morus nigra").expect("a name"),
        region: Region {
            rule: Code(2),
            koppen: None,
            zone: Some(8),
            coldest: None,
            hottest: None,
            rain: None,
            extensions: Extensions::new(),
        },
        season: Month::new(2026, 6).expect("a month"),
        weeks: Weeks { lift: Some(12), ..Weeks::default() },
        design: DesignFlags(DesignFlags::ALL_ARMS_REPORTED),
        stock_plants: Some(1),
        doi: None,
        grower_mark: None,
        parent: None,
        control: None,
        arms: vec![Arm {
            number: 1,
            started: 24,
            facets: Facets { kind: Code(3), ..Facets::default() },
            stages: StageCounts { lift: Some(lift), ..StageCounts::default() },
            replicates: None,
            start_offset_months: None,
            unlisted_difference: None,
            phases: Vec::new(),
            weeks_to_lift: None,
            extensions: Extensions::new(),
        }],
        extensions: Extensions::new(),
    }
}

/// A signed summary.
pub(crate) fn record(author: u8, series: u32, revision: u8, rooted: u16) -> Signed {
    sign(&Body::Summary(summary(series, revision, rooted)), &key(author), &network())
        .expect("a valid summary")
}
