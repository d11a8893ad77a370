//! How the program speaks and what it understands, in figures: a document of them, and the bars that they keep.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use propagule_app::cautions::Hazard;
use propagule_bench::locale::{Dialect, Locale};
use propagule_present::help;
use propagule_present::words::cautions::caution_for;
use propagule_present::words::read_aloud::{grade, longest_stretch, mean_stretch, without_what_is_typed};
use propagule_protocol::vocab::{Dialect as Spoken, Facet, Heard, hear};

use crate::made::{again, compare_document};
use crate::words::season;
use crate::worked::{BEFORE, LINES, NO_LINE};

/// The phrases that a grower may type, with what they mean; `protocol/tests/phrases.rs` holds that they mean it.
const PHRASES: &str = include_str!("../../../protocol/tests/data/phrases.txt");

/// What came of the phrases of a detail.
#[derive(Default)]
struct Understood {
    phrases: usize,
    clear: usize,
    asked: usize,
    refused: Vec<String>,
}

/// The phrases by their details, each as it is heard in every dialect.
fn understood() -> BTreeMap<&'static str, Understood> {
    let mut details = BTreeMap::<_, Understood>::new();
    for line in PHRASES.lines().filter(|line| !line.is_empty() && !line.starts_with('#')) {
        let (name, rest) = line.split_once(": ").expect("a detail");
        let facet = Facet::from_name(name).unwrap_or_else(|| panic!("{name} is a detail"));
        let phrases = rest.split_once(" ? ").or_else(|| rest.split_once(" =")).expect("what it means").0;
        let of_detail = details.entry(name).or_default();
        for phrase in phrases.split(" | ") {
            of_detail.phrases += 1;
            match [Spoken::Us, Spoken::Uk, Spoken::Au].map(|dialect| hear(facet, phrase, dialect)) {
                [Ok(Heard::Understood(_)), Ok(Heard::Understood(_)), Ok(Heard::Understood(_))] => {
                    of_detail.clear += 1;
                }
                [Ok(Heard::Asked { .. }), Ok(Heard::Asked { .. }), Ok(Heard::Asked { .. })] => {
                    of_detail.asked += 1;
                }
                _ => of_detail.refused.push(format!("{name}: {phrase}")),
            }
        }
    }
    details
}

/// A group of texts with the bar that it keeps.
struct Group {
    name: &'static str,
    texts: Vec<String>,
    bar: Bar,
}

/// How hard a text may be.
#[derive(Clone, Copy)]
struct Bar {
    grade: f64,
    mean: f64,
    words: usize,
}

const SCREEN: Bar = Bar { grade: 8.0, mean: 15.0, words: 25 };
const DOCUMENT: Bar = Bar { grade: 10.0, mean: 15.0, words: 30 };

impl Group {
    fn new(name: &'static str, texts: impl IntoIterator<Item = String>, bar: Bar) -> Self {
        let texts = texts.into_iter().map(|text| without_what_is_typed(&text));
        Self { name, texts: texts.filter(|text| !text.trim().is_empty()).collect(), bar }
    }

    /// All of it, each text ended by a stop.
    fn whole(&self) -> String {
        let ended = |text: &String| {
            let text = text.trim();
            if text.ends_with(['.', '?', '!', ':', ';']) { text.to_owned() } else { format!("{text}.") }
        };
        self.texts.iter().map(ended).collect::<Vec<_>>().join(" ")
    }

    fn row(&self) -> String {
        let whole = self.whole();
        format!(
            "| {} | {} | {:.1} ({:.0}) | {:.1} ({:.0}) | {} ({}) |\n",
            self.name,
            self.texts.len(),
            grade(&whole),
            self.bar.grade,
            mean_stretch(&whole),
            self.bar.mean,
            longest_stretch(&whole),
            self.bar.words
        )
    }

    /// What is not as it should be.
    fn faults(&self) -> Vec<String> {
        let whole = self.whole();
        let (grade, mean) = (grade(&whole), mean_stretch(&whole));
        let mut faults = Vec::new();
        if grade > self.bar.grade {
            faults.push(format!("{} reads at grade {grade:.1}", self.name));
        }
        if mean > self.bar.mean {
            faults.push(format!("{} has {mean:.1} words between stops", self.name));
        }
        let long = self.texts.iter().filter(|text| longest_stretch(text) > self.bar.words);
        faults.extend(long.map(|text| format!("{}: {} words in {text}", self.name, longest_stretch(text))));
        faults
    }
}

fn workspace(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(path)
}

/// Every sentence of the catalogue.
fn sentences() -> Vec<String> {
    fn gather(value: &serde_json::Value, out: &mut Vec<String>) {
        match value {
            serde_json::Value::String(text) => out.push(text.clone()),
            serde_json::Value::Array(items) => items.iter().for_each(|item| gather(item, out)),
            serde_json::Value::Object(fields) => fields.values().for_each(|item| gather(item, out)),
            _ => {}
        }
    }
    let text = fs::read_to_string(workspace("node/docs/words.json")).expect("the catalogue");
    let catalogue: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let mut out = Vec::new();
    gather(&catalogue["sentences"], &mut out);
    out
}

/// What help says in sentences; lists of what can be typed are none.
pub(crate) fn helped() -> Vec<String> {
    let of = |command: &help::CommandHelp| {
        let options = command.options.iter().map(|(_, words)| *words);
        [command.first, command.more].into_iter().chain(options).map(str::to_owned).collect::<Vec<_>>()
    };
    help::all().flat_map(of).collect()
}

/// What is said when something is wrong, and what to do then; a name or number stands for what is filled in.
pub(crate) fn faults() -> Vec<String> {
    let filled = |text: &str| {
        let mut out = String::new();
        for (n, part) in text.split(['{', '}']).enumerate() {
            out += if n % 2 == 0 { part } else { "7" };
        }
        out
    };
    propagule_present::fault::catalogue()
        .flat_map(|words| std::iter::once(words.what).chain(words.hints.iter().copied()))
        .map(filled)
        .collect()
}

/// The prose of a document: no session, no heading, no table, links by their words.
pub(crate) fn prose(path: &str) -> Vec<String> {
    let text = fs::read_to_string(workspace(path)).expect("a document");
    let outside = text.split("```").step_by(2).collect::<Vec<_>>().join("\n\n");
    let is_read = |block: &&str| !block.trim_start().starts_with(['#', '|', '!']) && !block.trim().is_empty();
    let items = |block: &str| -> Vec<String> {
        let joined = block.replace("\n- ", "\u{1}").replace('\n', " ");
        joined.split('\u{1}').map(|item| without_links(item.trim_start_matches("- "))).collect()
    };
    outside.split("\n\n").filter(is_read).flat_map(items).collect()
}

fn without_links(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, behind)) = rest.split_once("](") {
        out += before;
        rest = behind.split_once(')').map_or("", |(_, behind)| behind);
    }
    (out + rest).replace(['[', '*'], "")
}

fn cautions() -> Vec<String> {
    Hazard::ALL.into_iter().map(|hazard| caution_for(hazard, Locale::of(Dialect::Us))).collect()
}

/// What the screens of a season say in sentences: lines that end with a stop.
fn screens() -> Vec<String> {
    let all = season().into_iter().map(|(_, screen)| screen).collect::<Vec<_>>().join("\n");
    let is_sentence = |line: &&str| line.trim_end().ends_with(['.', '?']);
    let mut lines: Vec<String> = all.lines().filter(is_sentence).map(|line| line.trim().to_owned()).collect();
    lines.sort();
    lines.dedup();
    lines
}

fn groups() -> Vec<Group> {
    vec![
        Group::new("sentences of the catalogue", sentences(), SCREEN),
        Group::new("screens of a season", screens(), SCREEN),
        Group::new("help of commands and options", helped(), SCREEN),
        Group::new("errors and what to do then", faults(), SCREEN),
        Group::new("cautions", cautions(), SCREEN),
        Group::new("README", prose("README.md"), DOCUMENT),
        Group::new("guide", prose("node/docs/guide.md"), DOCUMENT),
        Group::new("two homes", prose("node/docs/two-homes.md"), DOCUMENT),
    ]
}

/// Keys that a line takes, Enter among them.
fn keystrokes(line: &str) -> usize {
    line.chars().count() + 1
}

fn document() -> String {
    let mut text = format!(
        "# How it reads\n\nMade by a test; do not edit. After a change: {}\n\n## What is understood\n\n\
         Phrases that growers type for a detail of a method, each heard in three dialects.\n\n\
         | detail | phrases | clear | asked about | refused |\n| --- | --- | --- | --- | --- |\n",
        again("language")
    );
    let details = understood();
    for (name, of) in &details {
        let _ = writeln!(
            text,
            "| {name} | {} | {} | {} | {} |",
            of.phrases,
            of.clear,
            of.asked,
            of.refused.len()
        );
    }
    let sum = |count: fn(&Understood) -> usize| details.values().map(count).sum::<usize>();
    let _ = writeln!(
        text,
        "| **all** | {} | {} | {} | {} |",
        sum(|of| of.phrases),
        sum(|of| of.clear),
        sum(|of| of.asked),
        sum(|of| of.refused.len())
    );
    text += "\n## How hard it is to read\n\n\
             Grade of Flesch and Kincaid (1975), words between stops on average and at most; in brackets what they may be. \
             Names, figures and what is typed are left out.\n\n\
             | texts | number | grade | words between stops | most words |\n| --- | --- | --- | --- | --- |\n";
    for group in groups() {
        text += &group.row();
    }
    text += "\n## Keystrokes of a year\n\nThe same lines before 0.2 and now, Enter among the keys.\n\n\
             | line | before | now |\n| --- | --- | --- |\n";
    let mut sums = [0, 0];
    for (before, now) in BEFORE.lines().zip(LINES.lines()) {
        let command =
            now.split(' ').skip(1).take_while(|word| word.starts_with(|c: char| c.is_ascii_lowercase()));
        let words = command.take(2).collect::<Vec<_>>().join(" ");
        if before == NO_LINE {
            let _ = writeln!(text, "| `{words}` | \u{2013} | {} |", keystrokes(now));
            continue;
        }
        sums = [sums[0] + keystrokes(before), sums[1] + keystrokes(now)];
        let _ = writeln!(text, "| `{words}` | {} | {} |", keystrokes(before), keystrokes(now));
    }
    let _ = writeln!(text, "| **all that could be typed before** | {} | {} |", sums[0], sums[1]);
    text
}

#[test]
fn the_document_has_the_figures_of_this_program() {
    compare_document("language.md", &document(), "language");
}

#[test]
fn no_phrase_of_the_list_is_refused() {
    let refused: Vec<String> = understood().into_values().flat_map(|of| of.refused).collect();
    assert!(refused.is_empty(), "{refused:#?}");
}

#[test]
fn every_group_of_texts_is_easy_to_read() {
    let wrong: Vec<String> = groups().iter().flat_map(Group::faults).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Fewer keys for the same year.
#[test]
fn a_year_takes_fewer_keys_than_before() {
    let both = || BEFORE.lines().zip(LINES.lines()).filter(|(before, _)| *before != NO_LINE);
    let before: usize = both().map(|(line, _)| keystrokes(line)).sum();
    let now: usize = both().map(|(_, line)| keystrokes(line)).sum();
    assert!(now < before, "{now} keys now, {before} before");
}
