//! Plans.

use propagule_answer::plan::{PlanAnswer, plan};
use propagule_answer::question::{Aim, Given, PlanQuestion};
use propagule_evidence::fixtures::{evidence, row, with_facet};
use propagule_evidence::{Evidence, EvidenceRow};
use propagule_present::words::InWords;
use propagule_present::{screens, text};

use super::{adviser, fits, green};

fn planned(rows: Vec<EvidenceRow>, aim: Aim) -> PlanAnswer {
    let question = PlanQuestion { aim, ..PlanQuestion::about("Ostrava tarda") };
    plan(&evidence(rows), &question, &Given::default()).expect("a plan")
}

fn in_text(answer: &PlanAnswer, width: usize) -> String {
    text::render(&screens::plan(answer, []), width)
}

#[test]
fn a_number_leads_with_what_it_costs() {
    let said = planned(adviser(), Aim::default()).sentence.words();
    assert!(said.starts_with("Stick about 60 for an 80% chance of at least 5 rooted."), "{said}");
    let aim = Aim { cost: Some(0.4.into()), minutes: Some(3.0.into()), ..Aim::default() };
    let said = planned(adviser(), aim).sentence.words();
    let costs = "That costs 22.80 (4.56 for each one rooted) and takes 2 h 51 min (34 min each).";
    assert!(said.contains(costs), "{said}");
}

#[test]
fn nothing_ever_rooted_has_no_number_and_no_rate_of_the_prior() {
    let answer = planned(green(), Aim { pieces: Some(30), ..Aim::default() });
    let said = answer.sentence.words();
    assert!(said.starts_with("0 of 97 rooted.") && said.ends_with("so no number can be given."), "{said}");
    let bold = answer.bold_arm.as_ref().expect("a bold arm").sentence.words();
    assert!(bold.contains("only lower its bound from 3% to 2%."), "{bold}");
    assert!(!in_text(&answer, 80).contains("10 %"), "no rate of the prior as a headline");
}

#[test]
fn own_counts_are_named() {
    let mut rows = adviser();
    rows[5].own = true;
    let said = planned(rows, Aim::default()).methods[0].sentence.words();
    assert!(said.contains("your own 11 of 30 and borrows from 5 other growers."), "{said}");
    let own = EvidenceRow { own: true, ..row("me", "1", "1", 20, 5) };
    let alone = planned(vec![own], Aim::default()).sentence.words();
    assert!(alone.contains("your own 5 of 20 alone"), "{alone}");
}

#[test]
fn a_number_beyond_sense_is_not_given() {
    let rows = vec![row("a", "1", "1", 40, 1), row("b", "1", "1", 40, 0)];
    let said = planned(rows, Aim { want: 100, sure: 0.99.into(), ..Aim::default() }).sentence.words();
    assert!(said.starts_with("Even 2,000 would not give at least 100 rooted with a 99%"), "{said}");
}

#[test]
fn the_best_of_several_looks_better_than_it_is() {
    let mut rows = vec![with_facet(row("z", "1", "1", 8, 6), "humidity", "mist")];
    for (n, wood) in ["softwood", "hardwood", "semi-ripe", "greenwood"].iter().enumerate() {
        for grower in 0..4 {
            rows.push(with_facet(row(&format!("g{n}{grower}"), "1", "1", 25, 4 + grower % 2), "wood", wood));
        }
    }
    let said = planned(rows, Aim::default()).against.expect("there are several").sentence.words();
    assert!(
        said.contains("The best of 5 looks better than it is; allowing for that, expect about"),
        "{said}"
    );
}

#[test]
fn nothing_counted_is_one_sentence_and_no_table() {
    let question = PlanQuestion::about("Cornus mas");
    let answer = plan(&Evidence::default(), &question, &Given::default()).expect("a plan");
    let text = in_text(&answer, 60);
    assert!(text.contains("Nobody has reported Cornus mas"), "{text}");
    assert!(!text.contains("Fisher") && !text.contains('%'), "{text}");
}

#[test]
fn text_keeps_to_its_width() {
    let two = vec![
        row("a", "1", "1", 20, 8),
        row("b", "1", "1", 20, 4),
        with_facet(row("c", "1", "1", 30, 4), "wood", "hardwood"),
        with_facet(row("d", "1", "1", 30, 5), "wood", "hardwood"),
    ];
    for rows in [adviser(), green(), two] {
        let aim = Aim { cost: Some(0.4.into()), pieces: Some(30), ..Aim::default() };
        let answer = planned(rows, aim);
        for width in [60, 100] {
            fits(&in_text(&answer, width), width);
        }
    }
}
