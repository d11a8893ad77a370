//! Commands and pages render one document; what only one of them shows is marked, and listed here.

use std::collections::BTreeSet;

use crate::document::{Action, Block, Document, Medium};
use crate::{html, text};
use propagule_evidence::fixtures::{evidence, row, with_facet};
use propagule_evidence::{Evidence, EvidenceRow};

use super::pool::Around;
use super::{behind, compare, plan};
use crate::words::InWords;
use propagule_answer::pool::PoolAnswer;
use propagule_answer::question::{CompareQuestion, Given, OwnTrial, PlanQuestion, PoolQuestion};
use propagule_answer::said::Lead;

/// What stands in one medium only, in order: the medium, and the kind of block.
fn marked(document: &Document) -> Vec<String> {
    let kind = |block: &Block| match block {
        Block::Heading(_) => "heading",
        Block::Sentence(_) => "sentence",
        Block::Table(_) => "table",
        Block::Chart(_) => "chart",
        Block::List(_) => "list",
        Block::Action(_) => "action",
        Block::Fold(_) => "fold",
    };
    let part = |part: &crate::document::Part| match (part.on, &part.block) {
        (Medium::Any, Block::Heading(heading)) => marked(&heading.under),
        (Medium::Any, Block::Fold(fold)) => marked(&fold.content),
        (Medium::Any, _) => Vec::new(),
        (on, block) => vec![format!("{on:?} {}", kind(block))],
    };
    document.parts.iter().flat_map(part).collect()
}

/// The numbers in a text.
fn numbers(text: &str) -> BTreeSet<String> {
    let numbers =
        text.split(|c: char| !c.is_ascii_digit() && c != '.').map(|number| number.trim_matches('.'));
    numbers.filter(|number| !number.is_empty()).map(str::to_owned).collect()
}

/// A text without the axis of its pictures and what their marks mean.
fn without_axes(text: &str) -> String {
    let is_axis = |line: &str| line.split_whitespace().all(|word| word == "%" || word.parse::<f64>().is_ok());
    let lines = text.lines().filter(|line| !is_axis(line) && !line.trim_start().starts_with("O average"));
    lines.map(|line| format!("{line}\n")).collect()
}

/// The text of a page.
fn text_of(html: &str) -> String {
    html.split('<').filter_map(|part| part.split_once('>')).map(|(_, text)| format!("{text}\n")).collect()
}

#[track_caller]
fn check_same_numbers(document: &Document) {
    let said = numbers(&without_axes(&text::render(document, 120)));
    let shown = numbers(&text_of(&html::render(document).into_string()));
    let missing: Vec<_> = said.difference(&shown).collect();
    assert!(!said.is_empty() && missing.is_empty(), "{missing:?}");
}

fn two_methods() -> Evidence {
    evidence(vec![
        row("a", "1", "1", 20, 3),
        row("b", "1", "1", 24, 9),
        with_facet(row("b", "1", "2", 24, 0), "humidity", "mist"),
        with_facet(row("c", "1", "1", 12, 0), "humidity", "mist"),
    ])
}

fn compared(facet: &str) -> Document {
    let own = |arm: &str, word: &str, rooted| {
        let row = EvidenceRow { own: true, ..row("me", "1", arm, 20, rooted) };
        with_facet(row, facet, word)
    };
    let mut rows = vec![own("1", "dome", 1), own("2", "mist", 5)];
    rows.extend((0..12).map(|n| with_facet(row(&format!("grower {n}"), "1", "1", 30, 12), facet, "dome")));
    rows.extend((0..3).map(|n| with_facet(row(&format!("other {n}"), "1", "1", 17, 6), facet, "mist")));
    let answer = propagule_answer::compare::compare(
        &evidence(rows),
        &OwnTrial::of("x y", "me/1"),
        &CompareQuestion::about("me/1"),
        &Given::default(),
    );
    compare(&answer.expect("a comparison"), None)
}

#[test]
fn a_comparison_differs_by_its_picture_and_by_figures_for_advisers() {
    for (facet, folded) in [("auxin", true), ("humidity", false)] {
        let document = compared(facet);
        let arm = ["Text chart", "Page chart", "Page fold"];
        assert_eq!(marked(&document), [arm, arm].concat(), "{facet}");
        check_same_numbers(&document);
        let page = html::render(&document).into_string();
        assert_eq!(
            page.matches("<summary>The others</summary>").count(),
            if folded { 1 } else { 2 },
            "{page}"
        );
    }
}

#[test]
fn a_comparison_calls_its_methods_as_every_other_screen_does() {
    let own = EvidenceRow { own: true, ..row("me", "1", "1", 20, 5) };
    let mut rows = vec![with_facet(own, "humidity", "open")];
    rows.extend((0..4).map(|n| with_facet(row(&format!("g{n}"), "1", "1", 30, 12), "humidity", "open")));
    let answer = propagule_answer::compare::compare(
        &evidence(rows),
        &OwnTrial::of("x y", "me/1"),
        &CompareQuestion::about("me/1"),
        &Given::default(),
    );
    let said = text::render(&compare(&answer.expect("a comparison"), None), 80);
    assert!(said.contains("no cover") && !said.contains("open"), "{said}");
}

#[test]
fn others_beyond_the_first_are_counted_in_text_and_named_on_a_page() {
    let document = compared("humidity");
    let (said, page) = (text::render(&document, 80), html::render(&document).into_string());
    assert!(said.contains("\n  and 4 more\n") && !said.contains("grower 9"), "{said}");
    assert!(page.contains("<th scope=\"row\">grower 9</th><td class=\"n\">12/30</td>"), "{page}");
}

#[test]
fn a_plan_differs_by_its_pictures_and_by_headings_around_them() {
    let answer = propagule_answer::plan::plan(&two_methods(), &PlanQuestion::about("x y"), &Given::default())
        .expect("a plan");
    let document = plan(&answer, []);
    // The method without a success has no number, so no picture.
    assert_eq!(marked(&document), ["Page heading", "Page chart", "Text sentence"]);
    check_same_numbers(&document);
    let said = text::render(&document, 80);
    let page = text_of(&html::render(&document).into_string());
    for words in
        [&answer.sentence, &answer.methods[0].sentence, &answer.methods[1].sentence].map(InWords::words)
    {
        let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat(&said).contains(&words) && flat(&page).contains(&words), "{words}");
    }
    // What is in use first, in both.
    let in_use = answer.against.as_ref().expect("there are two").method.as_str();
    let other = answer.methods.iter().find(|method| method.method != in_use).expect("another");
    let order = |text: &str| text.find(in_use) < text.find(&other.method);
    assert!(order(&said) && order(&page), "{said}");
}

#[test]
fn a_plan_of_nothing_but_failures_says_what_a_bold_arm_could_show() {
    let rows = vec![row("a", "1", "1", 20, 0), row("b", "1", "1", 24, 0)];
    let answer =
        propagule_answer::plan::plan(&evidence(rows), &PlanQuestion::about("x y"), &Given::default())
            .expect("a plan");
    let bold = answer.bold_arm.as_ref().expect("nothing rooted").sentence.words();
    let document = plan(&answer, []);
    assert_eq!(marked(&document), ["Text sentence"]);
    assert!(text_of(&html::render(&document).into_string()).contains(&bold));
    assert!(
        text::render(&document, 120)
            .contains("(0 of 44 in 2 trials by 2 growers)\n\nOne treatment nobody has tried")
    );
}

fn behind_all(answer: &PoolAnswer) -> Document {
    behind(answer, &answer.methods.iter().collect::<Vec<_>>())
}

#[test]
fn what_stands_behind_differs_by_what_was_said_above_it_in_text() {
    let request = PoolQuestion { detail: true, ..PoolQuestion::about("x y") };
    let answer = propagule_answer::pool::pool(&two_methods(), &request).expect("an answer");
    let document = behind_all(&answer);
    assert_eq!(marked(&document), ["Page sentence", "Page list", "Page sentence", "Page list"]);
    check_same_numbers(&document);
    let said = text::render(&document, 100);
    assert_eq!(said.matches("\nBehind the headline: ").count() + 1, answer.methods.len(), "{said}");
    assert!(said.contains("\n  Typical grower by maximum likelihood: "), "{said}");
    let page = html::render(&document).into_string();
    assert!(page.contains("<dt>Typical grower by maximum likelihood</dt>"), "{page}");
}

#[test]
fn nobody_asked_is_nothing_behind() {
    let answer =
        propagule_answer::pool::pool(&two_methods(), &PoolQuestion::about("x y")).expect("an answer");
    assert!(behind_all(&answer).is_empty());
}

fn pooled(answer: &PoolAnswer) -> Document {
    let rests_on = vec![Action::link("The trials", "/species/trials")];
    super::pool(answer, &Around { rests_on, ..Around::default() }).document()
}

#[test]
fn a_pooled_answer_differs_by_its_pictures_by_what_is_folded_and_by_ways_to_other_rooms() {
    let answer =
        propagule_answer::pool::pool(&two_methods(), &PoolQuestion::about("x y")).expect("an answer");
    let document = pooled(&answer);
    let marks: BTreeSet<String> = marked(&document).into_iter().collect();
    let in_text = ["Text chart", "Text heading", "Text sentence"];
    let on_page = ["Page chart", "Page fold", "Page heading", "Page list", "Page sentence"];
    assert_eq!(marks, in_text.into_iter().chain(on_page).map(str::to_owned).collect());
    check_same_numbers(&document);
    let said = text::render(&document, 120);
    let page = html::render(&document).into_string();
    assert!(!said.contains("The trials") && page.contains("href=\"/species/trials\""), "{page}");
    assert!(page.contains("<summary>Each method in words</summary>"), "{page}");
}

#[test]
fn the_figure_that_leads_is_chosen_in_the_answer() {
    let rows = vec![row("a", "1", "1", 20, 3), with_facet(row("b", "1", "1", 20, 0), "humidity", "mist")];
    let mut answer =
        propagule_answer::pool::pool(&evidence(rows), &PoolQuestion::about("x y")).expect("an answer");
    let leads: BTreeSet<bool> = answer.methods.iter().map(|method| method.lead.is_count()).collect();
    assert_eq!(leads, BTreeSet::from([true]));
    let average = |answer: &PoolAnswer| {
        let document = pooled(answer);
        let page = html::render(&document).into_string();
        (text::render(&document, 80).contains("O average"), page.contains("<circle class=\"full\""))
    };
    assert_eq!(average(&answer), (false, false));
    answer.methods[0].lead = Lead::Average;
    assert_eq!(average(&answer), (true, true));
}
