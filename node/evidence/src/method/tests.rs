use super::*;
use crate::fixtures::{row, with_facet, words};
use crate::{FacetWords, LaterPhase};
use propagule_present::fault;

fn parse(by: &str, filters: &[&str]) -> Grouping {
    let filters: Vec<String> = filters.iter().map(|text| (*text).to_owned()).collect();
    Grouping::parse(Some(by).filter(|by| !by.is_empty()), &filters).expect("a grouping")
}

fn labels(rows: &[EvidenceRow], grouping: &Grouping) -> Vec<String> {
    group(rows, grouping, &mut Vec::new()).into_iter().map(|group| group.label).collect()
}

fn of(facets: FacetWords) -> EvidenceRow {
    EvidenceRow { facets, ..row("g", "1", "1", 10, 1) }
}

#[test]
fn each_family_has_its_own_default_facets() {
    let rows = [
        of(words(&[("kind", "graft"), ("form", "whip"), ("wood", "hardwood")])),
        of(words(&[("kind", "bud"), ("form", "chip")])),
        of(words(&[("kind", "seed"), ("stratification", "warm 16 + cold 20 weeks")])),
        of(words(&[("kind", "seed"), ("stratification", "none")])),
        of(words(&[("kind", "layer"), ("form", "mound")])),
        of(words(&[("kind", "division")])),
        of(words(&[("method", "heel, sand"), ("medium", "sand")])),
    ];
    let expected = [
        "chip bud",
        "division, form not known",
        "heel, sand",
        "mound layer",
        "seed, no pretreatment",
        "seed, warm 9–16 + cold 17+ weeks",
        "whip graft",
    ];
    assert_eq!(labels(&rows, &Grouping::default()), expected);
}

#[test]
fn seed_is_grouped_by_bands_of_weeks_and_by_exact_weeks_where_asked() {
    let cold = |weeks: &str| of(words(&[("kind", "seed"), ("stratification", weeks)]));
    let rows = [cold("cold 10 weeks"), cold("cold 16 weeks"), with_facet(cold("none"), "scarified", "acid")];
    let expected = ["seed, cold 9–16 weeks", "seed, scarified (acid)"];
    assert_eq!(labels(&rows, &Grouping::default()), expected);
    let exact = ["seed, cold 10 weeks", "seed, cold 16 weeks", "seed, scarified (acid)"];
    assert_eq!(labels(&rows, &parse("stratification", &[])), exact);
    let not_scarified = with_facet(cold("none"), "scarified", "no");
    assert_eq!(labels(&[not_scarified, cold("none")], &Grouping::default()), ["seed, no pretreatment"]);
    let split = ["seed, no pretreatment, scarified no", "seed, no pretreatment, scarified not known"];
    let rows = [with_facet(cold("none"), "scarified", "no"), cold("none")];
    assert_eq!(labels(&rows, &parse("scarified", &[])), split);
}

#[test]
fn unknown_equals_no_known_word() {
    let unknown = of(words(&[("kind", "stem cutting"), ("wood", "softwood")]));
    let rows = [unknown, row("g", "1", "1", 10, 1)];
    let expected = ["softwood cuttings, humidity not known", "softwood stem cuttings, covered"];
    assert_eq!(labels(&rows, &Grouping::default()), expected);
}

#[test]
fn by_splits_further_and_by_none_pools_all() {
    let rows = [
        with_facet(row("g", "1", "1", 10, 1), "wound", "light"),
        with_facet(row("g", "1", "2", 10, 1), "wound", "none"),
    ];
    assert_eq!(labels(&rows, &Grouping::default()).len(), 1);
    let expected =
        ["softwood stem cuttings, covered, wound light", "softwood stem cuttings, covered, wound none"];
    assert_eq!(labels(&rows, &parse("wound", &[])), expected);
    assert_eq!(labels(&rows, &parse("none", &[])), ["all methods"]);
}

#[test]
fn filters_take_a_word_or_a_component_and_count_what_they_leave_out() {
    let rows = [
        with_facet(row("g", "1", "1", 10, 1), "auxin", "IBA powder 8000 mg/kg"),
        with_facet(row("g", "1", "2", 10, 1), "auxin", "NAA gel 2000 mg/L + IBA gel 1000 mg/L"),
        with_facet(row("g", "1", "3", 10, 1), "auxin", "K-IBA soak 100 mg/L"),
        row("g", "1", "4", 10, 1),
    ];
    let mut left_out = Vec::new();
    let groups = group(&rows, &parse("", &["auxin=iba"]), &mut left_out);
    assert_eq!(groups[0].rows.len(), 2);
    assert_eq!(left_out[0].count, 2);
}

#[test]
fn details_and_their_words_are_asked_for_as_growers_say_them() {
    let same = |typed: &str, ours: &str| assert_eq!(parse("", &[typed]).filters, parse("", &[ours]).filters);
    same("wood=semi-hardwood", "wood=semi-ripe");
    same("cover=humidity dome", "humidity=dome");
    same("hormone=IBA 3000 ppm, 5 s", "auxin=IBA quick dip 3000 mg/L");
    same("mix=perlite", "medium=perlite");
    assert_eq!(parse("hormone,structure", &[]).by, ["auxin", "growing_place"]);
}

#[test]
fn words_of_a_newer_vocabulary_are_left_out_of_groupings_that_use_them_only() {
    let rows = [with_facet(row("g", "1", "1", 10, 1), "medium", "perlite 50 + code 40 50")];
    assert_eq!(labels(&rows, &Grouping::default()).len(), 1);
    let mut left_out = Vec::new();
    assert!(group(&rows, &parse("medium", &[]), &mut left_out).is_empty());
    assert_eq!(left_out[0].count, 1);
}

#[test]
fn a_move_makes_no_other_method_and_shows_its_range_of_weeks_where_paths_are_asked_for() {
    let moved = |after_weeks: u16| EvidenceRow {
        phases: vec![LaterPhase {
            after_weeks,
            facets: words(&[("kind", "stem cutting"), ("growing_place", "cold frame")]),
        }],
        ..row("g", "1", "1", 10, 1)
    };
    let rows = [moved(12), moved(15), row("g", "2", "1", 10, 1)];
    assert_eq!(labels(&rows, &Grouping::default()), ["softwood stem cuttings, covered"]);
    assert_eq!(labels(&rows, &parse("none", &[])), ["all methods"]);
    let expected = [
        "softwood stem cuttings, covered",
        "softwood stem cuttings, covered, then cold frame after 12–15 weeks",
    ];
    assert_eq!(labels(&rows, &Grouping::default()), expected[..1]);
    assert_eq!(labels(&rows, &parse("path", &[])), expected);
    let by_none = ["all methods", "all methods, then cold frame after 12–15 weeks"];
    assert_eq!(labels(&rows, &parse("none,path", &[])), by_none);
    assert_eq!(parse("medium,path", &[]).by_words(), ["medium", "path"]);
}

#[test]
fn every_name_of_the_usual_facets_has_at_most_forty_letters_and_is_its_own() {
    use propagule_protocol::vocab::Facet;

    let known = |facet: Facet| facet.words().into_iter().map(Some).chain([None]).collect::<Vec<_>>();
    let mut rows = Vec::new();
    for kind in Facet::Kind.words() {
        for (facet, others) in [(Facet::Wood, Facet::Humidity), (Facet::Form, Facet::Form)] {
            for word in known(facet) {
                for other in known(others) {
                    let mut facets = words(&[("kind", kind)]);
                    facets.extend(word.map(|word| (facet.name().to_owned(), word.to_owned())));
                    facets.extend(other.map(|word| (others.name().to_owned(), word.to_owned())));
                    rows.push(of(facets));
                }
            }
        }
    }
    let names = labels(&rows, &Grouping::default());
    let distinct: std::collections::BTreeSet<&String> = names.iter().collect();
    assert_eq!(distinct.len(), names.len(), "two methods of one name");
    let longest = names.iter().max_by_key(|name| name.chars().count()).expect("names");
    assert!(longest.chars().count() <= 40, "{longest}");
    assert!(names.contains(&"evergreen hardwood cuttings, humidity ?".to_owned()));
}

#[test]
fn a_slip_in_a_facet_name_is_answered_with_names() {
    let error = Grouping::parse(Some("humidty"), &[]).expect_err("a slip");
    assert_eq!(fault::what(&error), "cannot split by \"humidty\": there is no such detail");
    assert_eq!(fault::hints(&error), ["did you mean humidity?"]);
    let error = Grouping::parse(None, &["fog".to_owned()]).expect_err("no equals sign");
    assert_eq!(fault::hints(&error), ["write it as --where humidity=fog"]);
}
