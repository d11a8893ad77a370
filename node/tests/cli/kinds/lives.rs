//! A trial of each kind with what is entered for it, and the words of other kinds that no screen of it may hold. The tests
//! of the page read this file too.

/// A trial of a kind with what is entered for it, and the words of other kinds that no screen of it may hold.
pub(crate) struct Life {
    pub(crate) kind: &'static str,
    pub(crate) with: &'static str,
    pub(crate) stages: [&'static [&'static str]; 4],
    pub(crate) own: &'static [&'static str],
    pub(crate) foreign: &'static [&'static str],
}

/// Words that only some kinds use; each stands for all words that begin with it.
pub(crate) const LIVES: [Life; 6] = [
    Life {
        kind: "stem cutting",
        with: "wood=softwood",
        stages: [
            &["lift", "A:rooted=4,green=1,dead=1", "B:rooted=2,green=4"],
            &["season", "A:rooted=4,established=3,green=1", "B:rooted=3,established=2,green=2,dead=1"],
            &["spring", "A:rooted=4,dead=1", "B:rooted=3,dead=2"],
            &["final", "A:finished=3,alive=4", "B:finished=3,alive=3"],
        ],
        own: &[
            "stuck 6 Jun 2026",
            "At the lift count",
            "At the weaning count",
            "4 of 6 rooted",
            "1 still green, not rooted",
            "3 established",
        ],
        foreign: &[
            "taken",
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
            "grafted 6 Jun 2026",
            "At the take count",
            "At the season-end count",
            "4 of 6 took",
            "1 still green, not yet taken",
            "4 of 6 growing on",
            "4 of 6 sound",
            "Rootstock suckers: not checked yet",
        ],
        foreign: &[
            "rooted", "lift", "stuck", "germinat", "sown", "sever", "budded", "pushed", "layer", "divid",
            "weaning", "prick",
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
        own: &[
            "budded 6 Jun 2026",
            "At the bud take count",
            "4 of 6 took",
            "4 of 6 pushed",
            "Rootstock suckers",
        ],
        foreign: &[
            "rooted", "lift", "stuck", "germinat", "sown", "sever", "grafted", "union", "layer", "divid",
            "weaning", "prick",
        ],
    },
    Life {
        kind: "seed",
        with: "stratification=warm 8 + cold 12 weeks",
        stages: [
            &["germination", "A:germinated=4,green=2", "B:germinated=2,green=4"],
            &["season", "A:germinated=4,established=3,green=2", "B:germinated=3,green=2,dead=1"],
            &["spring", "A:germinated=4,dead=2", "B:germinated=3,dead=2"],
            &["final", "A:finished=3,alive=4", "B:finished=3,alive=3"],
        ],
        own: &[
            "sown 6 Jun 2026",
            "At the germination count",
            "At the count at pricking out",
            "4 of 6 germinated",
            "2 still sound, not germinated",
            "3 pricked out",
        ],
        foreign: &[
            "rooted",
            "roots",
            "lift",
            "stuck",
            "green",
            "taken",
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
        own: &[
            "layered 6 Jun 2026",
            "At the lift count",
            "At the weaning count",
            "4 of 6 rooted",
            "1 still alive, not rooted",
        ],
        foreign: &[
            "taken",
            "graft",
            "bud",
            "undecided",
            "germinat",
            "sown",
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
        own: &[
            "planted 6 Jun 2026",
            "At the first count",
            "4 of 6 grew",
            "1 still alive, not growing",
            "3 established",
        ],
        foreign: &[
            "rooted",
            "taken",
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

/// Days of the four counts.
pub(crate) const DAYS: [&str; 4] = ["2026-08-29", "2026-10-30", "2027-04-20", "2027-10-15"];

/// Words of a text, with what is joined by a hyphen kept together.
fn words(text: &str) -> impl Iterator<Item = String> {
    let parts = text.split(|c: char| !(c.is_alphanumeric() || c == '-'));
    parts.filter(|word| !word.is_empty()).map(str::to_lowercase)
}

/// Each line of a text that holds a word of another kind, with that word. What is the same for all kinds may name a facet or
/// its words.
pub(crate) fn foreign<'a>(
    text: &'a str,
    life: &'a Life,
) -> impl Iterator<Item = (&'static str, String)> + 'a {
    text.lines().filter_map(|line| {
        let said = line
            .replace("flower_buds", "")
            .replace("rootstock", "")
            .replace(life.with, "")
            .replace("taken back", "");
        let found = words(&said)
            .find_map(|word| life.foreign.iter().find(|foreign| word.starts_with(**foreign)).copied());
        found.map(|word| (word, line.trim().to_owned()))
    })
}

/// What a page shows or says, without its style, script and addresses: a line for each of its parts.
pub(crate) fn visible(page: &str) -> String {
    let body = page.split_once("</style>").map_or(page, |(_, body)| body);
    let mut text = String::new();
    for part in body.split('<').skip(1) {
        let (tag, shown) = part.split_once('>').unwrap_or((part, ""));
        for said in ["aria-label=\"", "placeholder=\"", "title=\""] {
            let label = tag.split_once(said).and_then(|(_, rest)| rest.split_once('"'));
            text.extend(label.map(|(label, _)| format!("{label}\n")));
        }
        let is_end = ["/p", "/t", "/li", "/h", "/d", "/label", "/option", "/summary", "/caption", "br"];
        text.push(if is_end.iter().any(|end| tag.starts_with(end)) { '\n' } else { ' ' });
        text.push_str(shown);
    }
    text
}
