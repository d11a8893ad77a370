//! Everything somewhere was looked at, in words.

use crate::document::Document;

use super::undo;
use crate::words::counted;
use propagule_app::outcome::looked::{EverythingLooked, LookedAll};

/// Everything on a spot, or on the whole bench, was looked at; or that was taken back.
pub(in crate::outcome) fn all(looked: &EverythingLooked) -> Document {
    match looked {
        EverythingLooked::Looked(looked) => self::looked(looked),
        EverythingLooked::TakenBack { trials, .. } => {
            let many = counted(trials.len(), "look is taken back", "looks are taken back");
            Document::new().say(format!("{many}: {}. The history keeps them.", trials.join(", ")))
        }
    }
}

fn looked(LookedAll { spot, on, looked, already, take_back, .. }: &LookedAll) -> Document {
    let place = spot.as_deref().unwrap_or("the bench");
    let many = counted(looked.len(), "trial", "trials");
    Document::new()
        .when(!looked.is_empty(), |said| {
            said.say(format!(
                "Looked at everything on {place}, {on}, no change: {many}: {}.",
                looked.join(", ")
            ))
            .say("What differs is entered trial by trial, for the same day.")
        })
        .when(!already.is_empty(), |said| {
            said.say(format!("Already in for {on}, nothing saved: {}.", already.join(", ")))
        })
        .each(take_back, |said, take_back| said.action(undo::of(take_back)))
}
