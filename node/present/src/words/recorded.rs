//! What was recorded, an entry in one line.

use super::sentences::when;
use crate::kind::KindWords;
use crate::kind::units;
use propagule_bench::{Entry, Fate, Mark, Tally, What};

/// By what an entry is worded.
#[derive(Clone, Copy, Debug)]
pub struct Words<'a, L> {
    /// The words of the trial's kind.
    pub kind: &'a KindWords,
    /// The label of the treatment of a number.
    pub label: L,
}

impl<'a, L: Fn(u8) -> Option<&'a str>> Words<'a, L> {
    /// An entry in one line.
    pub fn entry(&self, entry: &Entry) -> String {
        let note = entry.note.as_deref().map(|note| format!(" \u{2013} {note}")).unwrap_or_default();
        let files =
            if entry.files.is_empty() { String::new() } else { format!(" [{}]", entry.files.join(", ")) };
        format!("{}  {}{note}{files}", when(self.kind, &entry.on), self.what(&entry.what))
    }

    fn what(&self, what: &What) -> String {
        match what {
            What::Looked { .. } => "checked, no change".to_owned(),
            What::Counted { stage, tallies, is_blind, .. } => {
                let places: Vec<String> = tallies.iter().map(|tally| self.tally(tally)).collect();
                let blind = if *is_blind { " (scored blind)" } else { "" };
                let counted = stage.map_or("check", |stage| self.kind.name(stage));
                format!("{counted}{blind}: {}", places.join("; "))
            }
            What::Moved { arms, spot, .. } => {
                format!("moved {} to {}", self.arms(arms), spot.as_deref().unwrap_or("another bench"))
            }
            What::Left { arm, replicate, pieces, how, at_grade, .. } => {
                let place = replicate.as_deref().unwrap_or_else(|| self.arm(*arm));
                let grade = if *at_grade { "finished" } else { "before they were finished" };
                format!("{place}: {pieces} {how}, {grade}")
            }
            What::Stood { arms, spot, .. } => format!("{} on {spot}", self.arms(arms)),
            What::Suckers { removed, .. } => {
                let removed: Vec<String> =
                    removed.iter().map(|(arm, n)| format!("{} {n}", self.arm(*arm))).collect();
                let sign = if removed.is_empty() { "" } else { ": " };
                format!("rootstock suckers removed{sign}{}", removed.join(", "))
            }
            What::Closed { because, rest, .. } => closed(because.as_deref(), *rest),
            What::WrapCut { .. } => self.kind.trade("tape cut").to_owned(),
            What::Noted { .. } => "note".to_owned(),
            What::Cared { spot, care, .. } => format!("{spot}: {care}"),
        }
    }

    fn arm(&self, number: u8) -> &'a str {
        (self.label)(number).unwrap_or("?")
    }

    fn arms(&self, numbers: &[u8]) -> String {
        numbers.iter().map(|arm| self.arm(*arm)).collect::<Vec<_>>().join(", ")
    }

    fn tally(&self, tally: &Tally) -> String {
        let place = tally.replicate.as_deref().or_else(|| (self.label)(tally.arm)).unwrap_or_default();
        // Nothing is said of those without roots where there are none.
        let counts = tally.counts().into_iter().filter(|(word, count)| *word != "green" || *count != Some(0));
        let counts = counts
            .filter_map(|(word, count)| count.map(|count| format!("{count} {}", self.kind.state(word))));
        let marks = tally.marks.iter().map(|(name, mark)| self::mark(&self.kind.mark(name), *mark));
        let list = |numbers: &[u16]| numbers.iter().map(u16::to_string).collect::<Vec<_>>().join("/");
        let roots = (!tally.root_counts.is_empty()).then(|| format!("roots {}", list(&tally.root_counts)));
        let longest = tally.longest_root.map(|mm| format!("longest root {}", units::length(mm)));
        let grades = (!tally.grades.is_empty()).then(|| {
            format!(
                "grades {} ({})",
                list(&tally.grades),
                tally.grade_scale.as_deref().unwrap_or("own scale")
            )
        });
        let cause = tally.cause.as_ref().map(|cause| format!("cause {cause}"));
        let all: Vec<String> =
            counts.chain(marks).chain(roots).chain(longest).chain(grades).chain(cause).collect();
        format!("{place} {}", all.join(", "))
    }
}

fn mark(name: &str, mark: Mark) -> String {
    match mark {
        Mark::Count(count) => format!("{count} {name}"),
        Mark::None => format!("none {name}"),
        Mark::Some => format!("some {name}"),
        Mark::Most => format!("most {name}"),
    }
}

/// Why a trial was closed, and what became of the rest.
pub fn closed(because: Option<&str>, rest: Option<Fate>) -> String {
    let why = because.map(|why| format!(" ({})", why.replace('-', " "))).unwrap_or_default();
    let rest = match rest {
        None => "",
        Some(Fate::Dead) => "; the rest: dead",
        Some(Fate::Lost) => "; the rest: lost",
        Some(Fate::NotKnown) => "; the rest: not seen",
    };
    format!("closed{why}{rest}")
}

/// How a trial was closed, and when; none of an entry that closes nothing.
pub fn closed_line(entry: &Entry, words: &KindWords) -> Option<String> {
    let What::Closed { because, rest, .. } = &entry.what else { return None };
    Some(format!("{}, {}", closed(because.as_deref(), *rest), when(words, &entry.on)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use propagule_bench::dates::When;
    use propagule_bench::kind::Kind;

    fn said(what: What) -> String {
        let entry = Entry {
            on: When::day("2026-06-20".parse().expect("a day")),
            what,
            note: None,
            files: Vec::new(),
            once: None,
        };
        let label = |arm| (arm == 1).then_some("dip");
        Words { kind: &KindWords::of(Kind::Cutting), label }.entry(&entry)
    }

    #[test]
    fn an_entry_names_its_places_and_only_what_was_counted() {
        let tally = Tally { arm: 1, alive: Some(3), dead: Some(0), ..Tally::default() };
        let trial = "M1".to_owned();
        let counted = What::Counted {
            trial: trial.clone(),
            stage: None,
            tallies: vec![tally],
            is_blind: true,
            law: propagule_bench::Law::default(),
        };
        assert_eq!(said(counted), "Jun 20, 2026  check (scored blind): dip 3 alive, 0 dead");
        let none = What::Suckers { trial: trial.clone(), removed: Vec::new() };
        assert_eq!(said(none), "Jun 20, 2026  rootstock suckers removed");
        let some = What::Suckers { trial, removed: vec![(1, 2), (9, 1)] };
        assert_eq!(said(some), "Jun 20, 2026  rootstock suckers removed: dip 2, ? 1");
    }

    #[test]
    fn a_closing_says_why_and_what_became_of_the_rest() {
        assert_eq!(closed(None, None), "closed");
        assert_eq!(closed(Some("sold-out"), Some(Fate::NotKnown)), "closed (sold out); the rest: not seen");
    }
}
