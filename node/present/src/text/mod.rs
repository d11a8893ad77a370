//! Documents as plain text: no colour, no terminal needed, whole at 60 to 120 columns.

use crate::document::{Action, Block, Document, Figure, Fold, Heading, InText, List, Phrase, Role, Sentence};
use crate::lines::{Lines, table, words};

/// Narrowest and widest text that is laid out.
pub const WIDTHS: (usize, usize) = (60, 120);

/// Columns by which what belongs to a heading or an item is set in.
const STEP: usize = 2;

/// A width inside [`WIDTHS`].
pub fn usable_width(width: usize) -> usize {
    width.clamp(WIDTHS.0, WIDTHS.1)
}

/// The document in lines of at most `width` columns, 60 to 120; only a word that is longer than a line is wider.
pub fn render(document: &Document, width: usize) -> String {
    let mut writer = Writer { lines: Lines::new(usable_width(width)), depth: 0, before: None };
    writer.document(document);
    writer.lines.into_text()
}

/// What was written last, as far as an empty line depends on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    /// A heading that the document goes on below.
    Heading,
    /// A heading with what stands under it.
    Section,
    Sentence(Role),
    Action,
    /// A table, a picture or a list.
    Rows,
}

struct Writer {
    lines: Lines,
    /// Sections around this place.
    depth: usize,
    /// What was written last; nothing at the start, and at the start of a section.
    before: Option<Kind>,
}

impl Writer {
    fn document(&mut self, document: &Document) {
        for part in document.parts.iter().filter(|part| part.on.is_in_text()) {
            match &part.block {
                Block::Heading(heading) => self.heading(heading),
                Block::Sentence(sentence) => self.sentence(sentence),
                Block::Table(rows) => self.rows(|lines| table(lines, rows)),
                Block::Chart(figure) => self.rows(|lines| chart(lines, figure)),
                Block::List(list) => self.list(list),
                Block::Action(action) => self.action(action),
                Block::Fold(fold) => self.fold(fold),
            }
        }
    }

    /// Parts what follows from what stands before.
    fn part(&mut self, now: Kind) {
        if self.is_parted(now) {
            self.lines.blank();
        }
        self.before = Some(now);
    }

    fn is_parted(&self, now: Kind) -> bool {
        match (self.before, now) {
            (_, Kind::Heading | Kind::Section) | (Some(Kind::Section), _) => true,
            _ if self.depth > 0 => false,
            (None, _) => false,
            (_, Kind::Sentence(Role::Main)) => true,
            (Some(Kind::Sentence(before)), Kind::Sentence(now)) => {
                now.is_of_the_whole() && !before.is_of_the_whole()
            }
            (Some(before), Kind::Sentence(now)) => before != Kind::Heading || now.is_of_the_whole(),
            (Some(before), now) => before != Kind::Heading && !(before == now && now == Kind::Action),
        }
    }

    fn heading(&mut self, heading: &Heading) {
        self.section(&heading.title, &heading.under, if heading.level > 1 { STEP } else { 0 });
    }

    fn section(&mut self, title: &Phrase, under: &Document, step: usize) {
        if title.is_empty() {
            return self.document(under);
        }
        let has_content = under.parts.iter().any(|part| part.on.is_in_text());
        self.part(if has_content { Kind::Section } else { Kind::Heading });
        self.lines.wrap(&words(title));
        if has_content {
            self.under(under, step);
        }
    }

    /// What belongs to the line before.
    fn under(&mut self, document: &Document, step: usize) {
        let before = self.before.take();
        self.depth += 1;
        self.lines.indent += step;
        self.document(document);
        self.lines.indent -= step;
        self.depth -= 1;
        self.before = before;
    }

    fn sentence(&mut self, sentence: &Sentence) {
        let mut said = words(&sentence.words);
        if let (Role::Aside, [first, ..]) = (sentence.role, said.as_mut_slice()) {
            first.insert(0, '(');
            said.last_mut().expect("there is a first").push(')');
        }
        if !said.is_empty() {
            self.part(Kind::Sentence(sentence.role));
            self.lines.wrap(&said);
        }
    }

    /// What has no lines leaves no empty one.
    fn rows(&mut self, write: impl FnOnce(&mut Lines)) {
        self.unless_empty(|writer| write(&mut writer.lines));
    }

    fn unless_empty(&mut self, write: impl FnOnce(&mut Self)) {
        let (begin, before) = (self.lines.len(), self.before);
        self.part(Kind::Rows);
        let parted = self.lines.len();
        write(self);
        if self.lines.len() == parted {
            self.lines.cut(begin);
            self.before = before;
        }
    }

    fn list(&mut self, list: &List) {
        self.unless_empty(|writer| writer.items(list));
    }

    fn items(&mut self, list: &List) {
        let most = list.most.as_ref();
        for item in list.items.iter().take(most.map_or(usize::MAX, |most| most.in_text)) {
            let term = item.term.clone().filter(|term| !term.is_empty());
            let said = term.map_or_else(Phrase::new, |term| term.then(": ")).and(item.words.clone());
            // Where an item ends and the next one begins is seen by where their lines begin.
            self.lines.hang(&words(&said), STEP);
            self.under(&item.under, STEP);
        }
        if let Some(left) = most.and_then(|most| most.left_in_text(list.items.len())) {
            self.lines.wrap_text(&left);
        }
    }

    /// A command stays in one piece, to be pasted; what only the page can do is left to it.
    fn action(&mut self, action: &Action) {
        if let Some(command) = &action.command {
            self.part(Kind::Action);
            self.command(Phrase::from(action.label.as_str()), command);
        }
    }

    fn command(&mut self, label: Phrase, command: &str) {
        self.lines.wrap(&words(&label.then(": ").code(command)));
    }

    fn fold(&mut self, fold: &Fold) {
        match &fold.in_text {
            InText::Whole => self.section(&fold.summary, &fold.content, STEP),
            InText::Content => self.document(&fold.content),
            InText::Line(command) => {
                self.part(Kind::Action);
                self.command(fold.summary.clone(), command);
            }
        }
    }
}

fn chart(lines: &mut Lines, figure: &Figure) {
    figure.chart.text(lines);
    if let Some(caption) = &figure.caption {
        lines.wrap(&words(caption));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::{Item, Medium, Part};

    #[test]
    fn sections_are_set_in_and_what_concerns_the_whole_is_not() {
        let said = Document::new()
            .title("Plan")
            .main("Stick 12.")
            .aside("3 of 20")
            .section("Next", |next| next.say("One.").say("Two."))
            .say("Back at the margin.")
            .caveat("Limits.")
            .warn("Mind.");
        assert_eq!(
            render(&said, 80),
            "Plan\n\nStick 12.\n(3 of 20)\n\nNext\n  One.\n  Two.\n\nBack at the margin.\n\nLimits.\nMind.\n"
        );
    }

    #[test]
    fn folds_are_whole_or_a_line_and_commands_stay_in_one_piece() {
        let long = format!("propagule trial new {}", "x ".repeat(40));
        let said = Document::new()
            .title("T")
            .fold("More", |more| more.say("all of it"))
            .folded(Fold::new("Figures", Document::new().say("hidden")).shown_by("propagule plan --detail"))
            .action(Action::command("Again", long.as_str()))
            .action(Action::link("On the page", "/x"));
        let text = render(&said, 60);
        let begin =
            "T\n\nMore\n  all of it\n\nFigures: propagule plan --detail\nAgain:\npropagule trial new x x";
        assert!(text.starts_with(begin), "{text}");
        assert!(text.lines().any(|line| line == long.trim_end()) && !text.contains("On the page"), "{text}");
    }

    #[test]
    fn lists_are_lines_and_facts_stand_behind_their_name() {
        let facts = List::figures([
            Item::fact("Spread", "0.52").with(Document::new().say("by the model")),
            Item::fact("Average", "23 %"),
        ]);
        let said = Document::new().list(facts).list(List::ranked(["a", "b", "c"]).at_most(2, 9, ""));
        assert_eq!(render(&said, 60), "Spread: 0.52\n  by the model\nAverage: 23 %\n\na\nb\nand 1 more\n");
    }

    #[test]
    fn what_is_for_the_page_alone_leaves_no_trace() {
        let said = Document::new()
            .title("T")
            .section("S", |section| section.on_page(|page| page.say("p")))
            .in_text(|text| text.say("t"));
        assert!(matches!(said.parts[2], Part { on: Medium::Text, .. }));
        assert_eq!(render(&said, 60), "T\n\nS\nt\n");
    }
}
