//! Charts are what the page and the commands drew before charts were values: byte for byte, against pictures that were
//! captured from the functions of that time.

mod climate;
mod over;
mod rates;

use propagule_present::chart::{Behind, Chart, Dots, Funnel, Mark, Outcomes, Pieces, Share, Step};
use propagule_present::document::Document;
use propagule_present::{html, text};

/// The captured picture of that name.
fn captured<'a>(file: &'a str, name: &str) -> &'a str {
    let head = format!("=== {name}\n");
    let rest = file.split_once(&head).unwrap_or_else(|| panic!("{name} was captured")).1;
    rest.split_once("\n=== ").map_or_else(|| rest.trim_end_matches('\n'), |(picture, _)| picture)
}

#[track_caller]
fn check_page(file: &str, name: &str, chart: impl Into<Chart>) {
    let drawn = html::render(&Document::new().chart(chart)).into_string();
    assert_eq!(drawn, captured(file, name).trim_end_matches('\n'), "{name}");
}

#[track_caller]
fn check_text(file: &str, name: &str, said: &str) {
    assert_eq!(said.trim_end_matches('\n'), captured(file, name).trim_end_matches('\n'), "{name}");
}

fn strings<const N: usize>(words: [&str; N]) -> [String; N] {
    words.map(str::to_owned)
}

fn dots(counts: [u32; 7]) -> Dots {
    let states = [
        (Mark::Left, "left as finished"),
        (Mark::Below, "left below grade"),
        (Mark::With, "rooted"),
        (Mark::Waiting, "alive, not finished yet"),
        (Mark::NotKnown, "not known"),
        (Mark::Dead, "dead"),
        (Mark::Lost, "lost"),
    ];
    let states = states.into_iter().zip(counts).filter(|(_, count)| *count > 0);
    let states: Vec<Pieces> =
        states.map(|((mark, words), count)| Pieces { mark, words: words.to_owned(), count }).collect();
    Dots { said: Dots::counts(&states), states, pieces: "pieces".to_owned(), state: "State".to_owned() }
}

#[test]
fn a_mark_for_each_piece() {
    let file = include_str!("dots.txt");
    let (each, many) = (dots([3, 1, 9, 4, 2, 5, 1]), dots([0, 0, 700, 1, 0, 0, 1200]));
    let said = |dots: &Dots, width| text::render(&Document::new().chart(dots.clone()), width);
    check_text(file, "each in text", &said(&each, 60));
    check_text(file, "many in text", &said(&many, 100));
}

fn funnel(steps: &[(&str, u32, u32)]) -> Funnel {
    let steps =
        steps.iter().map(|(words, count, of)| Step { words: (*words).to_owned(), count: *count, of: *of });
    Funnel {
        steps: steps.collect(),
        caption: "Stages, each of all that were put in".into(),
        heads: strings(["Stage", "Count"]),
    }
}

#[test]
fn how_many_came_how_far() {
    let file = include_str!("funnel.txt");
    let steps = [
        ("dip put in", 54, 54),
        ("alive at lift", 34, 54),
        ("rooted in spring <1>", 4, 54),
        ("sold", 2, 4),
        ("none", 0, 0),
    ];
    check_page(file, "steps", funnel(&steps));
    check_page(file, "nothing", funnel(&[]));
    check_text(file, "steps in text", &text::render(&Document::new().chart(funnel(&steps)), 72));
    let long = [
        ("put in", 24, 24),
        ("rooted in spring after the survivors were moved to a cold frame in autumn", 3, 24),
    ];
    check_text(file, "long in text", &text::render(&Document::new().chart(funnel(&long)), 60));
}

#[test]
fn one_share_as_a_bar() {
    let file = include_str!("share.txt");
    check_page(file, "none", Share { share: 0.0 });
    check_page(file, "third", Share { share: 1.0 / 3.0 });
    check_page(file, "beyond", Share { share: 1.5 });
}

#[test]
fn equally_likely_outcomes() {
    let file = include_str!("outcomes.txt");
    let check = |name: &str, pieces: u32, want: u32, outcomes: &[u32]| {
        let reached = outcomes.iter().filter(|number| **number >= want).count();
        let chart = Outcomes {
            said: format!(
                "Of {} equally likely outcomes of {pieces} pieces, {reached} bring {want} successes or more",
                outcomes.len()
            ),
            outcomes: outcomes.to_vec(),
            want,
            counted: "successes".to_owned(),
            groups: strings(["too few", "enough"]),
            head: "Outcomes".to_owned(),
            behind: Behind::new("Equally likely outcomes"),
        };
        let drawn = Chart::from(chart).svg().into_string();
        assert_eq!(drawn, captured(file, name).trim_end_matches('\n'), "{name}");
    };
    check("few", 12, 2, &[0, 1, 2, 2, 5]);
    check("twenty", 57, 5, &[0, 1, 3, 4, 5, 5, 6, 7, 8, 9, 10, 11, 13, 14, 16, 18, 21, 25, 31, 44]);
    check("many", 2_000, 900, &[100, 900, 901, 1_500]);
    check("nothing", 1, 0, &[]);
}
