//! Rows and summaries for tests.

use propagule_protocol::{
    Arm, AuthorKey, Code, Counts, DesignFlags, Extensions, Facet, Facets, Head, Month, Region, StageCounts,
    Summary, Taxon, Weeks,
};

use super::printed::{AllArms, PrintedTrials, read_printed};
use super::records::HeldTrial;
use super::row::{Evidence, EvidenceRow, FacetWords, RowFlags};

/// One counted arm of softwood cuttings under a dome.
pub fn row(grower: &str, trial: &str, arm: &str, started: u32, succeeded: u32) -> EvidenceRow {
    let facets = [("kind", "stem cutting"), ("wood", "softwood"), ("humidity", "dome")];
    EvidenceRow {
        grower: grower.to_owned(),
        publisher: grower.to_owned(),
        trial: format!("{grower}/{trial}"),
        arm: arm.to_owned(),
        facets: words(&facets),
        phases: Vec::new(),
        first_seen: Vec::new(),
        life: None,
        started,
        succeeded,
        lost: 0,
        alive: None,
        pending: false,
        weeks: None,
        region: None,
        site: None,
        own: false,
        weight: 1.0,
        pots: Vec::new(),
        flags: RowFlags { unit_is_piece: true, ..RowFlags::default() },
    }
}

/// Facets by name and word.
pub fn words(facets: &[(&str, &str)]) -> FacetWords {
    facets.iter().map(|(facet, word)| ((*facet).to_owned(), (*word).to_owned())).collect()
}

/// The row with one facet set to another word.
pub fn with_facet(mut row: EvidenceRow, facet: &str, word: &str) -> EvidenceRow {
    row.facets.insert(facet.to_owned(), word.to_owned());
    row
}

/// Rows as evidence, nothing left out.
pub fn evidence(rows: Vec<EvidenceRow>) -> Evidence {
    Evidence { rows, ..Evidence::default() }
}

/// Facets of a record from names and words.
pub fn facets(facets: &[(&str, &str)]) -> Facets {
    let mut set = Facets::default();
    for (name, word) in facets {
        let facet = Facet::from_name(name).expect("a facet of the schema");
        set.set(facet, word).expect("a word of the vocabulary");
    }
    set
}

/// An arm of softwood cuttings under a dome.
pub fn arm(number: u8, started: u16) -> Arm {
    Arm {
        number,
        started,
        facets: facets(&[("kind", "stem cutting"), ("wood", "softwood"), ("humidity", "dome")]),
        stages: StageCounts::default(),
        replicates: None,
        start_offset_months: None,
        unlisted_difference: None,
        phases: Vec::new(),
        weeks_to_lift: None,
        extensions: Extensions::new(),
    }
}

/// The arm with `rooted` counted at lift.
pub fn lifted(number: u8, started: u16, rooted: u16) -> Arm {
    let mut arm = arm(number, started);
    arm.stages.lift = Some(Counts { rooted: Some(rooted), ..Counts::default() });
    arm
}

/// A trial started in July 2026 and lifted after 15 weeks.
pub fn summary(species: &str, series: u8, arms: Vec<Arm>) -> Summary {
    Summary {
        head: Head::of_summary(Month::new(2026, 10).expect("a month")),
        series: [series; 16],
        revision: 0,
        taxon: Taxon::parse(species).expect("a name"),
        region: Region {
            rule: Code(2),
            koppen: None,
            zone: Some(8),
            coldest: Some(1),
            hottest: Some(4),
            rain: Some(5),
            extensions: Extensions::new(),
        },
        season: Month::new(2026, 7).expect("a month"),
        weeks: Weeks { lift: Some(15), spring: Some(48), ..Weeks::default() },
        design: DesignFlags::default(),
        stock_plants: None,
        doi: None,
        grower_mark: None,
        parent: None,
        control: None,
        arms,
        extensions: Extensions::new(),
    }
}

/// A trial held from the author of that number, everything else ordinary.
pub fn held(author: u8, summary: &Summary) -> HeldTrial<'_> {
    HeldTrial {
        author: AuthorKey([author; 32]),
        summary,
        own: false,
        trusts_marks: false,
        weight: 1.0,
        muted: false,
        equivocated: false,
        shrunk: false,
        opened_early: false,
        opened: None,
        is_regraft: false,
    }
}

/// Tables of an invented plant: softwood cuttings under a dome in one work for each row of pieces put in and successes.
pub fn printed_works(rows: &[(u32, u32, AllArms)]) -> PrintedTrials {
    let arm = |(n, (started, rooted, all)): (usize, &(u32, u32, AllArms))| {
        let all = all.word();
        format!("H{n},answer,Ostrava tarda,t,1,stem cutting,softwood,dome,{started},{rooted},{all},B")
    };
    let header = "source_id,use,species,trial,arm,kind,wood,humidity,started,rooted,all_arms_reported,grade"
        .to_owned();
    let trials: Vec<String> = std::iter::once(header).chain(rows.iter().enumerate().map(arm)).collect();
    let work = |n: usize| format!("H{n},\"A bulletin, 19{n:02}.\"");
    let sources: Vec<String> =
        std::iter::once("source_id,citation".to_owned()).chain((0..rows.len()).map(work)).collect();
    let read = |name: &str, text: &str| (name.to_owned(), read_printed(name, text.as_bytes()));
    PrintedTrials::default()
        .with([read("mine.csv", &trials.join("\n")), read("works.csv", &sources.join("\n"))])
}
