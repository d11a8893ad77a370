//! Composing reads like the screen: `Document::new().title(..).main(..).section(.., |under| ..)`.

use super::{
    Action, Block, Document, Figure, Fold, Heading, List, Medium, Part, Phrase, Role, Sentence, Table,
};
use crate::chart::Chart;

impl Document {
    /// An empty document.
    pub const fn new() -> Self {
        Self { parts: Vec::new() }
    }

    /// With one more block.
    #[must_use]
    pub fn with(mut self, block: Block) -> Self {
        self.parts.push(Part { block, on: Medium::Any });
        self
    }

    /// The title.
    #[must_use]
    pub fn title(self, title: impl Into<Phrase>) -> Self {
        self.heading(1, title)
    }

    /// A heading under which the document goes on as before.
    #[must_use]
    pub fn heading(self, level: u8, title: impl Into<Phrase>) -> Self {
        self.with(Block::Heading(Heading { level, title: title.into(), anchor: None, under: Self::new() }))
    }

    /// A heading of the second level with what stands under it.
    #[must_use]
    pub fn section(self, title: impl Into<Phrase>, under: impl FnOnce(Self) -> Self) -> Self {
        self.section_at(2, title, under)
    }

    /// A heading with what stands under it.
    #[must_use]
    pub fn section_at(self, level: u8, title: impl Into<Phrase>, under: impl FnOnce(Self) -> Self) -> Self {
        let under = under(Self::new());
        self.with(Block::Heading(Heading { level, title: title.into(), anchor: None, under }))
    }

    /// A sentence.
    #[must_use]
    pub fn say(self, words: impl Into<Phrase>) -> Self {
        self.sentence(Role::Plain, words)
    }

    /// The main statement.
    #[must_use]
    pub fn main(self, words: impl Into<Phrase>) -> Self {
        self.sentence(Role::Main, words)
    }

    /// What explains.
    #[must_use]
    pub fn note(self, words: impl Into<Phrase>) -> Self {
        self.sentence(Role::Note, words)
    }

    /// What a statement rests on.
    #[must_use]
    pub fn aside(self, words: impl Into<Phrase>) -> Self {
        self.sentence(Role::Aside, words)
    }

    /// What has to be known beside the whole.
    #[must_use]
    pub fn warn(self, words: impl Into<Phrase>) -> Self {
        self.sentence(Role::Warning, words)
    }

    /// What limits the whole.
    #[must_use]
    pub fn caveat(self, words: impl Into<Phrase>) -> Self {
        self.sentence(Role::Caveat, words)
    }

    /// A sentence with its role.
    #[must_use]
    pub fn sentence(self, role: Role, words: impl Into<Phrase>) -> Self {
        self.with(Block::Sentence(Sentence { role, words: words.into() }))
    }

    /// A table.
    #[must_use]
    pub fn table(self, table: Table) -> Self {
        self.with(Block::Table(table))
    }

    /// A picture.
    #[must_use]
    pub fn chart(self, chart: impl Into<Chart>) -> Self {
        self.with(Block::Chart(Figure { chart: chart.into(), caption: None }))
    }

    /// A picture with what is said below it.
    #[must_use]
    pub fn figure(self, chart: impl Into<Chart>, caption: impl Into<Phrase>) -> Self {
        self.with(Block::Chart(Figure { chart: chart.into(), caption: Some(caption.into()) }))
    }

    /// A list.
    #[must_use]
    pub fn list(self, list: List) -> Self {
        self.with(Block::List(list))
    }

    /// What can be done.
    #[must_use]
    pub fn action(self, action: Action) -> Self {
        self.with(Block::Action(action))
    }

    /// What is shown when it is asked for, closed; whole in text.
    #[must_use]
    pub fn fold(self, summary: impl Into<Phrase>, content: impl FnOnce(Self) -> Self) -> Self {
        self.folded(Fold::new(summary, content(Self::new())))
    }

    /// A fold.
    #[must_use]
    pub fn folded(self, fold: Fold) -> Self {
        self.with(Block::Fold(fold))
    }

    /// All of another document.
    #[must_use]
    pub fn append(mut self, other: Self) -> Self {
        self.parts.extend(other.parts);
        self
    }

    /// For each thing what is said of it.
    #[must_use]
    pub fn each<T>(self, things: impl IntoIterator<Item = T>, say: impl FnMut(Self, T) -> Self) -> Self {
        things.into_iter().fold(self, say)
    }

    /// More, where something holds.
    #[must_use]
    pub fn when(self, holds: bool, more: impl FnOnce(Self) -> Self) -> Self {
        if holds { more(self) } else { self }
    }

    /// What is said in text only.
    #[must_use]
    pub fn in_text(self, parts: impl FnOnce(Self) -> Self) -> Self {
        self.only(Medium::Text, parts)
    }

    /// What is said on a page only.
    #[must_use]
    pub fn on_page(self, parts: impl FnOnce(Self) -> Self) -> Self {
        self.only(Medium::Page, parts)
    }

    fn only(mut self, on: Medium, parts: impl FnOnce(Self) -> Self) -> Self {
        self.parts.extend(parts(Self::new()).parts.into_iter().map(|part| Part { on, ..part }));
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_stand_in_the_order_in_which_they_were_composed() {
        let said = Document::new()
            .title("T")
            .when(false, |said| said.say("never"))
            .when(true, |said| said.say("once"))
            .each([1, 2], |said, n| said.note(format!("{n}")))
            .on_page(|page| page.say("p").say("q"))
            .append(Document::new().in_text(|text| text.caveat("c")));
        let on: Vec<Medium> = said.parts.iter().map(|part| part.on).collect();
        let (any, page, text) = (Medium::Any, Medium::Page, Medium::Text);
        assert_eq!(on, [any, any, any, any, page, page, text]);
        assert!(matches!(&said.parts[1].block, Block::Sentence(found) if found.words == "once".into()));
    }
}
