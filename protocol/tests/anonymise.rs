//! What leaves and what stays.

mod sample;

use propagule_protocol::anonymise::{Item, Private, StageDay, StageDays, Trial, TrialArm, TrialPhase};
use propagule_protocol::record::{Body, Counts, DesignFlags, Parent, Relation, StageCounts, Taxon};
use propagule_protocol::vocab::Facet;
use propagule_protocol::{AnonymiseError, Climate, Date, Hemisphere, Place, Publication, anonymise, sign};
use sample::{facets, key, month, network};

fn day(text: &str) -> Date {
    text.parse().expect("a day")
}

fn place() -> Place {
    Place { hemisphere: Hemisphere::North, climate: Climate::None, zone: "8b".parse().ok() }
}

fn counted(text: &str) -> StageDay {
    StageDay { planned: None, counted: Some(day(text)) }
}

fn arm(number: u8, auxin: &str, rooted: u16) -> TrialArm {
    let lift = Counts { rooted: Some(rooted), ..Counts::default() };
    TrialArm {
        number,
        label: format!("label {number}"),
        started: 12,
        started_on: None,
        lifted_on: None,
        method: facets(&[(Facet::Kind, "stem cutting"), (Facet::Wood, "softwood"), (Facet::Auxin, auxin)]),
        stages: StageCounts { lift: Some(lift), ..StageCounts::default() },
        replicates: None,
        unlisted_difference: None,
        phases: Vec::new(),
    }
}

/// Story of a first-year grower: 12 against 12, stuck about 6 June, lifted on 29 August.
fn trial() -> Trial {
    Trial {
        series: [3; 16],
        revision: 0,
        taxon: Taxon::parse("Lumetta rosea").expect("a name"),
        started: day("2026-06-06"),
        days: StageDays { lift: counted("2026-08-29"), ..StageDays::default() },
        design: DesignFlags(DesignFlags::ALL_ARMS_REPORTED),
        stock_plants: Some(5),
        doi: None,
        grower_mark: None,
        parent: None,
        control: None,
        arms: vec![arm(1, "powder of unknown strength", 9), arm(2, "none", 6)],
        private: Private {
            name: "my first try".to_owned(),
            notes: vec!["by the shed".to_owned()],
            ..Private::default()
        },
    }
}

fn publication(trial: &Trial) -> Publication {
    anonymise(trial, &place(), month("2026-09")).expect("publishable")
}

fn value<'a>(items: &'a [Item], what: &str) -> Option<&'a str> {
    items.iter().find(|item| item.what == what).map(|item| item.value.as_str())
}

#[test]
fn the_story_of_a_first_year_grower() {
    let Publication { summary, leaves, stays } = publication(&trial());
    assert_eq!(
        (summary.season, summary.weeks.lift, summary.stock_plants),
        (month("2026-06"), Some(12), Some(3))
    );
    assert_eq!(value(&leaves, "season (month of starting, northern)"), Some("2026-06"));
    assert_eq!(value(&leaves, "weeks to lift"), Some("12"));
    assert_eq!(value(&leaves, "arm 1: auxin"), Some("powder, strength unknown"));
    assert_eq!(value(&leaves, "hardiness zone"), Some("8"));
    assert_eq!(value(&stays, "day of starting"), Some("2026-06-06"));
    assert_eq!(value(&stays, "half-zone"), Some("8b"));
    assert_eq!(value(&stays, "note"), Some("by the shed"));
    assert!(leaves.iter().all(|item| !item.value.contains("2026-06-06") && !item.value.contains("shed")));
    assert!(sign(&Body::Summary(summary), &key(1), &network()).is_ok());
}

#[test]
fn the_south_is_shifted_and_not_named() {
    let south = Place { hemisphere: Hemisphere::South, ..place() };
    let publication = anonymise(&trial(), &south, month("2026-09")).expect("publishable");
    assert_eq!(publication.summary.season, month("2026-12"));
    assert_eq!(value(&publication.leaves, "hemisphere"), None);
    assert_eq!(value(&publication.stays, "hemisphere"), Some("south"));
}

#[test]
fn strengths_leave_with_two_digits() {
    let exact = Trial { arms: vec![arm(1, "IBA quick dip 3249 mg/L", 9)], ..trial() };
    let publication = publication(&exact);
    assert_eq!(value(&publication.leaves, "arm 1: auxin"), Some("IBA quick dip 3200 mg/L"));
    assert_eq!(value(&publication.stays, "arm 1: exact strength"), Some("IBA quick dip 3249 mg/L"));
}

#[test]
fn a_place_without_zone_and_climate_is_refused() {
    let nowhere = Place { zone: None, ..place() };
    assert_eq!(anonymise(&trial(), &nowhere, month("2026-09")), Err(AnonymiseError::NoRegion));
}

#[test]
fn days_before_the_start_are_refused() {
    let backwards =
        Trial { days: StageDays { lift: counted("2026-05-29"), ..StageDays::default() }, ..trial() };
    let why = anonymise(&backwards, &place(), month("2026-09")).expect_err("backwards").to_string();
    assert_eq!(why, "lift: 2026-05-29 is -1 weeks after the start on 2026-06-06; 0 to 520 can be published");
}

#[test]
fn counts_that_cannot_be_are_refused() {
    let broken = Trial { arms: vec![arm(1, "none", 13)], ..trial() };
    let why = anonymise(&broken, &place(), month("2026-09")).expect_err("13 of 12").to_string();
    assert_eq!(why, "arm 1, lift: rooted 13 exceeds started 12");
}

#[test]
fn moves_and_late_starts_are_told_in_weeks_and_months() {
    let mut late = arm(2, "none", 6);
    late.started_on = Some(day("2026-07-04"));
    late.lifted_on = Some(day("2026-10-17"));
    let method = facets(&[(Facet::Kind, "stem cutting"), (Facet::GrowingPlace, "cold frame")]);
    late.phases = vec![TrialPhase { moved_on: day("2026-10-17"), spot: "old frame".to_owned(), method }];
    let publication = publication(&Trial { arms: vec![late, arm(1, "none", 3)], ..trial() });
    let arms = &publication.summary.arms;
    assert_eq!((arms[0].number, arms[0].start_offset_months, arms[0].weeks_to_lift), (1, None, None));
    assert_eq!((arms[1].number, arms[1].start_offset_months, arms[1].weeks_to_lift), (2, Some(1), Some(15)));
    assert_eq!(arms[1].phases[0].after_weeks, 15);
    assert_eq!(value(&publication.leaves, "arm 2, after 15 weeks: growing place"), Some("cold frame"));
    assert_eq!(value(&publication.stays, "arm 2: moved to"), Some("old frame"));
}

#[test]
fn replicates_that_do_not_fit_stay_at_home() {
    let flags = DesignFlags::BLOCKED | DesignFlags::REPLICATES_MATCHED | DesignFlags::UNIT_IS_PIECE;
    let crowded = |replicates: usize| {
        let one = |number| {
            let each = vec![5000 / replicates as u16; replicates];
            let started = each.iter().sum();
            let lift = Counts {
                rooted: Some(started - 1),
                lost: Some(1),
                replicates: Some([&[each[0] - 1], &each[1..]].concat()),
                lost_by_replicate: Some([&[1], &vec![0; replicates - 1][..]].concat()),
                ..Counts::default()
            };
            let stages = StageCounts { lift: Some(lift), ..StageCounts::default() };
            let labelled = each.iter().map(|n| ("pot".to_owned(), *n)).collect();
            TrialArm { started, stages, replicates: Some(labelled), ..arm(number, "none", 0) }
        };
        let design = DesignFlags(flags);
        publication(&Trial { design, arms: (1..=24).map(one).collect(), ..trial() })
    };
    let fits = crowded(10).summary;
    assert!(fits.arms.iter().all(|arm| arm.replicates.is_some()));
    assert_eq!(fits.design, DesignFlags(flags));
    let full = crowded(50);
    assert!(full.summary.arms.iter().all(|arm| arm.replicates.is_none()));
    // Without the lists, pieces in shared trays would read as one block of pieces.
    assert_eq!(full.summary.design, DesignFlags(DesignFlags::BLOCKED));
    assert!(value(&full.stays, "replicates").is_some());
    assert!(sign(&Body::Summary(full.summary), &key(1), &network()).is_ok());
}

#[test]
fn a_summary_leaves_as_major_1() {
    let head = publication(&trial()).summary.head;
    assert_eq!((head.major, head.minor), (1, 0));
}

#[test]
fn earlier_trials_controls_and_the_season_end_leave() {
    let parent = Parent { series: [9; 16], relation: Relation::Regraft };
    let days = StageDays { season: counted("2026-11-28"), ..trial().days };
    let mut arms = trial().arms;
    arms[0].stages.season = Some(Counts { rooted: Some(8), established: Some(8), ..Counts::default() });
    let told = publication(&Trial { parent: Some(parent), control: Some(2), days, arms, ..trial() });
    assert_eq!((told.summary.parent, told.summary.control), (Some(parent), Some(2)));
    assert_eq!((told.summary.weeks.lift, told.summary.weeks.season), (Some(12), Some(25)));
    let leaves = |what| value(&told.leaves, what);
    assert_eq!(
        leaves("earlier trial by its random name"),
        Some("regraft of 09090909090909090909090909090909")
    );
    assert_eq!(leaves("control"), Some("arm 2"));
    assert_eq!(leaves("weeks to count at season end"), Some("25"));
    assert_eq!(leaves("arm 1, season end: established"), Some("8"));
    assert_eq!(value(&told.stays, "day of count at season end"), Some("2026-11-28"));
    let nowhere = anonymise(&Trial { control: Some(3), ..trial() }, &place(), month("2026-09"));
    assert_eq!(nowhere.expect_err("no arm 3").to_string(), "the control is arm 3, which is not there");
}

#[test]
fn what_the_rest_tells_does_not_leave_twice() {
    let stages = |lift: Counts, spring: Counts| {
        let stages = StageCounts { lift: Some(lift), spring: Some(spring), ..StageCounts::default() };
        let arms = vec![TrialArm { stages, ..arm(1, "none", 0) }];
        publication(&Trial { arms, ..trial() }).summary.arms[0].stages.clone()
    };
    let counts = |rooted, left, ever| Counts {
        rooted: Some(rooted),
        left_as_finished: Some(left),
        ever_rooted: Some(ever),
        lost: Some(0),
        lost_by_replicate: Some(vec![0, 0]),
        ..Counts::default()
    };
    let told = stages(counts(6, 1, 7), counts(3, 2, 7));
    let ever =
        |counts: &Option<Counts>| counts.as_ref().map(|c| (c.ever_rooted, c.lost_by_replicate.clone()));
    assert_eq!(ever(&told.lift), Some((None, None)));
    assert_eq!(ever(&told.spring), Some((Some(7), None)));
}
