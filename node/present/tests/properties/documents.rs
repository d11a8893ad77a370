//! Random documents of hostile words. Each run of words ends in a mark of its own, by which it is found again.

use propagule_present::document::{
    Action, Align, Block, Column, Document, Figure, Fold, Heading, InText, Item, Layout, List, ListKind,
    Medium, Most, Part, Phrase, Role, Run, Sentence, Style, Table, Weight,
};
use proptest::collection::vec;
use proptest::option::of;
use proptest::prelude::*;
use proptest::sample::select;

use crate::pictures;

/// What somebody could type, or bring in by a file, to do harm or by chance.
pub(crate) fn hostile() -> impl Strategy<Value = String> {
    let harm = select(vec![
        "<script>alert(1)</script>",
        "\"'><img src=x onerror=alert(1)>",
        "&amp;&lt; <!-- ]]> <![CDATA[",
        "\u{1b}[31m\u{0}\u{7f}",
        "\u{202e}\u{2066}\u{200f}",
        "line\r\nline\tline\u{2028}",
        "\u{6f22}\u{5b57}\u{304b}\u{306a}\u{ff21}",
        "e\u{301}\u{302}o\u{308}\u{20dd}",
        "\u{1f469}\u{200d}\u{1f33e} \u{1f1e6}\u{1f1f9}",
        "% %% 12 % of",
        "   ",
        "",
    ]);
    let harm = harm.prop_map(str::to_owned);
    let long = (1..200_usize).prop_map(|letters| "n".repeat(letters));
    let piece = prop_oneof![3 => harm, 2 => "[a-z]{1,9}( [a-z]{1,9}){0,12}", 1 => long, 1 => any::<String>()];
    vec(piece, 0..4).prop_map(|pieces| pieces.concat())
}

fn style() -> impl Strategy<Value = Style> {
    let address =
        prop_oneof![Just("/a?b=1&c=<".to_owned()), Just("javascript:alert(1)".to_owned()), hostile()];
    prop_oneof![
        4 => Just(Style::Plain),
        1 => Just(Style::Strong),
        1 => Just(Style::Name),
        1 => Just(Style::Soft),
        1 => Just(Style::Code),
        1 => address.prop_map(Style::Link),
        1 => Just(Style::Break),
    ]
}

fn phrase() -> impl Strategy<Value = Phrase> {
    vec((hostile(), style()), 0..4).prop_map(|runs| {
        let runs = runs.into_iter().map(|(text, style)| match style {
            Style::Break => Run { text: String::new(), style },
            style => Run { text, style },
        });
        Phrase { runs: runs.collect() }
    })
}

fn sentence() -> impl Strategy<Value = Block> {
    let role = select(vec![Role::Main, Role::Plain, Role::Note, Role::Aside, Role::Warning, Role::Caveat]);
    (role, phrase()).prop_map(|(role, words)| Block::Sentence(Sentence { role, words }))
}

fn most() -> impl Strategy<Value = Option<Most>> {
    of((0..4_usize, 0..4_usize).prop_map(|(in_text, on_page)| Most {
        in_text,
        on_page,
        others: "in the file".into(),
    }))
}

fn column() -> impl Strategy<Value = Column> {
    (phrase(), any::<[bool; 4]>(), 0..12_usize).prop_map(
        |(title, [is_number, wraps, joins, drops], least)| Column {
            title,
            align: if is_number { Align::Numbers } else { Align::Words },
            wraps,
            drops: drops && wraps && is_number,
            least,
            joins,
            before: if joins { ", ".to_owned() } else { String::new() },
            after: if wraps { " in 100".to_owned() } else { String::new() },
        },
    )
}

fn table() -> impl Strategy<Value = Block> {
    let layout = select(vec![Layout::Flowing, Layout::Halves, Layout::Thirds]);
    let body = vec(column(), 0..5).prop_flat_map(|columns| {
        let width = columns.len();
        (Just(columns), vec(vec(phrase(), 0..=width), 0..5))
    });
    (phrase(), body, any::<[bool; 2]>(), most(), layout).prop_map(
        |(caption, (columns, rows), [has_row_headings, is_bare_in_text], most, layout)| {
            Block::Table(Table { caption, columns, rows, has_row_headings, is_bare_in_text, most, layout })
        },
    )
}

fn action() -> impl Strategy<Value = Block> {
    let weight = select(vec![Weight::Lead, Weight::Usual, Weight::Quiet]);
    let address = of(prop_oneof![Just("/x".to_owned()), Just("data:text/html,x".to_owned())]);
    (hostile(), of(hostile()), address, weight).prop_map(|(label, command, address, weight)| {
        Block::Action(Action { label, command, address, weight })
    })
}

fn figure() -> impl Strategy<Value = Block> {
    (pictures::chart(), of(phrase())).prop_map(|(chart, caption)| Block::Chart(Figure { chart, caption }))
}

fn item(depth: u32) -> impl Strategy<Value = Item> {
    let address = of(prop_oneof![Just("/m2".to_owned()), Just("javascript:x".to_owned())]);
    (of(phrase()), phrase(), address, parts(depth)).prop_map(|(term, words, address, under)| Item {
        term,
        words,
        address,
        under,
    })
}

fn list(depth: u32) -> impl Strategy<Value = Block> {
    use ListKind::{Facts, Figures, Points, Ranked, Rows};
    (select(vec![Points, Ranked, Facts, Figures, Rows]), vec(item(depth), 0..4), most())
        .prop_map(|(kind, items, most)| Block::List(List { kind, items, most }))
}

fn heading(depth: u32) -> impl Strategy<Value = Block> {
    (0..5_u8, phrase(), parts(depth))
        .prop_map(|(level, title, under)| Block::Heading(Heading { level, title, anchor: None, under }))
}

fn fold(depth: u32) -> impl Strategy<Value = Block> {
    let in_text = prop_oneof![Just(InText::Whole), Just(InText::Content), hostile().prop_map(InText::Line)];
    (phrase(), any::<bool>(), in_text, parts(depth)).prop_map(|(summary, is_open, in_text, content)| {
        Block::Fold(Fold { summary, is_open, in_text, content })
    })
}

fn block(depth: u32) -> BoxedStrategy<Block> {
    let flat = prop_oneof![4 => sentence().boxed(), 3 => table().boxed(), 1 => action().boxed(), 1 => figure().boxed()].boxed();
    if depth == 0 {
        return flat.boxed();
    }
    let deep = prop_oneof![2 => heading(depth - 1), 1 => fold(depth - 1), 1 => list(depth - 1)];
    prop_oneof![3 => flat, 2 => deep].boxed()
}

fn parts(depth: u32) -> BoxedStrategy<Document> {
    let on = prop_oneof![6 => Just(Medium::Any), 1 => Just(Medium::Text), 1 => Just(Medium::Page)];
    let part = (block(depth), on).prop_map(|(block, on)| Part { block, on });
    vec(part, 0..5).prop_map(|parts| Document { parts }).boxed()
}

/// A document each of whose runs ends in its mark.
pub(crate) fn document() -> impl Strategy<Value = Document> {
    parts(2).prop_map(|mut document| {
        Marks(0).document(&mut document);
        document
    })
}

/// Counts marks as they are put.
struct Marks(u32);

impl Marks {
    fn text(&mut self, text: &mut String) {
        self.0 += 1;
        text.extend(["q", self.0.to_string().as_str(), "z"]);
    }

    fn phrase(&mut self, phrase: &mut Phrase) {
        phrase
            .runs
            .iter_mut()
            .filter(|run| run.style != Style::Break)
            .for_each(|run| self.text(&mut run.text));
    }

    fn document(&mut self, document: &mut Document) {
        for part in &mut document.parts {
            self.block(&mut part.block);
        }
    }

    fn block(&mut self, block: &mut Block) {
        match block {
            Block::Heading(heading) => {
                self.phrase(&mut heading.title);
                self.document(&mut heading.under);
            }
            Block::Sentence(sentence) => self.phrase(&mut sentence.words),
            Block::Table(table) => {
                self.phrase(&mut table.caption);
                table.columns.iter_mut().for_each(|column| self.phrase(&mut column.title));
                table.rows.iter_mut().flatten().for_each(|cell| self.phrase(cell));
            }
            Block::Chart(figure) => figure.caption.iter_mut().for_each(|caption| self.phrase(caption)),
            Block::List(list) => list.items.iter_mut().for_each(|item| {
                item.term.iter_mut().for_each(|term| self.phrase(term));
                self.phrase(&mut item.words);
                self.document(&mut item.under);
            }),
            Block::Action(action) => {
                self.text(&mut action.label);
                action.command.iter_mut().for_each(|command| self.text(command));
            }
            Block::Fold(fold) => {
                self.phrase(&mut fold.summary);
                if let InText::Line(command) = &mut fold.in_text {
                    self.text(command);
                }
                self.document(&mut fold.content);
            }
        }
    }
}
