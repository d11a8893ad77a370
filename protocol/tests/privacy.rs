//! No private field reaches the bytes.

mod sample;

use propagule_protocol::anonymise::{Item, Private, StageDay, StageDays, Trial, TrialArm, TrialPhase};
use propagule_protocol::record::{
    Body, Counts, DesignFlags, Extensions, Facets, Parent, Relation, StageCounts, Taxon,
};
use propagule_protocol::vocab::Facet;
use propagule_protocol::{Climate, Date, Hemisphere, Place, Publication, anonymise, sign};
use proptest::prelude::*;
use sample::{facets, key, month, network};

/// Private content of a trial: texts, days within their weeks and months, exact numbers within their class.
#[derive(Clone, Debug)]
struct Secrets {
    texts: Vec<String>,
    /// Days by which everything is moved within the month.
    days: u8,
    stock_plants: u32,
    dose: u16,
    half: char,
    warmth: f64,
    rain: f64,
}

/// Texts of at least eight letters and digits, so that none is found by chance.
fn any_secrets() -> impl Strategy<Value = Secrets> {
    let texts = proptest::collection::vec("[A-Za-z][A-Za-z0-9]{7,20}", 12);
    let half = prop_oneof![Just('a'), Just('b')];
    let numbers = (0..14_u8, 4..=9_u32, 3_150..=3_249_u16, half, 0.1..3.9_f64, 600.0..750.0_f64);
    (texts, numbers).prop_map(|(texts, (days, stock_plants, dose, half, warmth, rain))| Secrets {
        texts,
        days,
        stock_plants,
        dose,
        half,
        warmth,
        rain,
    })
}

fn day(month: u8, secrets: &Secrets) -> Date {
    Date::new(2026, month, 1 + secrets.days).expect("within the month")
}

fn method(secrets: &Secrets) -> Facets {
    let strength = format!("IBA quick dip {} mg/L", secrets.dose);
    let facets = facets(&[(Facet::Kind, "stem cutting"), (Facet::Auxin, &strength)]);
    Facets { extensions: extensions(secrets), ..facets }
}

fn extensions(secrets: &Secrets) -> Extensions {
    Extensions::from([(64, secrets.texts[11].as_str().into())])
}

fn arm(secrets: &Secrets) -> TrialArm {
    let counts =
        Counts { alive: Some(9), rooted: Some(4), replicates: Some(vec![3, 1]), ..Counts::default() };
    TrialArm {
        number: 1,
        label: secrets.texts[0].clone(),
        started: 12,
        started_on: None,
        lifted_on: Some(day(9, secrets)),
        method: method(secrets),
        stages: StageCounts { lift: Some(counts), ..StageCounts::default() },
        replicates: Some(vec![(secrets.texts[1].clone(), 6), (secrets.texts[2].clone(), 6)]),
        unlisted_difference: None,
        phases: vec![TrialPhase {
            moved_on: day(9, secrets),
            spot: secrets.texts[3].clone(),
            method: method(secrets),
        }],
    }
}

fn trial(secrets: &Secrets) -> Trial {
    let texts = &secrets.texts;
    Trial {
        series: [3; 16],
        revision: 0,
        taxon: Taxon::parse("Ostrava tarda").expect("a name"),
        started: day(6, secrets),
        days: StageDays {
            lift: StageDay { planned: Some(day(9, secrets)), counted: Some(day(9, secrets)) },
            season: StageDay { planned: Some(day(10, secrets)), counted: Some(day(11, secrets)) },
            ..StageDays::default()
        },
        design: DesignFlags(0),
        stock_plants: Some(secrets.stock_plants),
        doi: None,
        grower_mark: None,
        parent: None,
        control: None,
        arms: vec![arm(secrets)],
        private: Private {
            name: texts[4].clone(),
            place: texts[5].clone(),
            notes: texts[6..9].to_vec(),
            other: vec![Item { what: texts[9].clone(), value: texts[10].clone() }],
        },
    }
}

/// The same coarse place whatever the secrets are: zone 8, 0 to 4 °C, 16 to 20 °C, 506 to 759 mm.
fn place(secrets: &Secrets) -> Place {
    let climate = Climate::Six {
        coldest: secrets.warmth,
        hottest: 16.0 + secrets.warmth,
        rain: secrets.rain,
        summer_share: 0.5,
        driest_summer: 45.0,
        driest_winter: 45.0,
    };
    Place { hemisphere: Hemisphere::North, climate, zone: format!("8{}", secrets.half).parse().ok() }
}

fn publication(secrets: &Secrets) -> Publication {
    anonymise(&trial(secrets), &place(secrets), month("2026-10")).expect("publishable")
}

fn contains(bytes: &[u8], text: &str) -> bool {
    bytes.to_ascii_lowercase().windows(text.len()).any(|part| part == text.to_ascii_lowercase().as_bytes())
}

proptest! {
    #[test]
    fn no_private_text_is_found_in_the_record(secrets in any_secrets()) {
        let publication = publication(&secrets);
        let record = sign(&Body::Summary(publication.summary), &key(1), &network()).expect("valid");
        for text in &secrets.texts {
            prop_assert!(!contains(&record.bytes, text), "{text} is in the bytes");
            prop_assert!(publication.leaves.iter().all(|i| !i.value.contains(text) && !i.what.contains(text)));
        }
        for iso in [day(6, &secrets), day(9, &secrets), day(10, &secrets), day(11, &secrets)] {
            prop_assert!(!contains(&record.bytes, &iso.to_string()));
            prop_assert!(publication.leaves.iter().all(|item| !item.value.contains(&iso.to_string())));
        }
    }

    /// Stronger: two trials that differ in nothing but private content make the same record.
    #[test]
    fn private_content_changes_nothing(one in any_secrets(), other in any_secrets()) {
        let (one, other) = (publication(&one), publication(&other));
        prop_assert_eq!(&one.summary, &other.summary);
        prop_assert_eq!(one.leaves, other.leaves);
    }

    #[test]
    fn everything_private_is_in_the_account_of_what_stays(secrets in any_secrets()) {
        let stays = publication(&secrets).stays;
        for text in &secrets.texts[..11] {
            prop_assert!(stays.iter().any(|i| i.value.contains(text) || i.what.contains(text)), "{text} is nowhere");
        }
        let values = [
            day(6, &secrets).to_string(),
            day(9, &secrets).to_string(),
            day(10, &secrets).to_string(),
            day(11, &secrets).to_string(),
            secrets.stock_plants.to_string(),
            format!("8{}", secrets.half),
        ];
        for value in values {
            prop_assert!(stays.iter().any(|item| item.value == value), "{value} is nowhere");
        }
    }
}

/// Every field of every map that a record carries is in the account of what leaves: numbers that stand
/// nowhere else, one for each field, are all found.
#[test]
fn everything_that_leaves_is_in_the_account() {
    let secrets = Secrets {
        texts: vec![String::new(); 12],
        days: 0,
        stock_plants: 5,
        dose: 3200,
        half: 'a',
        warmth: 1.0,
        rain: 700.0,
    };
    let mut trial = trial(&secrets);
    trial.doi = Some("10.1000/182".to_owned());
    trial.grower_mark = Some([0xee; 8]);
    trial.arms[0].unlisted_difference = Some(211);
    trial.arms[0].started = 997;
    trial.arms[0].replicates = Some(vec![(String::new(), 499), (String::new(), 498)]);
    let counts = Counts {
        alive: Some(601),
        callused: Some(401),
        rooted: Some(301),
        dead: Some(202),
        lost: Some(103),
        replicates: Some(vec![156, 145]),
        lost_by_replicate: Some(vec![61, 42]),
        ever_rooted: Some(333),
        ..Counts::default()
    };
    let season = Counts { rooted: Some(287), established: Some(276), ..Counts::default() };
    let last =
        Counts { finished: Some(99), left_as_finished: Some(88), established: Some(77), ..Counts::default() };
    trial.arms[0].stages =
        StageCounts { lift: Some(counts), season: Some(season), spring: None, last: Some(last) };
    trial.parent = Some(Parent { series: [0xbd; 16], relation: Relation::Repeat });
    trial.control = Some(1);
    trial.design = DesignFlags(DesignFlags::REPLICATES_MATCHED | DesignFlags::STARTED_CHANGED);
    let leaves = anonymise(&trial, &place(&secrets), month("2026-10")).expect("publishable").leaves;
    let lines: Vec<String> = leaves.iter().map(|item| format!("{}: {}", item.what, item.value)).collect();
    let all = lines.join("\n");
    let numbers = [
        "2026-10",
        "2026-06",
        "0303",
        "Ostrava tarda",
        "10.1000/182",
        "eeee",
        "211",
        "997",
        "499, 498",
        "601",
        "401",
        "301",
        "202",
        "103",
        "156, 145",
        "61, 42",
        "333",
        "287",
        "276",
        "repeats bdbd",
        "control: arm 1",
        "replicates matched",
        "started changed",
        "99",
        "88",
        "77",
        "4-9",
        "IBA quick dip 3200 mg/L",
        "after 13 weeks",
    ];
    for number in numbers {
        assert!(all.contains(number), "{number} is not in\n{all}");
    }
}
