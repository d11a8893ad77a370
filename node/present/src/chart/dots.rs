//! A mark for each piece: states told apart by shape, and in text by letter.

use std::fmt::Write;

use maud::{Markup, PreEscaped, html};
use serde::{Deserialize, Serialize};

use super::Draw;
use crate::lines::Lines;
use crate::table::{Column, Table};

/// Width of the picture; it fits the narrowest phone.
const WIDE: u32 = 320;
/// Width and height of one mark.
const CELL: u32 = 20;
/// Marks in one picture; beyond that a mark stands for several pieces.
const MARKS: u32 = 128;
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
    /// Dead: a cross.
    Dead,
    /// Lost: a dash.
    Lost,
}

impl Mark {
    /// Its character.
    const fn letter(self) -> char {
        match self {
            Self::Left => 'F',
            Self::Below => 'b',
            Self::With => 'O',
            Self::Waiting => 'o',
            Self::NotKnown => '?',
            Self::Dead => 'x',
            Self::Lost => '-',
        }
    }

    /// Its shape from the middle of a cell.
    const fn shape(self) -> &'static str {
        match self {
            Self::With | Self::Waiting => "h0",
            Self::Left | Self::Below => "m-6 6v-12h12v12z",
            Self::NotKnown => "m-3-3q0-4 3-4t3 3q0 2-3 4m0 4h0",
            Self::Dead => "m-5-5l10 10m-10 0l10-10",
            Self::Lost => "m-6 0h12",
        }
    }

    /// All marks of one state as one path.
    fn draw(self, places: impl Iterator<Item = (u32, u32)>) -> PreEscaped<String> {
        let mut path = String::new();
        for (x, y) in places {
            let _ = write!(path, "M{x} {y}{}", self.shape());
        }
        PreEscaped(match self {
            Self::With => {
                let roots = path.replace("h0", "v8m0-5l-5 5m5-5l5 5");
                format!("<path class=\"dot\" d=\"{path}\"/><path class=\"line\" d=\"{roots}\"/>")
            }
            Self::Waiting => format!("<path class=\"dot\" d=\"{path}\"/><path class=\"hole\" d=\"{path}\"/>"),
            Self::Left => format!("<path class=\"full\" d=\"{path}\"/>"),
            Self::Below | Self::NotKnown | Self::Dead | Self::Lost => {
                format!("<path class=\"line\" d=\"{path}\"/>")
            }
        })
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

    /// Pieces for which a mark stands.
    fn each(&self) -> u32 {
        let total = self.total();
        let steps = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1_000];
        let enough = |each: &u32| total.div_ceil(*each) <= MARKS;
        steps.into_iter().find(enough).unwrap_or_else(|| total.div_ceil(MARKS))
    }
}

impl Draw for Dots {
    fn picture(&self) -> Markup {
        let (each, across) = (self.each(), WIDE / CELL);
        let (mut at, mut drawn) = (0, String::new());
        for Pieces { mark, count, .. } in &self.states {
            let marks = count.div_ceil(each);
            let places =
                (at..at + marks).map(|n| (n % across * CELL + CELL / 2, n / across * CELL + CELL / 2));
            drawn.push_str(&mark.draw(places).into_string());
            at += marks;
        }
        let high = at.div_ceil(across).max(1) * CELL;
        html! {
            svg viewBox={ "0 0 " (WIDE) " " (high) } width=(WIDE) height=(high) role="img" aria-label=(self.said) { (PreEscaped(drawn)) }
            p class="legend" {
                @for Pieces { mark, words, count } in &self.states {
                    span class="key" { svg viewBox="0 0 20 20" width="20" height="20" aria-hidden="true" { (mark.draw([(10, 10)].into_iter())) } (count) " " (words) }
                    " "
                }
                @if each > 1 { span class="soft" { "(each mark is " (each) " " (self.pieces) ")" } }
            }
        }
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
