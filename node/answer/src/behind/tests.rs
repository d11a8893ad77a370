//! Strangers weigh nothing, and never unsaid.

use proptest::prelude::*;

use super::*;
use crate::question::{Given, PoolQuestion};
use propagule_evidence::{EvidenceRow, fixtures};

const TODAY: u32 = 20_000;

fn row(author: &str, rooted: u32) -> EvidenceRow {
    EvidenceRow { publisher: author.to_owned(), ..fixtures::row(author, "1", "1", 100, rooted) }
}

/// Rows of authors, and how these stand.
type Crowd = (Vec<EvidenceRow>, Vec<(String, (Footing, Option<u32>))>);

/// So many authors of one standing, first seen on a day, each with the same count.
fn authors(of: Footing, many: usize, day: u32, rooted: u32) -> Crowd {
    let names = (0..many).map(|number| format!("{of:?}-{day}-{number}"));
    names.map(|name| (row(&name, rooted), (name, (of, Some(day))))).unzip()
}

fn asked(parts: Vec<Crowd>, unchecked: bool) -> SetApart {
    let (rows, standings): (Vec<_>, Vec<_>) = parts.into_iter().unzip();
    let standings = Footings {
        authors: standings.into_iter().flatten().collect(),
        home_since: Some(TODAY - 1_000),
        today: TODAY,
        has_circle: false,
    };
    let evidence = Evidence { rows: rows.into_iter().flatten().collect(), ..Evidence::default() };
    set_apart(evidence, &standings, unchecked)
}

#[test]
fn a_flood_of_one_afternoon_moves_no_figure_and_is_told() {
    let known = authors(Footing::Known, 30, TODAY - 400, 22);
    let apart = asked(vec![known.clone(), authors(Footing::New, 19_021, TODAY - 1, 98)], false);
    let facts = &apart.behind.facts;
    assert_eq!((facts.known, facts.new, facts.leads), (30, 19_021, Leads::WithoutNew));
    assert_eq!(apart.evidence.rows, known.0);
    assert_eq!(apart.with_new.map(|all| all.rows.len()), Some(19_051));
    let burst = facts.burst.clone().expect("they appeared together");
    assert_eq!((burst.keys, burst.from == burst.to), (19_021, true));
}

#[test]
fn a_flood_that_waited_a_month_is_still_one_source() {
    let known = authors(Footing::Known, 30, TODAY - 400, 22);
    let waited = authors(Footing::Known, 500, TODAY - 60, 98);
    let apart = asked(vec![known, waited], false);
    let facts = &apart.behind.facts;
    assert_eq!((facts.known, facts.new, facts.leads), (30, 500, Leads::WithoutNew));
}

#[test]
fn strangers_alone_give_no_figure_unless_it_is_asked_for() {
    for (left, leads) in [(0, Leads::Nothing), (2, Leads::Nothing), (3, Leads::WithoutNew)] {
        let parts =
            || vec![authors(Footing::Known, left, TODAY - 400, 22), authors(Footing::New, 20, TODAY - 3, 98)];
        let apart = asked(parts(), false);
        assert_eq!(apart.behind.facts.leads, leads, "{left}");
        assert_eq!(apart.evidence.rows.len(), if left < FEWEST { 0 } else { left });
        let unchecked = asked(parts(), true);
        assert_eq!((unchecked.evidence.rows.len(), unchecked.behind.facts.leads), (left + 20, leads));
    }
}

#[test]
fn an_answer_without_a_figure_gives_counts_and_no_interval() {
    let apart = asked(vec![authors(Footing::New, 20, TODAY - 3, 50)], false);
    let given = Given { behind: Some(apart.behind.clone()), ..Given::default() };
    let beside = crate::pool::Beside { given, with_new: apart.with_new.as_ref(), ..Default::default() };
    let question = PoolQuestion::about("Morus nigra");
    let answer = crate::pool::pool_beside(&apart.evidence, &beside, &question).expect("answers");
    assert!(answer.methods.is_empty() && answer.network.is_none() && answer.contrasts.is_empty());
    assert_eq!(answer.sentence, apart.behind.sentence);
    let facts = answer.behind.expect("it says who").facts;
    assert_eq!((facts.rooted, facts.started), (1_000, 2_000));
}

#[test]
fn a_figure_without_strangers_has_that_with_them_beside_it() {
    let known = authors(Footing::Known, 5, TODAY - 400, 22);
    let apart = asked(vec![known.clone(), authors(Footing::New, 20, TODAY - 3, 98)], false);
    let question = PoolQuestion::about("Morus nigra");
    let given = Given { behind: Some(apart.behind.clone()), ..Given::default() };
    let beside = crate::pool::Beside { given, with_new: apart.with_new.as_ref(), ..Default::default() };
    let answer = crate::pool::pool_beside(&apart.evidence, &beside, &question).expect("answers");
    let alone = Evidence { rows: known.0, ..Evidence::default() };
    let alone = crate::pool::pool(&alone, &question).expect("answers");
    assert_eq!(answer.methods[0].fit, alone.methods[0].fit, "strangers weigh nothing");
    let with = answer.methods[0].everybody.as_ref().expect("the figure with them");
    assert_eq!((with.growers, with.rooted), (25, 5 * 22 + 20 * 98));
    assert!(with.fit.average_grower_rate_mean > 0.7);
}

proptest! {
    #[test]
    fn growth_as_growers_come_is_no_burst(weekly in prop::collection::vec(0_usize..8, 26)) {
        let parts = weekly.iter().enumerate().map(|(week, many)| {
            authors(Footing::Known, *many, TODAY - 181 + 7 * week as u32, 30)
        });
        let apart = asked(parts.collect(), false);
        prop_assert_eq!(apart.behind.facts.burst, None);
        prop_assert_eq!(apart.behind.facts.leads, Leads::All);
    }
}
