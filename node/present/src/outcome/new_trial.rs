//! A new trial in words, with what its size can show.

use crate::document::{Action, Column, Document, List, Table};
use crate::kind::{KindWords, detail};
use crate::words::InWords;
use crate::words::sentences::{and, or, setup};
use propagule_bench::kind::Kind;
use propagule_bench::{Arm, Trial};
use propagule_files::paste::pasteable;

use super::command::ending_in_command;
use super::{outlook, plant, said, trial};
use propagule_app::outcome::new_trial::{
    ArmsOutlook, CanShow, CautionFacts, NewTrialFacts, OutlookLine, PairDiffers, UnusualValue,
};
use propagule_app::outcome::said::Said;

/// Pots of a treatment that are named one by one.
const MOST_POTS_NAMED: usize = 8;

/// A trial that was set up, or would be.
pub(super) fn all(new: &NewTrialFacts) -> Document {
    let trial = &new.trial;
    Document::new()
        .each(&new.taken, |said, taken| said.say(plant::taken(taken)))
        .append(described(trial, new.saved))
        .each(&new.questions, |said, question| {
            let question = said::line(question);
            let stop = if question.ends_with('?') { "" } else { "." };
            said.say(format!("Unusual, is it a slip? {question}{stop}"))
        })
        .each(&new.counted_as, plant::counted_as)
        .when(!new.near_names.is_empty(), |said| said.say(misspelt(trial, &new.near_names)))
        .append(size(&new.can_show, trial.kind()))
        .when(!new.assured.is_empty(), |said| {
            said.section("By what growers of this plant reported", |under| {
                under.each(&new.assured, |under, row| under.say(row.sentence.words()))
            })
        })
        .when(!new.cautions.is_empty(), |said| said.append(cautions(&new.cautions)))
        .when(new.saved, |said| said.append(next(trial)))
}

pub(crate) fn described(trial: &Trial, is_saved: bool) -> Document {
    let words = KindWords::of_trial(trial);
    let treatments = if trial.is_lot() { 1 } else { trial.arms.len() };
    let said = if is_saved { setup::set_up } else { setup::would_be_set_up };
    let title = said(&words, &trial.code, &trial.species, treatments, trial.started());
    let control = trial.control.and_then(|number| trial.arm(number));
    let follows = trial.parent.as_ref().zip(trial.follows());
    Document::new()
        .section(title, |under| under.list(List::points(trial.arms.iter().map(|of| arm(of, &words)))))
        .each(control, |said, arm| said.say(format!("The others are compared with {}.", arm.label)))
        .each(follows, |said, (parent, relation)| {
            said.say(format!("It follows {parent}: {}.", relation.words()))
        })
}

/// `dip: 12 cuttings in P1, P2 and P3; kind of propagation stem cutting, wood softwood`.
fn arm(arm: &Arm, words: &KindWords) -> String {
    let pots: Vec<&str> = arm.replicates.iter().map(|replicate| replicate.code.as_str()).collect();
    let stands = match pots[..] {
        [first, .., last] if pots.len() > MOST_POTS_NAMED => {
            format!("{} pots, {first} to {last}", pots.len())
        }
        _ => and(&pots),
    };
    setup::treatment_line(words, &arm.label, u32::from(arm.started), &stands, &trial::facets(arm))
}

fn misspelt(trial: &Trial, near: &[String]) -> String {
    format!(
        "{} is not on the list; you can still use it. Did you mean {}? To change it: propagule trial edit {} --species NAME",
        trial.species,
        or(near),
        pasteable(&trial.code)
    )
}

fn size(can_show: &CanShow, kind: Kind) -> Document {
    let title = "What this size can show";
    match can_show {
        CanShow::Lot(lot) => Document::new()
            .section(title, |under| under.each(&lot.words, |under, line| under.say(said::line(line)))),
        CanShow::Arms(arms) => Document::new()
            .section(title, |under| under.append(chances(arms)).append(after_chances(&arms.words, kind)))
            .section("What differs", |under| under.list(List::points(arms.pairs.iter().map(pair)))),
    }
}

fn pair(pair: &PairDiffers) -> String {
    said::line(&pair.words)
}

/// If these are the true rates, how often the difference is shown: `20% and 80%  ##############......  69 times in 100`.
fn chances(arms: &ArmsOutlook) -> Document {
    let size = arms.power.first().map(outlook::size).unwrap_or_default();
    let rows = arms.power.iter().map(|power| {
        vec![outlook::rates(power).into(), outlook::bar(power).into(), outlook::times(power).into()]
    });
    let columns = [Column::words("").whole(), Column::words("").whole(), Column::words("")];
    Document::new()
        .say(format!("If these were the true rates, {size} per treatment would show the difference:"))
        .table(Table::new("", columns).without_row_headings().bare_in_text().rows(rows))
}

/// What is said beside the chances, which stand in a table of their own.
fn after_chances(words: &[Said], kind: Kind) -> Document {
    let lines = words.iter().filter_map(|said| match said {
        Said::Outlook(OutlookLine::Chance(_)) => None,
        Said::Outlook(line) => Some(outlook::typed(line, kind)),
        other => Some(said::line(other)),
    });
    Document::new().each(lines, Document::say)
}

fn cautions(cautions: &[CautionFacts]) -> Document {
    let title = "Cautions (hide one for this season: propagule cautions hide NAME):";
    let line = |caution: &CautionFacts| format!("[{}] {}", caution.id, said::line(&caution.line));
    Document::new().section(title, |under| under.list(List::points(cautions.iter().map(line))))
}

fn next(trial: &Trial) -> Document {
    let (code, words) = (pasteable(&trial.code), KindWords::of_trial(trial));
    Document::new()
        .say(ending_in_command(&setup::planned(&words, &format!("propagule {} {code}", words.start_command))))
        .action(Action::command("To change it", format!("propagule trial edit {code} --help")))
}

/// A value of a facet that is unusual.
pub(super) fn unusual(unusual: &UnusualValue) -> String {
    let UnusualValue { field, value, usual, suggestions } = unusual;
    let meant = if suggestions.is_empty() {
        String::new()
    } else {
        format!("; did you mean {}?", suggestions.join(", "))
    };
    format!("{}: {value}: {usual} is usual{meant}", detail(field))
}
