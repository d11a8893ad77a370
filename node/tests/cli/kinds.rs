//! The life of a lot in the words of its kind: every screen of one trial per kind, read for the words of the others.

use crate::home::TestHome;

/// A trial of a kind with what is entered for it, and the words of other kinds that no screen of it may hold.
struct Life {
    kind: &'static str,
    with: &'static str,
    stages: [&'static [&'static str]; 4],
    own: &'static [&'static str],
    foreign: &'static [&'static str],
}

/// Words that only some kinds use; each stands for all words that begin with it.
const LIVES: [Life; 6] = [
    Life {
        kind: "stem cutting",
        with: "wood=softwood",
        stages: [
            &["lift", "A:rooted=4,green=1,dead=1", "B:rooted=2,green=4"],
            &["season", "A:rooted=4,established=3,green=1", "B:rooted=3,established=2,green=2,dead=1"],
            &["spring", "A:rooted=4,dead=1", "B:rooted=3,dead=2"],
            &["final", "A:finished=3,alive=4", "B:finished=3,alive=3"],
        ],
        own: &["stuck 2026", "At lift", "At weaning", "4 of 6 rooted", "1 green, waiting", "3 established"],
        foreign: &[
            "taken",
            "take",
            "graft",
            "bud",
            "undecided",
            "germinat",
            "sown",
            "sever",
            "layer",
            "divid",
            "re-rooted",
            "union",
            "prick",
        ],
    },
    Life {
        kind: "graft",
        with: "form=whip-and-tongue",
        stages: [
            &["take", "A:taken=4,green=1,dead=1", "B:taken=2,green=4"],
            &["season", "A:taken=4,established=3,green=1", "B:taken=3,green=2,dead=1"],
            &["spring", "A:taken=4,dead=1", "B:taken=3,dead=2"],
            &["final", "A:finished=3,alive=4", "B:finished=3,alive=3"],
        ],
        own: &[
            "grafted 2026",
            "At the take count",
            "At season end",
            "4 of 6 taken",
            "1 undecided",
            "4 of 6 growing on",
            "4 of 6 sound",
            "Suckers not looked for yet",
        ],
        foreign: &[
            "rooted", "roots", "lift", "stuck", "green", "germinat", "sown", "sever", "budded", "pushed",
            "layer", "divid", "weaning", "prick",
        ],
    },
    Life {
        kind: "bud",
        with: "form=T-bud",
        stages: [
            &["take", "A:taken=4,green=1,dead=1", "B:taken=2,green=4"],
            &["season", "A:taken=4,green=1", "B:taken=3,green=2,dead=1"],
            &["spring", "A:taken=4,dead=1", "B:taken=3,dead=2"],
            &["final", "A:finished=3,alive=4", "B:finished=3,alive=3"],
        ],
        own: &["budded 2026", "At the take count", "4 of 6 taken", "4 of 6 pushed", "Suckers"],
        foreign: &[
            "rooted", "roots", "lift", "stuck", "green", "germinat", "sown", "sever", "grafted", "union",
            "layer", "divid", "weaning", "prick",
        ],
    },
    Life {
        kind: "seed",
        with: "stratification=cold",
        stages: [
            &["germination", "A:germinated=4,green=2", "B:germinated=2,green=4"],
            &["season", "A:germinated=4,established=3,green=2", "B:germinated=3,green=2,dead=1"],
            &["spring", "A:germinated=4,dead=2", "B:germinated=3,dead=2"],
            &["final", "A:finished=3,alive=4", "B:finished=3,alive=3"],
        ],
        own: &[
            "sown 2026",
            "At the germination count",
            "At pricking out",
            "4 of 6 germinated",
            "2 not up yet",
            "3 pricked out",
        ],
        foreign: &[
            "rooted",
            "roots",
            "lift",
            "stuck",
            "green",
            "taken",
            "take",
            "undecided",
            "graft",
            "bud",
            "sever",
            "layer",
            "divid",
            "weaning",
            "union",
            "sucker",
        ],
    },
    Life {
        kind: "layer",
        with: "medium=bark",
        stages: [
            &["severed", "A:rooted=4,green=1,dead=1", "B:rooted=2,green=4"],
            &["season", "A:rooted=4,green=1", "B:rooted=3,green=2,dead=1"],
            &["spring", "A:rooted=4,dead=1", "B:rooted=3,dead=2"],
            &["final", "A:finished=3,alive=4", "B:finished=3,alive=3"],
        ],
        own: &["layered 2026", "At severing", "At weaning", "4 of 6 rooted", "1 attached and green"],
        foreign: &[
            "taken",
            "take",
            "graft",
            "bud",
            "undecided",
            "germinat",
            "sown",
            "lift",
            "stuck",
            "cutting",
            "divid",
            "re-rooted",
            "union",
            "prick",
            "sucker",
        ],
    },
    Life {
        kind: "division",
        with: "medium=bark",
        stages: [
            &["first", "A:rooted=4,green=1,dead=1", "B:rooted=2,green=4"],
            &["season", "A:rooted=4,established=3,green=1", "B:rooted=3,green=2,dead=1"],
            &["spring", "A:rooted=4,dead=1", "B:rooted=3,dead=2"],
            &["final", "A:finished=3,alive=4", "B:finished=3,alive=3"],
        ],
        own: &["divided 2026", "At the first count", "4 of 6 re-rooted", "1 green, waiting", "3 established"],
        foreign: &[
            "rooted",
            "taken",
            "take",
            "graft",
            "bud",
            "undecided",
            "germinat",
            "sown",
            "lift",
            "stuck",
            "cutting",
            "layer",
            "sever",
            "union",
            "prick",
            "sucker",
        ],
    },
];

const DAYS: [&str; 4] = ["2026-08-29", "2026-10-30", "2027-04-20", "2027-10-15"];

/// Words of a text, with what is joined by a hyphen kept together.
fn words(text: &str) -> impl Iterator<Item = String> {
    let parts = text.split(|c: char| !(c.is_alphanumeric() || c == '-'));
    parts.filter(|word| !word.is_empty()).map(str::to_lowercase)
}

fn foreign<'a>(text: &str, life: &Life) -> Option<(&'a str, String)> {
    words(text).find_map(|word| {
        life.foreign
            .iter()
            .find(|foreign| word.starts_with(**foreign))
            .map(|foreign| (*foreign, word.clone()))
    })
}

/// The page without its style, script and addresses.
fn visible(page: &str) -> String {
    let body = page.split_once("</style>").map_or(page, |(_, body)| body);
    let mut text = String::new();
    let mut is_tag = false;
    for c in body.chars() {
        match c {
            '<' => is_tag = true,
            '>' => {
                is_tag = false;
                text.push(' ');
            }
            c if !is_tag => text.push(c),
            _ => {}
        }
    }
    text
}

fn lived(life: &Life) -> (TestHome, Vec<(String, String)>) {
    let home = TestHome::new();
    home.at("2028-01-10T12:00:00Z");
    let with = format!("kind={}; {}", life.kind, life.with);
    let mut screens: Vec<(String, String)> = Vec::new();
    home.ok(&[
        "trial",
        "new",
        "K1",
        "Lumetta rosea",
        "--on",
        "2026-06-06",
        "--with",
        &with,
        "--question",
        "Which is better?",
        "--arm",
        "A: cultivar=one; pieces=6",
        "--arm",
        "B: cultivar=two; pieces=6",
    ]);
    let mut keep = |name: &str, args: &[&str], home: &TestHome| {
        screens.push((name.to_owned(), home.ok(args)));
    };
    keep("planned", &["trial", "show", "K1"], &home);
    keep("put in", &["stick", "K1", "--on", "2026-06-06"], &home);
    keep("check", &["check", "K1", "--on", "2026-07-01", "A:alive=6"], &home);
    keep("early", &["trial", "show", "K1", "--detail"], &home);
    for (counts, day) in life.stages.iter().zip(DAYS) {
        let typed = [&[counts[0], "K1", "--on", day][..], &counts[1..]].concat();
        keep(counts[0], &typed, &home);
        keep("show", &["trial", "show", "K1", "--detail"], &home);
    }
    keep("list", &["trial", "list"], &home);
    keep("history", &["trial", "history", "K1"], &home);
    for paper in ["labels", "sheet", "report"] {
        let file = home.path().join(format!("{paper}.html"));
        let file = file.to_str().expect("a path");
        home.ok(&["trial", paper, "K1", "--out", file]);
        screens.push((paper.to_owned(), visible(&std::fs::read_to_string(file).expect("a page"))));
    }
    (home, screens)
}

#[test]
fn no_screen_of_a_kind_uses_the_word_of_another() {
    for life in &LIVES {
        let (_home, screens) = lived(life);
        for (name, text) in &screens {
            // What is the same for all kinds may name a facet or its words.
            let text = text.replace("flower_buds", "").replace("rootstock", "").replace(life.with, "");
            assert_eq!(foreign(&text, life), None, "{} of {}:\n{text}", name, life.kind);
        }
        let all: String = screens.iter().map(|(_, text)| text.as_str()).collect();
        for word in life.own {
            assert!(all.contains(word), "{word} of {}:\n{all}", life.kind);
        }
    }
}
