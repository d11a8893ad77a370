//! The tray: a cell for each piece, its fate told by shape, and in text by letter.

use maud::{Markup, PreEscaped, html};
use serde::{Deserialize, Serialize};

use super::Draw;
use super::fates::{self, SIDE};
use crate::lines::Lines;
use crate::table::{Column, Table};

/// Cells beside each other.
const ACROSS: u32 = 12;
/// Cells of a tray; beyond that a cell stands for several pieces.
const CELLS: u32 = 60;
/// Pieces that one cell may stand for; beyond the last, bars are drawn.
const EACH: [u32; 5] = [1, 2, 4, 5, 10];
/// From one cell to the next, and the rim around all.
const STEP: u32 = SIDE + 2;
const RIM: u32 = 5;
/// Width and height of bars.
const BAR: u32 = 200;
const ROW: u32 = 24;
/// Characters in text; beyond that a character stands for several pieces.
const CHARACTERS: u32 = 600;
/// Characters between two spaces.
const GROUP: usize = 10;

/// A mark for each piece as it stands.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Dots {
    /// The picture in words.
    pub said: String,
    /// Pieces by state, in the order in which they are drawn.
    pub states: Vec<Pieces>,
    /// What several pieces are called.
    pub pieces: String,
    /// Heading of the states in the table.
    pub state: String,
}

/// Pieces of one state.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Pieces {
    /// How they are drawn.
    pub mark: Mark,
    /// The state in words.
    pub words: String,
    /// How many.
    pub count: u32,
}

/// How a piece is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Mark {
    /// Left as finished: a filled square.
    Left,
    /// Left before it was finished: an open square.
    Below,
    /// Alive with what counts: a dot with roots.
    With,
    /// Alive without it: a ring.
    Waiting,
    /// Neither known alive nor known dead: a question mark.
    NotKnown,
    /// Not counted yet: a small dot.
    Uncounted,
    /// Dead: a cross.
    Dead,
    /// Lost: a dashed ring.
    Lost,
}

impl Mark {
    /// All of them.
    pub(crate) const ALL: [Self; 8] = [
        Self::Left,
        Self::Below,
        Self::With,
        Self::Waiting,
        Self::NotKnown,
        Self::Uncounted,
        Self::Dead,
        Self::Lost,
    ];

    /// Its name, by which a picture that changes finds it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Below => "below",
            Self::With => "with",
            Self::Waiting => "waiting",
            Self::NotKnown => "not-known",
            Self::Uncounted => "uncounted",
            Self::Dead => "dead",
            Self::Lost => "lost",
        }
    }

    /// Its character.
    const fn letter(self) -> char {
        match self {
            Self::Left => 'F',
            Self::Below => 'b',
            Self::With => 'O',
            Self::Waiting => 'o',
            Self::NotKnown => '?',
            Self::Uncounted => '.',
            Self::Dead => 'x',
            Self::Lost => '-',
        }
    }
}

impl Dots {
    /// `12 rooted, 3 dead`: the picture in words, where nothing else says it better.
    pub fn counts(states: &[Pieces]) -> String {
        let said: Vec<String> =
            states.iter().map(|pieces| format!("{} {}", pieces.count, pieces.words)).collect();
        said.join(", ")
    }

    fn total(&self) -> u32 {
        self.states.iter().fold(0, |sum, pieces| sum.saturating_add(pieces.count))
    }

    /// Pieces for which a cell stands; none where there are too many for cells.
    fn each(&self) -> Option<u32> {
        let cells = |each: u32| {
            self.states.iter().fold(0_u32, |sum, pieces| sum.saturating_add(pieces.count.div_ceil(each)))
        };
        EACH.into_iter().find(|each| self.total() / each <= CELLS && cells(*each) <= CELLS)
    }

    /// A cell for each piece, or for so many; one that stands for fewer is only outlined.
    fn tray(&self, each: u32) -> Markup {
        let middle = |n: u32| (RIM + n % ACROSS * STEP + STEP / 2, RIM + n / ACROSS * STEP + STEP / 2);
        let (mut at, mut drawn, mut cells, mut rest) = (0, String::new(), String::new(), String::new());
        for Pieces { mark, count, .. } in &self.states {
            let middles: Vec<(u32, u32)> = (at..at + count.div_ceil(each)).map(middle).collect();
            for (index, (x, y)) in middles.iter().enumerate() {
                let is_whole = (index as u32 + 1) * each <= *count;
                let cell = format!("M{} {}h20v20h-20z", x - SIDE / 2, y - SIDE / 2);
                if is_whole { cells.push_str(&cell) } else { rest.push_str(&cell) }
            }
            drawn.push_str(&fates::marks(*mark, &middles));
            at += count.div_ceil(each);
        }
        let wide = 2 * RIM + at.clamp(1, ACROSS) * STEP;
        let high = 2 * RIM + at.div_ceil(ACROSS).max(1) * STEP;
        html! {
            svg viewBox={ "0 0 " (wide) " " (high) } width=(2 * wide) height=(2 * high) role="img" aria-label=(self.said) {
                rect class="box" width=(wide) height=(high) rx="6" {}
                @if !cells.is_empty() { path class="cell" d=(cells) {} }
                @if !rest.is_empty() { path class="cell rest" d=(rest) {} }
                (PreEscaped(drawn))
            }
        }
    }

    /// A bar for each fate, where there are too many pieces for cells.
    fn bars(&self) -> Markup {
        let (total, wide) = (self.total().max(1), 2 * RIM + SIDE + 4 + BAR);
        let high = 2 * RIM + self.states.len() as u32 * ROW;
        html! {
            svg viewBox={ "0 0 " (wide) " " (high) } width=(2 * wide) height=(2 * high) role="img" aria-label=(self.said) {
                rect class="box" width=(wide) height=(high) rx="6" {}
                @for (row, Pieces { mark, count, .. }) in (0..).zip(&self.states) {
                    @let top = RIM + row * ROW;
                    rect class="cell" x=(RIM + SIDE + 4) y=(top + 2) width=(BAR) height=(ROW - 4) {}
                    rect class="fate solid" x=(RIM + SIDE + 4) y=(top + 5) width=(f64::from(BAR) * f64::from(*count) / f64::from(total)) height=(ROW - 10) {}
                    (PreEscaped(fates::marks(*mark, &[(RIM + SIDE / 2, top + ROW / 2)])))
                }
            }
        }
    }

    /// The tray alone, where its counts stand beside it.
    pub fn small(&self) -> Markup {
        self.each().map_or_else(|| self.bars(), |each| self.tray(each))
    }
}

impl Draw for Dots {
    fn picture(&self) -> Markup {
        html! {
            (self.small())
            p class="legend" {
                @for Pieces { mark, words, count } in &self.states {
                    span class="key" { (fates::key(*mark)) (count) " " (words) }
                    " "
                }
                @if let Some(each) = self.each().filter(|each| *each > 1) { span class="soft" { "(each cell is " (each) " " (self.pieces) "; outlined ones are fewer)" } }
            }
        }
    }

    fn class(&self) -> Option<&'static str> {
        Some("figure tray")
    }

    fn table(&self) -> Table {
        let row = |pieces: &Pieces| vec![pieces.words.as_str().into(), pieces.count.to_string().into()];
        Table::new("", [Column::words(&self.state), Column::numbers(&self.pieces)])
            .rows(self.states.iter().map(row))
    }

    /// In groups of ten; states with no piece are left out, and no piece at all is no picture.
    fn text(&self, lines: &mut Lines) {
        let states: Vec<&Pieces> = self.states.iter().filter(|pieces| pieces.count > 0).collect();
        let each = self.total().div_ceil(CHARACTERS).max(1);
        let letters = |pieces: &&Pieces| {
            std::iter::repeat_n(pieces.mark.letter(), pieces.count.div_ceil(each) as usize)
        };
        let marks: Vec<char> = states.iter().flat_map(letters).collect();
        let groups_a_line = ((lines.room() + 1) / (GROUP + 1)).max(1);
        for line in marks.chunks(groups_a_line * GROUP) {
            let groups: Vec<String> = line.chunks(GROUP).map(|group| group.iter().collect()).collect();
            lines.push(&groups.join(" "));
        }
        let entry = |pieces: &&Pieces| format!("{} {} {}", pieces.mark.letter(), pieces.words, pieces.count);
        let entries = states.iter().map(entry).collect::<Vec<_>>().join(", ");
        let several =
            if each > 1 { format!("; one mark for up to {each} {}", self.pieces) } else { String::new() };
        lines.wrap_text(&format!("{entries}{several}"));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(states: &[(Mark, &str, u32)], width: usize) -> String {
        let states = states.iter().map(|(mark, words, count)| Pieces {
            mark: *mark,
            words: (*words).to_owned(),
            count: *count,
        });
        let states: Vec<Pieces> = states.collect();
        let dots = Dots { said: String::new(), states, pieces: "pieces".to_owned(), state: String::new() };
        let mut lines = Lines::new(width);
        dots.text(&mut lines);
        lines.into_text()
    }

    #[test]
    fn every_piece_has_its_mark_and_every_state_its_count() {
        let states = [(Mark::With, "rooted", 4), (Mark::Waiting, "green", 17), (Mark::Lost, "lost", 3)];
        assert_eq!(text(&states, 60), "OOOOoooooo oooooooooo o---\nO rooted 4, o green 17, - lost 3\n");
    }

    #[test]
    fn no_piece_is_no_picture_and_a_state_without_pieces_is_not_named() {
        assert_eq!(text(&[], 60), "");
        assert_eq!(text(&[(Mark::With, "rooted", 0)], 60), "");
        assert_eq!(text(&[(Mark::With, "rooted", 0), (Mark::Dead, "dead", 1)], 60), "x\nx dead 1\n");
    }

    #[test]
    fn lines_keep_to_the_width_in_whole_groups() {
        for width in [12, 60, 100] {
            let said = text(&[(Mark::Dead, "dead", 600)], width);
            assert!(said.lines().all(|line| line.len() <= width), "{said}");
            let drawn = said.lines().rev().skip(1).flat_map(str::chars).filter(|c| *c == 'x').count();
            assert_eq!(drawn, 600);
        }
    }

    #[test]
    fn of_very_many_one_mark_stands_for_several_and_a_single_one_stays_in_sight() {
        let said = text(&[(Mark::With, "rooted", 1), (Mark::Dead, "dead", 1_799)], 60);
        assert_eq!(said.matches('O').count(), 2, "one drawn, one in the legend: {said}");
        assert!(said.ends_with("O rooted 1, x dead 1799; one mark for up to 3 pieces\n"), "{said}");
    }
}
