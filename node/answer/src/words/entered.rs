//! An entry in one line, as the history tells it.

use super::entry;
use super::kind::KindWords;
use propagule_bench::{Entry, Fate, Mark, Tally, What};

/// An entry in one line; `label` says what the arm of a number is called.
pub fn line(entry: &Entry, label: impl Fn(u8) -> Option<String>, words: &KindWords) -> String {
    let label = |arm: u8| label(arm).unwrap_or_else(|| "?".to_owned());
    let what = what(&entry.what, label, words);
    let note = entry.note.as_deref().map(|note| format!(" \u{2013} {note}")).unwrap_or_default();
    let files = if entry.files.is_empty() { String::new() } else { format!(" [{}]", entry.files.join(", ")) };
    format!("{}  {what}{note}{files}", entry.on)
}

fn what(of: &What, label: impl Fn(u8) -> String, words: &KindWords) -> String {
    let labels = |arms: &[u8]| arms.iter().map(|arm| label(*arm)).collect::<Vec<_>>().join(", ");
    match of {
        What::Looked { .. } => "looked, no counts".to_owned(),
        What::Counted { tallies, is_blind, .. } => {
            let places: Vec<String> = tallies.iter().map(|of| tally(of, &label, words)).collect();
            let blind = if *is_blind { " (scored blind)" } else { "" };
            format!("{}{blind}: {}", entry::what(of, words), places.join("; "))
        }
        What::Moved { arms, spot, .. } => {
            format!("moved {} to {}", labels(arms), spot.as_deref().unwrap_or("another spot"))
        }
        What::Left { arm, replicate, pieces, how, at_grade, .. } => {
            let place = replicate.clone().unwrap_or_else(|| label(*arm));
            let grade = if *at_grade { "at grade" } else { "below grade" };
            format!("{place}: {pieces} {how}, {grade}")
        }
        What::Stood { arms, spot, .. } => format!("{} stood on {spot}", labels(arms)),
        What::Suckers { removed, .. } => {
            let removed: Vec<String> =
                removed.iter().map(|(arm, n)| format!("{} {n}", label(*arm))).collect();
            format!("suckers looked for{}{}", if removed.is_empty() { "" } else { ": " }, removed.join(", "))
        }
        What::Closed { because, rest, .. } => closed(because.as_deref(), *rest),
        What::WrapCut { .. } => "wrap cut".to_owned(),
        What::Noted { .. } => "note".to_owned(),
        What::Cared { spot, care, .. } => format!("{spot}: {care}"),
    }
}

/// How a trial was closed.
pub fn closed(because: Option<&str>, rest: Option<Fate>) -> String {
    let why = because.map(|why| format!(" ({})", why.replace('-', " "))).unwrap_or_default();
    let rest = match rest {
        None => "",
        Some(Fate::Dead) => "; those that were left: dead",
        Some(Fate::Lost) => "; those that were left: lost",
        Some(Fate::NotKnown) => "; those that were left: not known",
    };
    format!("closed{why}{rest}")
}

fn tally(of: &Tally, label: impl Fn(u8) -> String, words: &KindWords) -> String {
    let place = of.replicate.clone().unwrap_or_else(|| label(of.arm));
    let counts = of.counts().into_iter();
    let counts =
        counts.filter_map(|(word, count)| count.map(|count| format!("{count} {}", words.state(word))));
    let marks = of.marks.iter().map(|(name, mark)| {
        let name = name.replace('_', " ");
        match mark {
            Mark::Count(count) => format!("{count} {name}"),
            Mark::None => format!("none {name}"),
            Mark::Some => format!("some {name}"),
            Mark::Most => format!("most {name}"),
        }
    });
    let list = |numbers: &[u16]| numbers.iter().map(u16::to_string).collect::<Vec<_>>().join("/");
    let roots = (!of.root_counts.is_empty()).then(|| format!("roots {}", list(&of.root_counts)));
    let longest = of.longest_root.map(|mm| format!("longest root {mm} mm"));
    let grades = (!of.grades.is_empty()).then(|| {
        format!("grades {} ({})", list(&of.grades), of.grade_scale.as_deref().unwrap_or("own scale"))
    });
    let cause = of.cause.as_ref().map(|cause| format!("cause {cause}"));
    let all: Vec<String> =
        counts.chain(marks).chain(roots).chain(longest).chain(grades).chain(cause).collect();
    format!("{place} {}", all.join(", "))
}
