//! What of a document is to be found in each rendering, worked out by the rules alone.

use propagule_present::document::{Block, Document, InText, List, Phrase, Run, Style, Table};

/// How often words are in text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Times {
    Once,
    Never,
    Any,
}

/// Words with their mark, and where they are.
#[derive(Clone, Debug)]
pub(crate) struct Words {
    pub(crate) mark: String,
    /// The words as a page shows them.
    pub(crate) clean: String,
    pub(crate) in_text: Times,
    pub(crate) on_page: bool,
}

/// All words of a document.
#[derive(Clone, Debug, Default)]
pub(crate) struct Expected {
    pub(crate) words: Vec<Words>,
    /// What is pasted whole, in one line.
    pub(crate) commands: Vec<String>,
}

/// What is typed by hand here, so that it does not follow the code that it checks: what steers is one sign.
fn clean(text: &str) -> String {
    text.chars().map(|c| if steers(c) { '\u{fffd}' } else { c }).collect()
}

fn steers(c: char) -> bool {
    match u32::from(c) {
        9 | 10 => false,
        0..32 | 127..160 | 0x61c | 0x200e | 0x200f | 0x202a..=0x202e | 0x2066..=0x2069 => true,
        _ => false,
    }
}

fn is_address(address: &str) -> bool {
    ["/", "#", "?", "http://", "https://", "mailto:"].iter().any(|start| address.starts_with(start))
}

/// Where words stand as far as the parts around them go.
#[derive(Clone, Copy)]
struct Around {
    in_text: bool,
    on_page: bool,
}

impl Around {
    fn and(self, in_text: bool, on_page: bool) -> Self {
        Self { in_text: self.in_text && in_text, on_page: self.on_page && on_page }
    }
}

impl Expected {
    pub(crate) fn of(document: &Document) -> Self {
        let mut expected = Self::default();
        expected.document(document, Around { in_text: true, on_page: true });
        // The longest first, so that one within another does not hide it.
        expected.commands.sort_by_key(|command| std::cmp::Reverse(command.len()));
        expected
    }

    fn text(&mut self, text: &str, around: Around) {
        let mark = text.rfind('q').map(|at| text[at..].to_owned()).expect("every text ends in a mark");
        let in_text = if around.in_text { Times::Once } else { Times::Never };
        self.words.push(Words { mark, clean: clean(text), in_text, on_page: around.on_page });
    }

    fn run(&mut self, run: &Run, around: Around) {
        if run.style == Style::Code {
            self.command(&run.text);
        }
        if run.style != Style::Break {
            self.text(&run.text, around);
        }
    }

    fn command(&mut self, command: &str) {
        self.commands.push(clean(command).split_whitespace().collect::<Vec<_>>().join(" "));
    }

    fn phrase(&mut self, phrase: &Phrase, around: Around) {
        for run in &phrase.runs {
            self.run(run, around);
        }
    }

    fn document(&mut self, document: &Document, around: Around) {
        for part in &document.parts {
            self.block(&part.block, around.and(part.on.is_in_text(), part.on.is_on_page()));
        }
    }

    fn block(&mut self, block: &Block, around: Around) {
        match block {
            Block::Heading(heading) => {
                self.phrase(&heading.title, around);
                self.document(&heading.under, around);
            }
            Block::Sentence(sentence) => self.phrase(&sentence.words, around),
            Block::Table(table) => self.table(table, around),
            Block::Chart(figure) => {
                figure.caption.iter().for_each(|caption| self.phrase(caption, around));
            }
            Block::List(list) => self.list(list, around),
            Block::Action(action) => {
                let has_address = action.address.as_deref().is_some_and(is_address);
                self.text(&action.label, around.and(action.command.is_some(), true));
                if let Some(command) = &action.command {
                    self.command(command);
                    self.text(command, around.and(true, !has_address));
                }
            }
            Block::Fold(fold) => {
                self.phrase(&fold.summary, around.and(fold.in_text != InText::Content, true));
                if let InText::Line(command) = &fold.in_text {
                    self.command(command);
                    self.text(command, around.and(true, false));
                }
                self.document(&fold.content, around.and(!matches!(fold.in_text, InText::Line(_)), true));
            }
        }
    }

    fn list(&mut self, list: &List, around: Around) {
        for (place, item) in list.items.iter().enumerate() {
            let most = list.most.as_ref();
            let around = around.and(
                most.is_none_or(|most| place < most.in_text),
                most.is_none_or(|most| place < most.on_page),
            );
            item.term.iter().for_each(|term| self.phrase(term, around));
            self.phrase(&item.words, around);
            self.document(&item.under, around);
        }
    }

    fn table(&mut self, table: &Table, around: Around) {
        let is_bare = table.is_bare_in_text;
        let most = table.most.as_ref();
        let is_shown = |place: usize| most.is_none_or(|most| place < most.in_text);
        self.phrase(&table.caption, around.and(!is_bare, true));
        for column in &table.columns {
            let before = self.words.len();
            self.phrase(&column.title, around.and(!is_bare, true));
            let titles = self.words[before..].iter_mut().filter(|words| words.in_text == Times::Once);
            titles.for_each(|words| words.in_text = Times::Any);
        }
        for (place, row) in table.rows.iter().enumerate() {
            let row_around = around.and(is_shown(place), most.is_none_or(|most| place < most.on_page));
            let mut drops = false;
            for (number, (cell, column)) in row.iter().zip(&table.columns).enumerate() {
                // Cells that go on where others end go with them.
                drops = if is_bare && column.joins && number > 0 { drops } else { column.drops };
                for run in &cell.runs {
                    let before = self.words.len();
                    self.run(run, row_around.and(!is_bare || run.style != Style::Soft, true));
                    let cells = self.words[before..].iter_mut().filter(|words| words.in_text == Times::Once);
                    cells.for_each(|words| {
                        words.in_text = if drops { Times::Any } else { Times::Once };
                    });
                }
            }
        }
    }
}
