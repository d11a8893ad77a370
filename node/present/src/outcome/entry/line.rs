//! An entry in one line.

use crate::kind::KindWords;
use crate::words::recorded;
use propagule_app::outcome::undo::EntryLine;
use propagule_bench::kind::Kind;

use crate::outcome::history;

/// `M8, 2026-06-22  check: P1 11 alive`; without a code where it is about a spot.
pub(in crate::outcome) fn line(EntryLine { of, entry }: &EntryLine) -> String {
    match of {
        Some(of) => format!("{}, {}", of.trial, history::entry(of, entry)),
        None => recorded::Words { kind: &KindWords::of(Kind::Cutting), label: |_| None }.entry(entry),
    }
}
