//! Everything somewhere was checked, in words.

use crate::document::Document;

use super::undo;
use crate::words::sentences::{entries, when};
use crate::words::{any_kind, counted};
use propagule_app::outcome::looked::{EverythingLooked, LookedAll};

/// Everything on a bench, or on all of them, was checked; or that was undone.
pub(in crate::outcome) fn all(looked: &EverythingLooked) -> Document {
    match looked {
        EverythingLooked::Looked(looked) => self::looked(looked),
        EverythingLooked::TakenBack { trials, .. } => {
            let many = counted(trials.len(), "check is undone", "checks are undone");
            Document::new().say(format!("{many}: {}. They stay in the history.", trials.join(", ")))
        }
    }
}

fn looked(LookedAll { spot, on, looked, already, take_back, .. }: &LookedAll) -> Document {
    let place = spot.as_deref().unwrap_or("your benches");
    let day = when(&any_kind(), on);
    Document::new()
        .when(!looked.is_empty(), |said| {
            said.say(entries::checked_all(&any_kind(), place, &day, looked))
                .say("Enter what did change trial by trial, for the same day.")
        })
        .when(!already.is_empty(), |said| {
            said.say(format!("Checked on {day} already, nothing was added: {}.", already.join(", ")))
        })
        .each(take_back, |said, take_back| said.action(undo::of(take_back)))
}
