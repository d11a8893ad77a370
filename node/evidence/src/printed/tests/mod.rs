//! What is built in against the files that it was keyed into, and tables with mistakes in them.

mod beside;
mod mistakes;

use std::collections::{BTreeMap, BTreeSet};

use propagule_protocol::Taxon;

use super::{AllArms, Edition, Grade, PrintedArm, read_printed, shipped};
use crate::method::{Grouping, group};
use crate::row::{EvidenceRow, Question};

/// The same arms with the columns of an evidence table, made apart from this program when the trials were keyed in.
const OUTSIDE: &[u8] = include_bytes!("../../../printed/check/pool-ready.csv");
const CHECK_ONLY: &[u8] = include_bytes!("../../../printed/check/trials.csv");

pub(super) fn of(name: &str) -> Vec<&'static PrintedArm> {
    let taxon = Taxon::parse(name).expect("a name");
    shipped().of(&[taxon.species_key()], &taxon)
}

/// Counts of each method of a species.
fn methods(name: &str, by: Option<&str>) -> BTreeMap<String, (u32, u32)> {
    let rows: Vec<EvidenceRow> = of(name).into_iter().map(PrintedArm::as_row).collect();
    let grouping = Grouping::parse(by, &[]).expect("facets");
    let groups = group(&rows, &grouping, &mut Vec::new());
    let sum = |rows: &[&EvidenceRow]| {
        (rows.iter().map(|row| row.succeeded).sum(), rows.iter().map(|row| row.started).sum())
    };
    groups.iter().map(|group| (group.label.clone(), sum(&group.rows))).collect()
}

#[test]
fn what_is_built_in_is_the_edition_that_it_says() {
    // Whoever changes a table gives the edition its next number, and this test its digest.
    let edition = Edition::shipped();
    assert_eq!(
        (edition.version, edition.sha256.as_str()),
        (1, "c7e9664dd9529d37d137b2715b97ea8df71f58bd6f9946ed5ab72594d9ab65f3")
    );
    let last = shipped().sources().filter_map(|source| source.date_read.as_deref()).max();
    assert_eq!(last, Some(edition.date));
}

#[test]
fn the_sums_are_those_of_the_list_that_was_keyed_in() {
    assert_eq!(shipped().unused(), []);
    let arms = shipped().arms();
    let started: u32 = arms.iter().map(|arm| arm.started).sum();
    let succeeded: u32 = arms.iter().map(|arm| arm.succeeded).sum();
    assert_eq!((arms.len(), started, succeeded), (175, 25_515, 12_205));
    let distinct = |of: fn(&PrintedArm) -> String| arms.iter().map(of).collect::<BTreeSet<_>>().len();
    assert_eq!(distinct(|arm| arm.taxon.to_string()), 23);
    assert_eq!(distinct(|arm| format!("{}/{}", arm.source, arm.trial)), 64);
    assert_eq!((distinct(|arm| arm.source.clone()), shipped().sources().count()), (52, 52));
    let graded = |grade| arms.iter().filter(|arm| arm.grade == Some(grade)).count();
    assert_eq!(Grade::ALL.map(graded), [13, 9, 153]);
    let reported = |all| arms.iter().filter(|arm| arm.all_arms == all).count();
    assert_eq!(AllArms::ALL.map(reported), [13, 8, 154]);
}

#[test]
fn every_arm_is_the_one_that_was_written_out_apart() {
    let outside = crate::csv::read_evidence("pool-ready.csv", OUTSIDE).expect("a table");
    let row = |arm: &PrintedArm| {
        (
            arm.source.clone(),
            arm.trial.clone(),
            arm.arm.clone(),
            arm.taxon.to_string(),
            arm.started,
            arm.succeeded,
        )
    };
    let ours: BTreeSet<_> = shipped().arms().iter().map(row).collect();
    let theirs: BTreeSet<_> = outside
        .rows
        .iter()
        .map(|row| {
            let species = Taxon::parse(row.species.as_deref().expect("a species")).expect("a name");
            (
                row.grower.clone(),
                row.trial.clone(),
                row.arm.clone(),
                species.to_string(),
                row.stuck,
                row.rooted,
            )
        })
        .collect();
    assert_eq!(theirs.len(), 175);
    assert_eq!(ours, theirs);
}

#[test]
fn methods_part_the_arms_as_they_do_in_the_table_made_apart() {
    let outside = crate::csv::read_evidence("pool-ready.csv", OUTSIDE).expect("a table");
    let label: BTreeMap<(&str, &str), &str> = outside
        .rows
        .iter()
        .map(|row| ((row.trial.as_str(), row.arm.as_str()), row.method.as_str()))
        .collect();
    // The table made apart says nothing of scarifying where the weeks are not known.
    let of_arm = |arm: &PrintedArm| {
        let words = |facet: &str| arm.facets.get(facet).map_or("?", String::as_str);
        let scarified = if words("stratification") == "?" { "" } else { words("scarified") };
        let scarified = if scarified == "no" || scarified == "?" { "" } else { scarified };
        [words("kind"), words("form"), words("wood"), words("humidity"), words("stratification"), scarified]
            .join("|")
    };
    let mut pairs: BTreeMap<String, BTreeSet<&str>> = BTreeMap::new();
    for arm in shipped().arms() {
        pairs.entry(of_arm(arm)).or_default().insert(label[&(arm.trial.as_str(), arm.arm.as_str())]);
    }
    let one_to_one: BTreeSet<&str> = pairs.values().flatten().copied().collect();
    assert!(pairs.values().all(|labels| labels.len() == 1), "{pairs:#?}");
    assert_eq!(one_to_one.len(), pairs.len(), "{pairs:#?}");
}

#[test]
fn walnut_buds_pomegranate_willow_sagebrush_and_apple_add_up() {
    let walnut = methods("Juglans regia", None);
    assert_eq!(walnut["T bud"], (72, 90));
    assert_eq!(walnut["patch bud"], (74, 90));
    assert_eq!(walnut["whip-and-tongue graft"], (12, 30));
    let only = |name: &str| methods(name, None).into_values().collect::<Vec<_>>();
    assert_eq!(only("Punica granatum"), [(22, 30)]);
    assert_eq!(only("Salix babylonica"), [(2, 8)]);
    assert_eq!(only("Malus domestica"), [(206, 270)]);
}

#[test]
fn a_subspecies_is_found_under_its_species() {
    let total: (u32, u32) = of("Artemisia tridentata")
        .iter()
        .fold((0, 0), |sum, arm| (sum.0 + arm.succeeded, sum.1 + arm.started));
    assert_eq!(total, (266, 675));
    assert_eq!(of("Artemisia tridentata subsp. tridentata").len(), of("Artemisia tridentata").len());
}

#[test]
fn strengths_finer_than_those_of_records_stay_apart() {
    let words: BTreeSet<&str> = of("Artemisia tridentata")
        .into_iter()
        .filter_map(|arm| arm.facets.get("auxin"))
        .map(String::as_str)
        .collect();
    assert_eq!(
        words.into_iter().collect::<Vec<_>>(),
        ["IBA 0.5 mg/L", "IBA 1 mg/L", "NAA 0.5 mg/L", "NAA 1 mg/L", "none"]
    );
}

#[test]
fn media_are_read_by_their_shares_where_the_vocabulary_has_them() {
    let media: BTreeSet<&str> =
        shipped().arms().iter().filter_map(|arm| arm.facets.get("medium")).map(String::as_str).collect();
    assert!(media.contains("soil 75 + sharp sand 25"), "{media:?}");
    assert!(media.contains("peat 50 + sharp sand 50"), "{media:?}");
    let other =
        shipped().arms().iter().filter(|arm| arm.facets.get("medium").is_some_and(|word| word == "other"));
    // 82 on filter paper, 8 and 5 in culture medium, 5 on cotton wool, one mix with manure, one of "pear".
    assert_eq!(other.count(), 102);
}

#[test]
fn a_cultivar_asked_for_is_not_answered_by_another() {
    assert_eq!(of("Malus domestica 'Trajan'").len(), 8);
    assert_eq!(of("Malus domestica 'Snowdrift'").len(), 0);
}

#[test]
fn trials_that_only_check_the_analysis_are_read_and_never_answer() {
    let read = read_printed("check", CHECK_ONLY).expect("a table");
    assert_eq!((read.arms.len(), read.unused), (0, None));
    assert!(shipped().sources().all(|source| !["P07", "P08", "P09", "P10"].contains(&source.id.as_str())));
}

#[test]
fn years_stand_in_the_citations() {
    let year = |id: &str| shipped().source(id).expect("a source").year();
    assert_eq!(["P02", "P05", "P06", "S15", "S28"].map(year), [2015, 2020, 1998, 1927, 1985].map(Some));
    let without: Vec<&str> = shipped()
        .sources()
        .filter(|source| source.year().is_none())
        .map(|source| source.id.as_str())
        .collect();
    assert_eq!(without, ["P04"], "its citation says that no year was shown");
}

#[test]
fn tables_answer_what_rooted_at_the_first_count_and_nothing_else() {
    let taxon = Taxon::parse("Juglans regia").expect("a name");
    let beside =
        |question| super::beside(&of("Juglans regia"), &crate::Evidence::default(), &taxon, question);
    assert_eq!(beside(Question::default()).arms.len(), 7);
    for stage in crate::Stage::ALL {
        for outcome in crate::Outcome::ALL {
            let question = Question { stage, outcome };
            if question != Question::default() {
                assert!(beside(question).arms.is_empty(), "{question:?}");
            }
        }
    }
}
