//! Pieces that are in, in words.

use crate::document::{Document, List, Phrase};
use crate::fault;
use propagule_files::counted::counted;
use propagule_files::fault::Fault;
use propagule_files::paste::pasteable;

use super::undo;
use propagule_app::outcome::said::Said;
use propagule_app::outcome::stick::Stuck;

/// The pieces of a trial are in.
pub(super) fn stuck(stuck: &Stuck) -> Document {
    let Stuck { trial, species, started, arms, on, opens, opened, not_opened } = stuck;
    let pieces = counted(*started as usize, "piece", "pieces");
    let arms = arms.iter().map(|arm| format!("{}: {}", arm.arm, arm.started));
    Document::new()
        .section(format!("Put in: {pieces} of {species} on {on}. This number stays."), |under| {
            under.list(List::points(arms))
        })
        .say(
            Phrase::from("Next: ")
                .code(format!("propagule check {}", pasteable(trial)))
                .then(" (every two weeks; see propagule due)"),
        )
        .action(undo::mend(trial))
        .when(opens.is_none(), |said| {
            said.say(
                "Trials can be opened on the network on the day they are put in: the number put in is published without \
                 any outcome, so that everybody can see how many trials were never reported. Choose once: propagule \
                 settings announce on (or off)",
            )
        })
        .when(*opened == Some(true), |said| {
            said.say("Opened on the network, as you chose (propagule settings announce off ends that):")
        })
        .each(not_opened, |said, why| match why {
            Said::WhatOf { fault } => said.append(self::not_opened(fault)),
            other => said.say(super::said::line(other)),
        })
}

fn not_opened(why: &Fault) -> Document {
    Document::new()
        .say(format!("Not opened on the network yet: error: {}", fault::sentence(why)))
        .each(fault::hints(why), |said, hint| said.say(Phrase::from("hint: ").code(hint)))
}
