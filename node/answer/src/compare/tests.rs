use serde::{Deserialize, Serialize};

use propagule_protocol::place::Midpoints;

use super::*;
use propagule_evidence::csv::{read_evidence, read_sites};
use propagule_evidence::fixtures::{evidence, row, with_facet};
use propagule_files::fault::Fault;

/// Invented counts of 14 growers with their sites; expected values below were computed in R 4.2.2 by direct
/// enumeration and quadrature (`bn_post` with kernel weights), outside this project's code.
const CLIMATE: &str = "grower,trial,arm,method,medium,region,stuck,rooted
g01,t1,1,semi_ripe,standard,all,20,2\ng02,t1,1,semi_ripe,standard,all,15,1
g03,t1,1,semi_ripe,standard,all,30,9\ng04,t1,1,semi_ripe,standard,all,12,0
g05,t1,1,semi_ripe,standard,all,25,11\ng06,t1,1,semi_ripe,standard,all,10,3
g07,t1,1,semi_ripe,standard,all,18,0\ng08,t1,1,semi_ripe,standard,all,40,22
g09,t1,1,semi_ripe,standard,all,22,5\ng10,t1,1,semi_ripe,standard,all,16,8
g11,t1,1,semi_ripe,standard,all,24,15\ng12,t1,1,semi_ripe,standard,all,10,0
g13,t1,1,semi_ripe,standard,all,14,6\ng14,t1,1,semi_ripe,standard,all,30,3\n";

const SITES: &str = "grower,temp,rain\ng01,9.8,800\ng02,9.1,950\ng03,11.2,640\ng04,8.4,1200\ng05,12.5,560
g06,10.4,720\ng07,7.9,1350\ng08,14.1,480\ng09,10.1,780\ng10,11.9,690\ng11,13.2,500\ng12,8.8,1100
g13,11,760\ng14,9.5,850\n";

fn by_site(grower: &str) -> CompareAnswer {
    let table = read_evidence("c.csv", CLIMATE.as_bytes()).expect("reads");
    let mut evidence = table.select(None, Question::default()).expect("selects");
    evidence.set_sites(&read_sites("s.csv", SITES.as_bytes()).expect("reads"));
    evidence.mark_own(grower);
    let label = format!("{grower}/t1");
    let own = OwnTrial::of("x y", label.as_str());
    compare(&evidence, &own, &CompareQuestion::about(label), &Given::file()).expect("a comparison")
}

#[test]
fn sites_give_the_weights_and_percentiles_computed_elsewhere() {
    // grower, Kish's number, sum of weights, average grower's rate, P(at most own), mid-P percentile.
    let expected = [
        ("g01", 9.204_327, 6.824_357, 0.259_012, 0.287_728, 0.230_547),
        ("g05", 7.343_263, 4.507_413, 0.435_688, 0.563_823, 0.527_408),
        ("g08", 3.797_887, 2.256_168, 0.494_078, 0.637_309, 0.613_358),
    ];
    for (grower, kish, total, average, at_most, mid_p) in expected {
        let answer = by_site(grower);
        let arm = &answer.arms[0];
        assert!((arm.effective_sites_kish - kish).abs() < 1e-6, "{grower}");
        assert!((arm.weight_total - total).abs() < 1e-6, "{grower}");
        let close = |found: f64, wanted: f64| (found - wanted).abs() <= 0.004 * wanted + 0.0004;
        assert!(close(arm.fit.average_grower_rate_mean, average), "{grower}");
        assert!(close(arm.prob_at_most_own, at_most), "{grower}");
        assert!(close(arm.mid_p_percentile, mid_p), "{grower}");
        assert!(arm.enough && arm.flag == Flag::Inside);
        assert_eq!((arm.growers, arm.dims, answer.peers.len()), (13, 2, 13));
    }
}

#[test]
fn peers_come_nearest_first_with_weights_of_the_kernel() {
    let answer = by_site("g01");
    // Weights of g09 and g14 from the same outside computation: 0.985298, 0.968828.
    assert_eq!((answer.peers[0].grower.as_str(), answer.peers[1].grower.as_str()), ("g09", "g14"));
    assert!((answer.peers[0].weight - 0.985_298).abs() < 1e-6);
    assert!((answer.peers[1].weight - 0.968_828).abs() < 1e-6);
    assert!(answer.peers.iter().all(|peer| peer.grower != "g01"));
}

fn place(coldest: f64, hottest: f64, rain_mm: f64, zone: f64) -> Midpoints {
    Midpoints {
        coldest: Some(coldest),
        hottest: Some(hottest),
        ln_rain: Some(rain_mm.ln()),
        zone: Some(zone),
    }
}

fn at(row: EvidenceRow, place: Midpoints) -> EvidenceRow {
    EvidenceRow { region: Some(place), ..row }
}

fn own(row: EvidenceRow) -> EvidenceRow {
    EvidenceRow { own: true, ..row }
}

fn compared(rows: Vec<EvidenceRow>) -> CompareAnswer {
    compare(&evidence(rows), &OwnTrial::of("x y", "me/1"), &CompareQuestion::about("me/1"), &Given::default())
        .expect("a comparison")
}

/// Open-air arms, where climate alone decides.
fn open(grower: &str, started: u32, succeeded: u32) -> EvidenceRow {
    with_facet(row(grower, "1", "1", started, succeeded), "humidity", "open")
}

#[test]
fn published_regions_are_compared_by_the_mean_of_squared_steps() {
    let here = place(2.0, 18.0, 700.0, -9.7);
    // One step (3 °C) in each of the two months, none in rain and zone: sqrt((1 + 1 + 0 + 0) / 4) = 0.7071.
    let near = place(5.0, 21.0, 700.0, -9.7);
    let peers = (0..4).map(|n| at(open(&format!("p{n}"), 20, 5), near));
    let rows = std::iter::once(own(at(open("me", 20, 5), here))).chain(peers).collect();
    let answer = compared(rows);
    let distance = answer.peers[0].distance.expect("comparable");
    assert!((distance - 0.5_f64.sqrt()).abs() < 1e-12);
    assert!((answer.peers[0].weight - (-0.25_f64).exp()).abs() < 1e-12);
    assert_eq!((answer.arms[0].dims, answer.arms[0].enough), (4, true));
    assert_eq!(answer.arms[0].matched_on, ["method", "climate"]);
}

#[test]
fn too_few_near_growers_show_all_of_them_and_say_so() {
    let rows = vec![
        own(at(open("me", 20, 5), place(2.0, 18.0, 700.0, -9.7))),
        at(open("near", 20, 6), place(2.0, 18.0, 700.0, -9.7)),
        at(open("far", 20, 1), place(-22.0, 18.0, 200.0, -37.0)),
    ];
    let answer = compared(rows);
    let arm = &answer.arms[0];
    assert!(!arm.enough && arm.weight_total < 2.0);
    assert_eq!(arm.growers, 2);
    assert!(answer.peers.iter().all(|peer| (peer.weight - 1.0).abs() < f64::EPSILON));
    let AnswerSaid::Compared(said) = &arm.sentence else { panic!("{:?}", arm.sentence) };
    assert_eq!((said.growers, said.enough, said.by_climate), (2, false, true));
}

#[test]
fn under_a_dome_the_same_humidity_comes_first_and_climate_only_tilts() {
    let here = place(2.0, 18.0, 700.0, -9.7);
    let there = place(8.0, 24.0, 700.0, -9.7);
    let dome = |grower: &str| at(row(grower, "1", "1", 20, 5), there);
    let tent = |grower: &str| with_facet(dome(grower), "humidity", "polythene tent");
    let mut rows = vec![own(at(row("me", "1", "1", 20, 5), here))];
    rows.extend(["a", "b", "c", "d"].map(dome));
    rows.extend(["e", "f"].map(tent));
    let answer = compared(rows);
    let arm = &answer.arms[0];
    assert_eq!((arm.growers, arm.enough), (4, true));
    assert_eq!(arm.matched_on, ["method", "humidity", "climate"]);
    // Two steps in two of four dimensions: distance sqrt(2), tilted by half: exp(-(sqrt(2)/2)²/2) = exp(-1/4).
    assert!((answer.peers[0].weight - (-0.25_f64).exp()).abs() < 1e-12);
    assert!((answer.peers[0].distance.expect("comparable") - 2.0_f64.sqrt()).abs() < 1e-12);
}

#[test]
fn bottom_heat_has_to_be_known_and_near() {
    let warm = |row: EvidenceRow, word: &str| with_facet(row, "bottom_heat", word);
    let here = place(2.0, 18.0, 700.0, -9.7);
    let mut rows = vec![own(at(warm(open("me", 20, 5), "22 °C"), here))];
    rows.extend(["a", "b", "c", "d"].map(|grower| at(warm(open(grower, 20, 5), "20 °C"), here)));
    rows.push(at(open("cold", 20, 5), here));
    rows.push(at(warm(open("hot", 20, 5), "30 °C"), here));
    let answer = compared(rows);
    assert_eq!((answer.arms[0].growers, answer.arms[0].enough), (4, true));
    assert_eq!(answer.arms[0].matched_on, ["method", "bottom_heat", "climate"]);
}

#[test]
fn every_own_arm_is_compared_and_own_trials_are_left_out() {
    let here = place(2.0, 18.0, 700.0, -9.7);
    let mut rows = vec![
        own(at(open("me", 20, 4), here)),
        own(EvidenceRow { arm: "2".to_owned(), ..at(open("me", 20, 20), here) }),
        own(EvidenceRow { trial: "me/2".to_owned(), ..at(open("me", 50, 50), here) }),
    ];
    rows.extend(["a", "b", "c", "d", "e"].map(|grower| at(open(grower, 40, 8), here)));
    let answer = compared(rows);
    let flags: Vec<(&str, Flag)> = answer.arms.iter().map(|arm| (arm.arm.as_str(), arm.flag)).collect();
    assert_eq!(flags, [("1", Flag::Inside), ("2", Flag::High)]);
    assert!(answer.arms.iter().all(|arm| arm.growers == 5));
    assert_eq!(answer.warnings[0].code, "false_flags");
    assert_eq!(answer.arms[0].predictive.len(), 21);
}

#[test]
fn a_method_nobody_else_tried_is_said_and_not_guessed() {
    let answer = compared(vec![own(open("me", 20, 5))]);
    assert!(answer.arms.is_empty());
    let said = &answer.warnings[0].text;
    assert!(matches!(said, AnswerSaid::NobodyElse { rooted: 5, started: 20, .. }), "{said:?}");
}

#[test]
fn without_a_region_all_growers_are_shown() {
    let mut rows = vec![own(open("me", 20, 5))];
    rows.extend(["a", "b", "c"].map(|grower| open(grower, 40, 8)));
    let answer = compared(rows);
    assert!(!answer.arms[0].enough);
    let said = &answer.arms[0].sentence;
    assert!(matches!(said, AnswerSaid::Compared(said) if !said.by_climate), "{said:?}");
    assert_eq!(answer.peers[0].distance, None);
}

#[test]
fn a_trial_that_is_not_there_or_not_counted_is_an_error_with_a_hint() {
    let rows = evidence(vec![own(row("me", "mulberry", "1", 20, 5))]);
    let error = compare(
        &rows,
        &OwnTrial::of("x y", "me/mulbery"),
        &CompareQuestion::about("me/mulbery"),
        &Given::default(),
    )
    .expect_err("a slip");
    assert_eq!(Fault::from(error).near, ["me/mulberry"]);
    let pending = evidence(vec![EvidenceRow { pending: true, ..own(row("me", "1", "1", 20, 0)) }]);
    let error =
        compare(&pending, &OwnTrial::of("x y", "me/1"), &CompareQuestion::about("me/1"), &Given::default())
            .expect_err("pending");
    let question = Question::default();
    assert_eq!(error, AnswerError::NotCounted { trial: "me/1".to_owned(), question });
}

/// An answer as a socket carries it: under its format, which serde reads by another way than a bare shape.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "format")]
enum Carried {
    #[serde(rename = "propagule.compare/1")]
    Answer(Box<CompareAnswer>),
}

#[test]
fn json_holds_every_field_of_the_shape() {
    let outcome = Carried::Answer(Box::new(by_site("g01")));
    let json = serde_json::to_value(&outcome).expect("serialises");
    assert_eq!(serde_json::from_value::<Carried>(json.clone()).expect("reads"), outcome);
    for name in ["format", "species", "trial", "stage", "outcome", "arms", "peers", "warnings"] {
        assert!(json.get(name).is_some(), "{name}");
    }
    let names = "arm method own_stuck own_rooted growers trials dims matched_on effective_sites_kish weight_total \
                 enough average_grower_rate_mean predictive prob_at_most_own prob_at_least_own mid_p_percentile \
                 flag sentence";
    for name in names.split_whitespace() {
        assert!(json["arms"][0].get(name).is_some(), "{name}");
    }
    for name in ["arm", "grower", "distance", "weight", "band", "started", "rooted"] {
        assert!(json["peers"][0].get(name).is_some(), "{name}");
    }
}
