//! Invented trials and records for the stories.

use propagule_protocol::{
    Arm, Body, Code, Counts, DesignFlags, Extensions, Facets, Head, Month, NetworkId, Region, SecretKey,
    Signed, StageCounts, Summary, Taxon, Weeks, sign,
};

use crate::grower::NETWORK;

/// A trial table in which nothing rooted and most pieces live: the story of the demo.
pub const GREEN_NOT_ROOTED: &str = "\
trial,species,started,started_on,arm,kind,wood,humidity,medium,auxin,lift_on,lift_alive,lift_rooted,lift_dead,lift_lost
M1,Morus nigra,24,2025-06-05,A,stem cutting,semi-ripe,dome,peat 50 + perlite 50,IBA powder 3000 mg/kg,2025-09-12,17,0,7,0
";

/// The same trial in spring.
pub const SPRING: &str = "\
trial,species,started,started_on,arm,spring_on,spring_alive,spring_rooted,spring_dead,spring_lost
M1,Morus nigra,24,2025-06-05,A,2026-04-20,5,3,19,0
";

/// The network of the stories.
pub fn network() -> NetworkId {
    NetworkId::of(NETWORK)
}

/// A signed record of an invented author: 24 semi-ripe cuttings of *Morus nigra*, `rooted` rooted.
///
/// # Panics
/// Never: the numbers are within the schema.
pub fn record(author: u8, series: u64, rooted: u16) -> Signed {
    record_of(u64::from(author), series, rooted)
}

/// The same for more authors than a byte can count.
///
/// # Panics
/// Never: the numbers are within the schema.
pub fn record_of(author: u64, series: u64, rooted: u16) -> Signed {
    record_in(Month::new(2026, 10).expect("a month"), author, series, rooted)
}

/// The same, signed in another month.
///
/// # Panics
/// Never: the numbers are within the schema.
pub fn record_in(month: Month, author: u64, series: u64, rooted: u16) -> Signed {
    signed(&Summary { head: Head::of_summary(month), ..summary("Morus nigra", series, rooted) }, author)
}

/// The same of any plant.
///
/// # Panics
/// When the name is none.
pub fn record_of_species(species: &str, author: u64, series: u64, rooted: u16) -> Signed {
    signed(&summary(species, series, rooted), author)
}

/// The same, signed for another network.
///
/// # Panics
/// Never: the numbers are within the schema.
pub fn record_for(network: &NetworkId, author: u64, series: u64, rooted: u16) -> Signed {
    signed_for(network, &summary("Morus nigra", series, rooted), author)
}

fn signed(summary: &Summary, author: u64) -> Signed {
    signed_for(&network(), summary, author)
}

fn signed_for(network: &NetworkId, summary: &Summary, author: u64) -> Signed {
    let mut seed = [0; 32];
    seed[..8].copy_from_slice(&author.to_be_bytes());
    let key = SecretKey::from_bytes(&seed);
    sign(&Body::Summary(summary.clone()), &key, network).expect("the summary is valid")
}

fn summary(species: &str, series: u64, rooted: u16) -> Summary {
    let mut name = [0; 16];
    name[..8].copy_from_slice(&series.to_be_bytes());
    Summary {
        head: Head::of_summary(Month::new(2026, 10).expect("a month")),
        series: name,
        revision: 0,
        taxon: Taxon::parse(species).expect("a plant name"),
        region: region(),
        season: Month::new(2026, 6).expect("a month"),
        weeks: Weeks { lift: Some(14), ..Weeks::default() },
        design: DesignFlags(DesignFlags::ALL_ARMS_REPORTED),
        stock_plants: Some(1),
        doi: None,
        grower_mark: None,
        parent: None,
        control: None,
        arms: vec![arm(rooted)],
        extensions: Extensions::new(),
    }
}

fn region() -> Region {
    let (koppen, coldest, hottest, rain) = (None, Some(1), Some(4), Some(5));
    Region { rule: Code(2), koppen, zone: Some(8), coldest, hottest, rain, extensions: Extensions::new() }
}

fn arm(rooted: u16) -> Arm {
    let mut facets = Facets::default();
    for (facet, word) in [("kind", "stem cutting"), ("wood", "semi-ripe"), ("humidity", "dome")] {
        let facet = propagule_protocol::Facet::from_name(facet).expect("a facet");
        facets.set(facet, word).expect("a word of the vocabulary");
    }
    let lift = Counts {
        alive: Some(rooted),
        rooted: Some(rooted),
        dead: Some(24 - rooted),
        lost: Some(0),
        ..Counts::default()
    };
    Arm {
        number: 1,
        started: 24,
        facets,
        stages: StageCounts { lift: Some(lift), ..StageCounts::default() },
        replicates: None,
        start_offset_months: None,
        unlisted_difference: None,
        phases: Vec::new(),
        weeks_to_lift: None,
        extensions: Extensions::new(),
    }
}
