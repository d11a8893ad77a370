//! What was started, in words.

use crate::document::{Document, List, Phrase};
use crate::fault;
use crate::kind::KindWords;
use crate::words::sentences::{entries, when};
use propagule_files::fault::Fault;
use propagule_files::paste::pasteable;

use super::undo;
use propagule_app::outcome::said::Said;
use propagule_app::outcome::stick::Stuck;

/// A trial was started.
pub(super) fn stuck(stuck: &Stuck) -> Document {
    let Stuck { trial, species, kind, started, arms, on, opens, opened, not_opened } = stuck;
    let words = KindWords::of(*kind);
    let said = entries::started(&words, *started, species, &when(&words, on));
    let arms = arms.iter().map(|arm| format!("{}: {}", arm.arm, arm.started));
    Document::new()
        .section(said, |under| under.list(List::points(arms)))
        .say(
            Phrase::from("Next: ")
                .code(format!("propagule check {}", pasteable(trial)))
                .then(" (every two weeks; see propagule due)"),
        )
        .action(undo::mend(trial))
        .when(opens.is_none(), |said| {
            said.say(format!(
                "A trial can be announced on the day it is {}: method and number, no result. Then everybody can see how \
                 many trials were never reported. Choose once: propagule settings announce on (or off)",
                words.started
            ))
        })
        .when(*opened == Some(true), |said| {
            said.say("Announced, as you chose (propagule settings announce off ends that):")
        })
        .each(not_opened, |said, why| match why {
            Said::WhatOf { fault } => said.append(self::not_opened(fault)),
            other => said.say(super::said::line(other)),
        })
}

fn not_opened(why: &Fault) -> Document {
    Document::new()
        .say(format!("Not announced yet: error: {}", fault::sentence(why)))
        .each(fault::hints(why), |said, hint| said.say(Phrase::from("hint: ").code(hint)))
}
