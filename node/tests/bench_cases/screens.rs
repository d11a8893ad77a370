//! What the screens of a season say: replies to entries, and the trial as it is shown after each of them.

use std::collections::BTreeSet;

use serde_json::Value;

use crate::fates::Set;
use crate::said::{Part, parts};

/// Screens in the order in which they were seen.
#[derive(Default)]
pub(crate) struct Screens(Vec<Screen>);

struct Screen {
    /// The day that it is of, which it need not say again.
    days: BTreeSet<String>,
    /// A whole reply; what is shown of one arm or pair, with its heading; or all that stands below a heading.
    texts: Vec<Part>,
    shown: String,
}

impl Screens {
    /// After an entry of that day: its reply, and the trial as shown, with and without details.
    pub(crate) fn entered(&mut self, set: &Set, on: &str, reply: &str) {
        let days = Part::of(on).days;
        let show = |more: &[&str]| set.home.ok(&[&["trial", "show", &set.code], more].concat());
        let (plain, detail) = (show(&[]), show(&["--detail"]));
        let mut add = |texts: Vec<Part>, shown: String| {
            self.0.push(Screen { days: days.clone(), texts, shown });
        };
        add(vec![Part::of(reply)], reply.to_owned());
        add(texts(&plain), plain);
        add(texts(&detail), detail);
    }

    fn says(&self, part: &Part, labels: &[&str]) -> bool {
        let named: Vec<&&str> = labels.iter().filter(|label| part.text.contains(**label)).collect();
        self.0.iter().any(|screen| {
            screen.texts.iter().any(|text| {
                let open =
                    Part { days: part.days.difference(&screen.days).cloned().collect(), ..part.clone() };
                text.says(&open) && named.iter().all(|label| text.text.contains(**label))
            })
        })
    }
}

/// A line that is set in once with all that is set in further, under the heading it stands below.
struct Paragraph {
    heading: String,
    text: String,
}

fn paragraphs(shown: &str) -> Vec<Paragraph> {
    let (mut heading, mut all) = (String::new(), Vec::<Paragraph>::new());
    for line in shown.lines().filter(|line| !line.trim().is_empty()) {
        let inset = line.len() - line.trim_start().len();
        match (inset, all.last_mut()) {
            (0, _) => line.clone_into(&mut heading),
            (3.., Some(paragraph)) => {
                paragraph.text.push(' ');
                paragraph.text.push_str(line.trim());
            }
            _ => all.push(Paragraph { heading: heading.clone(), text: line.trim().to_owned() }),
        }
    }
    all
}

/// What hangs together on a screen: each paragraph, and all of those below one heading, since a case names arms side by side.
fn texts(shown: &str) -> Vec<Part> {
    let mut blocks: Vec<Paragraph> = Vec::new();
    let mut out = Vec::new();
    for Paragraph { heading, text } in paragraphs(shown) {
        out.push(under(&heading, &text));
        match blocks.last_mut().filter(|block| block.heading == heading) {
            Some(block) => block.text = format!("{}\n{text}", block.text),
            None => blocks.push(Paragraph { heading, text }),
        }
    }
    out.extend(blocks.iter().map(|block| under(&block.heading, &block.text)));
    out
}

/// Days and names of the heading hold for what stands below it; its numbers are its own.
fn under(heading: &str, text: &str) -> Part {
    let (head, own) = (Part::of(heading), Part::of(text));
    Part { days: head.days.union(&own.days).cloned().collect(), text: format!("{heading} {text}"), ..own }
}

/// What the program says for a word of the cases, which keep those of their own.
fn said_now(word: &str) -> &str {
    match word {
        "undecided" => "still green, not yet taken",
        "not up yet" => "still sound, not germinated",
        other => other,
    }
}

/// Each clause of the case is said on some screen, in one place of it; arms by their names.
pub(crate) fn said(case: &Value, screens: &Screens) {
    let units = case["units"].as_array().expect("units").iter();
    // A label of one letter may be an article.
    let labels: Vec<&str> =
        units.filter_map(|unit| unit["arm"].as_str()).filter(|label| label.len() > 1).collect();
    for sentence in case["say"].as_array().into_iter().flatten().filter_map(Value::as_str) {
        for part in parts(sentence) {
            let shown =
                || screens.0.iter().map(|screen| screen.shown.as_str()).collect::<Vec<_>>().join("\n");
            assert!(screens.says(&part, &labels), "\"{}\" is not said:\n{}", part.text, shown());
        }
    }
    let last = &screens.0[screens.0.len() - 2].shown.to_lowercase();
    for word in
        case["words"].as_object().into_iter().flat_map(|words| words.values()).filter_map(Value::as_str)
    {
        let word = said_now(word);
        assert!(last.contains(word), "{word} in {last}");
    }
}

#[test]
fn a_clause_has_to_stand_in_one_place() {
    let shown =
        "At lift, 2026-09-14\n  A: 5 of 10 rooted (50 %;\n    24 to 76)\n  B: 3 of 12\nStages\n  A 7 of 9\n";
    let texts = texts(shown);
    let says = |part: &str| texts.iter().any(|text| text.says(&Part::of(part)));
    assert!(says("At lift, 14 Sep: 5 of 10 (50 %), 24 to 76") && says("5 of 10 and 3 of 12"));
    assert!(!says("3 of 12 and 7 of 9") && !says("15 Sep: 3 of 12") && !says("14 Sep: 7 of 9"));
}
