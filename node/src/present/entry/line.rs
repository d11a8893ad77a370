//! An entry in one line.

use propagule_answer::words::entered;
use propagule_answer::words::kind::KindWords;
use propagule_app::outcome::undo::EntryLine;

/// `M8, 2026-06-22  check: P1 11 alive`; without a code where it is about a spot.
pub(in crate::present) fn line(EntryLine { trial, kind, arms, entry }: &EntryLine) -> String {
    let label = |number: u8| arms.iter().find(|arm| arm.number == number).map(|arm| arm.label.clone());
    let said = entered::line(entry, label, &KindWords::of(*kind));
    trial.as_ref().map_or_else(|| said.clone(), |trial| format!("{trial}, {said}"))
}
