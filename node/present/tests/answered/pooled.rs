//! Pooled answers.

use propagule_answer::pool::{Beside, PoolAnswer, WholeLifeAnswer, pool, pool_beside};
use propagule_answer::question::{Given, PoolQuestion};
use propagule_answer::said::{AnswerSaid, Family, Wording};
use propagule_evidence::fixtures::{evidence, row, with_facet};
use propagule_evidence::{
    Evidence, EvidenceRow, Grouping, Moved, Outcome, Question, Silence, Stage, WholeLife,
};
use propagule_present::screens::{self, pool::Around};
use propagule_present::text;
use propagule_present::words::InWords;

use super::{adviser, fits, green};

fn of(rows: Vec<EvidenceRow>, question: &PoolQuestion) -> PoolAnswer {
    pool(&evidence(rows), question).expect("an answer")
}

fn tarda() -> PoolQuestion {
    PoolQuestion::about("Ostrava tarda")
}

fn in_text(answer: &PoolAnswer, width: usize) -> String {
    text::render(&screens::pool(answer, &Around::default()).document(), width)
}

fn silent() -> EvidenceRow {
    let mut row = EvidenceRow { pending: true, ..row("c", "1", "1", 40, 0) };
    row.flags.silent = true;
    row
}

#[test]
fn none_of_97_leads_with_the_count_and_its_bound() {
    let said = of(green(), &tarda()).sentence.words();
    assert!(said.starts_with("0 of 97 rooted. The true rate could"), "{said}");
    assert!(
        said.contains("in 20. The average of 2% (0.03\u{2013}11%) rests mostly on the model's"),
        "{said}"
    );
    assert!(said.contains("34 were still green, not rooted."), "{said}");
}

#[test]
fn one_grower_has_no_pooled_sounding_headline() {
    let own = green().into_iter().filter(|row| row.own).collect();
    let said = of(own, &tarda()).sentence.words();
    assert!(said.starts_with("0 of 54 rooted. The true rate could still be as"), "{said}");
    assert!(said.contains("How much others would differ is not known;"), "{said}");
}

#[test]
fn six_growers_of_one_publisher_are_named_as_such_and_one_that_is_joined_too() {
    let by_one = |joined: bool| {
        let rows = adviser().into_iter().map(|mut row| {
            row.publisher = "adviser".to_owned();
            row.weeks = Some(15);
            row.flags.marks_joined = joined;
            if joined {
                row.trial = format!("{}/1", row.grower);
                row.grower = "adviser".to_owned();
            }
            row
        });
        of(rows.collect(), &tarda()).methods.remove(0).sentence.words()
    };
    let apart = by_one(false);
    let basis = "6 growers, 1 publisher, 6 trials, 124 cuttings; none rooted in 2 of 6 treatments; counted 15 weeks after sticking.";
    assert!(apart.contains(basis), "{apart}");
    let joined = by_one(true);
    assert!(joined.starts_with("27 of 124 rooted (22%"), "{joined}");
    assert!(joined.contains("1 publisher, 6 trials, 124 cuttings"), "{joined}");
}

#[test]
fn what_came_later_is_said_below_the_headline() {
    let mut answer = of(green(), &tarda());
    let wording = Wording::new(Family::Cuttings, Outcome::Rooted);
    let life =
        WholeLife { trials: 1, growers: 1, started: 54, ever_rooted: 4, still_waiting: None, pending: 3 };
    let moved = Moved { path: "cold frame".to_owned(), weeks: (15, 15), trials: 1, rooted: 4, started: 54 };
    let said = AnswerSaid::Moved { wording, moved }.words();
    assert_eq!(said, "Of these, 4 rooted first after the move to cold frame in week 15, of 54 stuck.");
    answer.methods[0].whole_life = Some(WholeLifeAnswer {
        trials: 1,
        growers: 1,
        started: 54,
        ever_rooted: 4,
        still_waiting: None,
        pending: 3,
        lower: None,
        upper: None,
        sentence: AnswerSaid::WholeLife { wording, life },
    });
    let text = in_text(&answer, 100).split_whitespace().collect::<Vec<_>>().join(" ");
    let at = |part: &str| text.find(part).unwrap_or_else(|| panic!("{part}: {text}"));
    assert!(at("0 of 97 rooted") < at("In all, 4 of 54 rooted at some time"), "{text}");
}

#[test]
fn where_nothing_is_counted_it_is_said_why() {
    let held = vec!["Ostrava tarda".to_owned(), "Lumetta rosea".to_owned()];
    let given = Given { species_held: held, ..Given::default() };
    let beside = Beside { given, ..Beside::default() };
    let slip = pool_beside(&Evidence::default(), &beside, &PoolQuestion::about("Ostrava tarde"));
    let slip = slip.expect("an answer").sentence.words();
    assert!(slip.contains("Did you mean Ostrava tarda"), "{slip}");
    let pending = EvidenceRow { pending: true, ..row("a", "1", "1", 20, 0) };
    let said = of(vec![pending], &tarda()).sentence.words();
    assert!(said.starts_with("1 trial of Ostrava tarda is under way"), "{said}");
    let grouping = Grouping::parse(None, &["humidity=fog".to_owned()]).expect("a grouping");
    let said = of(vec![row("a", "1", "1", 20, 1)], &PoolQuestion { grouping, ..tarda() }).sentence.words();
    assert!(said.starts_with("No treatment of Ostrava tarda has mist or cover fog."), "{said}");
}

#[test]
fn lost_pieces_that_matter_are_said() {
    let lost = EvidenceRow { lost: 8, ..row("a", "1", "1", 20, 6) };
    let said = of(vec![lost, row("b", "1", "1", 20, 8)], &tarda()).methods[0].sentence.words();
    assert!(said.contains("lost before the"), "{said}");
}

#[test]
fn pairs_are_said_with_what_they_rest_on() {
    let forms = |grower: &str, heel, nodal| {
        let arm = |arm, word, rooted| {
            let mut row = with_facet(row(grower, "1", arm, 20, rooted), "form", word);
            row.flags.single_replicate = true;
            row
        };
        vec![arm("1", "heel", heel), arm("2", "nodal", nodal)]
    };
    let said = |heel, nodal| of(forms("g", heel, nodal), &tarda()).contrasts[0].sentence.words();
    assert!(said(3, 9).contains("each treatment had one pot"), "{}", said(3, 9));
    assert!(said(0, 0).contains("the same outcome in both in the only trial"), "{}", said(0, 0));
}

#[test]
fn silent_trials_are_told_beside_the_headline_and_alone_without_a_rate() {
    let silence = Silence { opened: 3, reported: 2, silent: 1, ..Silence::default() };
    let rows = vec![row("a", "1", "1", 20, 9), row("b", "1", "1", 20, 7), silent()];
    let some = Evidence { silence: Some(silence), ..evidence(rows) };
    let text = in_text(&pool(&some, &tarda()).expect("an answer"), 80);
    assert!(text.contains("3 trials were announced before any count: 2 reported, 0 not due, 1"));
    assert!(text.contains("If nothing rooted in the overdue trials: average"), "{text}");
    let silence = Silence { opened: 1, silent: 1, ..Silence::default() };
    let all = Evidence { silence: Some(silence), ..evidence(vec![silent()]) };
    let text = in_text(&pool(&all, &tarda()).expect("an answer"), 80);
    assert!(text.contains("1 overdue") && !text.contains('%'), "{text}");
}

#[test]
fn linked_methods_are_ranked_in_words() {
    let beside = |grower: &str, rooted| {
        let hard = with_facet(row(grower, "1", "2", 10, rooted), "wood", "hardwood");
        [row(grower, "1", "1", 10, 1), hard]
    };
    let rows = ["a", "b", "c", "d"].map(|grower| beside(grower, 9)).concat();
    let said = of(rows, &tarda()).network.expect("linked").sentence.words();
    assert!(said.starts_with("hardwood stem cuttings, covered: likely better than"), "{said}");
}

#[test]
fn details_name_who_moves_it_and_where_no_maximum_exists() {
    let detail = PoolQuestion { detail: true, ..tarda() };
    let rooted = [3, 0, 2, 0, 0, 0, 2, 0, 0, 0, 0, 0].into_iter().enumerate();
    let rows = rooted.map(|(n, rooted)| row(&format!("g{n}"), "1", "1", 16, rooted)).collect();
    let text = in_text(&of(rows, &detail), 60);
    assert!(
        text.contains("Behind the headline") && text.contains("and 4 growers that move it less"),
        "{text}"
    );
    fits(&text, 60);
    let none = of(vec![row("a", "1", "1", 42, 0)], &detail);
    assert!(in_text(&none, 100).contains("no estimate exists"));
}

#[test]
fn a_question_is_said_with_its_outcome_and_its_count() {
    let count = Question { stage: Stage::Spring, outcome: Outcome::Alive };
    let methods = AnswerSaid::SeveralMethods { methods: 2, rooted: 1, started: 12_000, count };
    assert!(methods.words().starts_with("2 methods; 1 of 12,000 alive at the spring count in all."));
}
