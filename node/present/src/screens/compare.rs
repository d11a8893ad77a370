//! An own trial against other growers: each arm's sentence, its place among the others, then who they are.

use crate::chart::{Behind, Chances, Forest, ForestBlock, ForestRow, Key, KeyMark, Reading};
use crate::document::{Column, Document, Fold, Item, List, Phrase, Role, Row, Table};
use crate::kind::detail;
use crate::words::InWords;
use crate::words::any_kind;
use crate::words::sentences::growers;
use propagule_evidence::Whose;

use super::climate::{Surroundings, climate};
use super::common::{facet_words, family_of, said, shared_family, short_label, stands_behind, warnings};
use super::labels;
use crate::words::{self, percent, percent_range};
use propagule_answer::compare::{ArmAnswer, CompareAnswer, Peer};
use propagule_answer::said::Wording;

/// Arms of a trial on a page.
const MOST_ARMS: usize = 12;
/// Others named in text, and on a page.
const PEERS_IN_TEXT: usize = 8;
const PEERS_ON_PAGE: usize = 50;
/// Where a page finds what it does not show.
const OTHERS: &str = "in the file of the answer";

/// The comparison; `around` is what is known of climates beside what is in it.
pub fn compare(answer: &CompareAnswer, around: Option<&Surroundings<'_>>) -> Document {
    let told = answer.arms.iter().map(|arm| &arm.sentence);
    let told = told.chain(answer.warnings.iter().map(|warning| &warning.text));
    let question = words::question_words(
        Wording::new(shared_family(told.filter_map(family_of)), answer.outcome),
        answer.stage,
    );
    let title = format!(": {} against other growers, {question}", short_label(&answer.trial));
    let is_same = has_same_peers(answer);
    let (first, more) = answer.arms.split_at(answer.arms.len().min(MOST_ARMS));
    let of = |document: Document, arm: &ArmAnswer| {
        let title = Phrase::from(heading(arm));
        document.section(title, |under| section(under, arm, answer, is_same))
    };
    let document = Document::new()
        .title(Phrase::new().name(answer.species.as_str()).then(title))
        .each(&answer.at, |document, place| document.say(Phrase::new().strong(words::as_if_at(place))))
        .when(answer.whose != Whose::Everybody, |document| {
            document.note(format!("Against the results of {}.", words::whose_words(answer.whose)))
        });
    let document = match &answer.behind {
        Some(behind) if behind.gives_nothing() => said(document, Role::Main, &behind.sentence.words()),
        behind => stands_behind(document, behind.as_ref(), true),
    };
    let document = document
        .each(first, of)
        .in_text(|text| text.each(more, of))
        .when(!more.is_empty(), |document| {
            document.on_page(|page| page.note(format!("And {} more treatments {OTHERS}.", more.len())))
        })
        .each(around.filter(|_| !answer.peers.is_empty()), |document, around| {
            document.on_page(|page| climate(page, answer, around))
        })
        .each(answer.arms.first().filter(|_| is_same), |document, arm| {
            document.folded(Fold::new("The others", Document::new().table(peers(arm, answer))))
        });
    let document = stands_behind(document, answer.behind.as_ref(), false);
    let document = warnings(document, &answer.warnings, None);
    labels::in_our_words(document, answer.arms.iter().map(|arm| (&arm.method, &arm.facets)))
}

fn heading(arm: &ArmAnswer) -> String {
    let differs = facet_words(&arm.differs_in);
    let differs = if differs.is_empty() { differs } else { format!(" ({differs})") };
    format!("Treatment {}{differs}, {}", arm.arm, arm.method)
}

/// Whether every arm is compared with the same others, so that they need naming only once.
fn has_same_peers(answer: &CompareAnswer) -> bool {
    let of = |arm: &ArmAnswer| {
        let peers = answer.peers.iter().filter(|peer| peer.arm == arm.arm);
        peers.map(|peer| (peer.grower.as_str(), peer.rooted, peer.started)).collect::<Vec<_>>()
    };
    answer.arms.first().is_some_and(|first| answer.arms.iter().all(|arm| of(arm) == of(first)))
}

fn section(under: Document, arm: &ArmAnswer, answer: &CompareAnswer, is_same: bool) -> Document {
    let others = || Fold::new("The others", Document::new().table(peers(arm, answer))).unfolded_in_text();
    under
        .main(arm.sentence.words())
        .note(matched(arm))
        .in_text(|text| text.chart(place(arm)))
        .on_page(|page| {
            page.chart(chances(arm)).fold("Figures for advisers", |fold| fold.list(technical(arm)))
        })
        .when(!is_same, |under| under.folded(others()))
}

/// What the others had to have in common.
fn matched(arm: &ArmAnswer) -> String {
    let same: Vec<String> = arm
        .matched_on
        .iter()
        .filter(|what| !["method", "climate"].contains(&what.as_str()))
        .map(|what| detail(what))
        .collect();
    if arm.enough {
        growers::closeness(&any_kind(), arm.growers, arm.trials, &same)
    } else {
        growers::any_climate(&any_kind(), arm.growers, arm.trials)
    }
}

/// The others' bar with the own rate under it.
fn place(arm: &ArmAnswer) -> Forest {
    let ends = |[low, _, high]: [f64; 3]| [low, high];
    let fit = &arm.fit;
    let key = |mark, in_text: &str| Key { mark, words: String::new(), in_text: in_text.to_owned() };
    let row = ForestRow {
        what: String::new(),
        basis: String::new(),
        said: String::new(),
        reading: Reading::Average {
            rate: fit.average_grower_rate_mean,
            interval: ends(fit.average_grower_rate_q),
            range: ends(fit.new_grower_rate_q),
        },
        rate: String::new(),
        beside: Vec::new(),
        more: String::new(),
        count: (arm.own_rooted, arm.own_stuck),
        share_of_most: 1.0,
        own: Some((arm.own_rooted, arm.own_stuck)),
        everybody: None,
    };
    Forest {
        blocks: vec![ForestBlock { heading: String::new(), rows: vec![row] }],
        keys: vec![
            key(KeyMark::Average, "O average of the others, = its 95% interval"),
            key(KeyMark::Range, ". where your next trial may land"),
            key(KeyMark::Own, "^ yours"),
        ],
        yours: "yours".to_owned(),
        heads: Default::default(),
        behind: Behind::new(""),
    }
}

/// What growers like the reader would see, count by count.
fn chances(arm: &ArmAnswer) -> Chances {
    let (own, last) = (arm.own_rooted, arm.predictive.len().saturating_sub(1));
    Chances {
        said: format!(
            "{}: chances of 0 to {last} successes for a grower like you; yours is {own}; the table \
                 has the numbers",
            arm.arm
        ),
        law: arm.predictive.clone(),
        own: own as usize,
        counted: "successes".to_owned(),
        yours: "yours".to_owned(),
        times: "Times in 100".to_owned(),
        behind: Behind::new("Of 100 growers like you, so many would count"),
    }
}

fn technical(arm: &ArmAnswer) -> List {
    let fit = &arm.fit;
    let [low, _, high] = fit.new_grower_rate_q;
    let own = f64::from(arm.own_rooted) / f64::from(arm.own_stuck.max(1));
    List::figures([
        Item::fact("Own count", format!("{} of {}, {}%", arm.own_rooted, arm.own_stuck, percent(own))),
        Item::fact(
            "Average of the others",
            words::percent_with_range(fit.average_grower_rate_mean, fit.average_grower_rate_q),
        ),
        Item::fact("Your next trial", percent_range(low, high)),
        Item::fact("Percentile (mid-P)", percent(arm.mid_p_percentile)),
        Item::fact("This few or fewer", format!("{}%", percent(arm.prob_at_most_own))),
        Item::fact("This many or more", format!("{}%", percent(arm.prob_at_least_own))),
        Item::fact(
            "Effective number of growers",
            format!("{:.1} (Kish); weights add up to {:.1}", arm.effective_sites_kish, arm.weight_total),
        ),
        Item::fact("Climate measures in common", arm.dims.to_string()),
        Item::fact(
            "Spread between growers, logit",
            format!("{:.2} ({:.2}\u{2013}{:.2})", fit.tau_mean, fit.tau_q[0], fit.tau_q[2]),
        ),
    ])
}

fn peers(arm: &ArmAnswer, answer: &CompareAnswer) -> Table {
    let columns = [Column::words("Grower"), Column::numbers("Count").at_least(8), Column::words("Climate")];
    let row = |peer: &Peer| -> Row {
        let distance =
            peer.distance.map_or_else(String::new, |distance| format!(" (distance {distance:.2})"));
        let weight = format!(", counts {:.0}%{distance}", peer.weight * 100.0);
        let band = peer.band.map_or("climate not stated", words::band_words);
        vec![
            short_label(&peer.grower).into(),
            format!("{}/{}", peer.rooted, peer.started).into(),
            Phrase::from(band).soft(weight),
        ]
    };
    let others = answer.peers.iter().filter(|peer| peer.arm == arm.arm);
    Table::new("Nearest climate first", columns).rows(others.map(row)).bare_in_text().at_most(
        PEERS_IN_TEXT,
        PEERS_ON_PAGE,
        OTHERS,
    )
}
