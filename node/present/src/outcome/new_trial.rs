//! A new trial in words, with what its size can show.

use crate::document::{Action, Column, Document, List, Table};
use crate::words::InWords;
use propagule_bench::{Arm, Trial};
use propagule_files::counted::counted;
use propagule_files::paste::pasteable;

use super::command::ending_in_command;
use super::{outlook, plant, said, trial};
use propagule_app::outcome::new_trial::{
    ArmsOutlook, CanShow, CautionFacts, NewTrialFacts, OutlookLine, PairDiffers, UnusualValue,
};
use propagule_app::outcome::said::Said;

/// Pots of an arm that are named one by one.
const MOST_POTS_NAMED: usize = 8;

/// A trial that was set up, or would be.
pub(super) fn all(new: &NewTrialFacts) -> Document {
    let trial = &new.trial;
    Document::new()
        .each(&new.taken, |said, taken| said.say(plant::taken(taken)))
        .append(described(trial, new.saved))
        .each(&new.questions, |said, question| {
            said.say(format!("Unusual, is it a slip? {}.", said::line(question)))
        })
        .when(!new.near_names.is_empty(), |said| said.say(misspelt(trial, &new.near_names)))
        .append(size(&new.can_show))
        .when(!new.assured.is_empty(), |said| {
            said.section("By what growers of this species reported", |under| {
                under.each(&new.assured, |under, row| under.say(row.sentence.words()))
            })
        })
        .when(!new.cautions.is_empty(), |said| said.append(cautions(&new.cautions)))
        .when(new.saved, |said| said.append(next(trial)))
}

fn described(trial: &Trial, is_saved: bool) -> Document {
    let kind = if trial.is_lot() { "Lot" } else { "Trial" };
    let is = if is_saved { "is set up" } else { "would be" };
    let pieces = counted(trial.started(), "piece", "pieces");
    let title = format!("{kind} {} {is}: {}, {pieces}.", trial.code, trial.species);
    let control = trial.control.and_then(|number| trial.arm(number));
    let follows = trial.parent.as_ref().zip(trial.follows());
    Document::new()
        .section(title, |under| under.list(List::points(trial.arms.iter().map(arm))))
        .each(control, |said, arm| said.say(format!("The others are held against {}.", arm.label)))
        .each(follows, |said, (parent, relation)| {
            said.say(format!("It follows {parent}: {}.", relation.words()))
        })
}

/// `dip: 12 pieces in P1, P2, P3; kind stem cutting, wood softwood`.
fn arm(arm: &Arm) -> String {
    let pots: Vec<&str> = arm.replicates.iter().map(|replicate| replicate.code.as_str()).collect();
    let stands = match pots[..] {
        [] => String::new(),
        [first, .., last] if pots.len() > MOST_POTS_NAMED => {
            format!(" in {} pots, {first} to {last}", pots.len())
        }
        _ => format!(" in {}", pots.join(", ")),
    };
    let said = trial::facets(arm);
    let method = if said.is_empty() { String::new() } else { format!("; {}", said.join(", ")) };
    format!("{}: {}{stands}{method}", arm.label, counted(arm.started, "piece", "pieces"))
}

fn misspelt(trial: &Trial, near: &[String]) -> String {
    format!(
        "{} is not in the list of plants; did you mean {}? To mend it: propagule trial edit {} --species NAME",
        trial.species,
        near.join(", "),
        pasteable(&trial.code)
    )
}

fn size(can_show: &CanShow) -> Document {
    let title = "What this size can show";
    match can_show {
        CanShow::Lot(lot) => Document::new()
            .section(title, |under| under.each(&lot.words, |under, line| under.say(said::line(line)))),
        CanShow::Arms(arms) => Document::new()
            .section(title, |under| under.append(chances(arms)).append(after_chances(&arms.words)))
            .section("What differs", |under| under.list(List::points(arms.pairs.iter().map(pair)))),
    }
}

fn pair(pair: &PairDiffers) -> String {
    said::line(&pair.words)
}

/// `20 against 80 %  ##############......  3 pots of 4 an arm have a 69 % chance of showing it`.
fn chances(arms: &ArmsOutlook) -> Document {
    let rows = arms.power.iter().map(|power| {
        vec![outlook::rates(power).into(), outlook::bar(power).into(), outlook::chance(power).into()]
    });
    let columns = [Column::words("").whole(), Column::words("").whole(), Column::words("")];
    Document::new().table(Table::new("", columns).without_row_headings().bare_in_text().rows(rows))
}

/// What is said beside the chances, which stand in a table of their own.
fn after_chances(words: &[Said]) -> Document {
    let lines = words.iter().filter_map(|said| match said {
        Said::Outlook(OutlookLine::Chance(_)) => None,
        Said::Outlook(line) => Some(outlook::typed(line)),
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
    let code = pasteable(&trial.code);
    Document::new()
        .say(ending_in_command(&format!("When the pieces are in: propagule stick {code}")))
        .action(Action::command("To mend it", format!("propagule trial edit {code} --help")))
}

/// A value of a facet that is unusual.
pub(super) fn unusual(unusual: &UnusualValue) -> String {
    let UnusualValue { field, value, usual, suggestions } = unusual;
    let meant = if suggestions.is_empty() {
        String::new()
    } else {
        format!("; did you mean {}?", suggestions.join(", "))
    };
    format!("{field}: {value}: {usual} is usual{meant}")
}
