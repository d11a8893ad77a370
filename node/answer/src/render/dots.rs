//! One character a piece, by what became of it: readable without colour, countable by tens.

use super::wrap::{push_line, wrap};

/// Pieces drawn one by one; of more, one character stands for several.
const MOST_DRAWN: u32 = 600;
/// Characters between two spaces.
const GROUP: usize = 10;

/// Pieces of one state.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Dots<'a> {
    /// Character of each piece.
    pub mark: char,
    /// The state in words, for the legend.
    pub label: &'a str,
    /// How many pieces.
    pub count: u32,
}

impl<'a> Dots<'a> {
    /// Pieces of one state.
    pub const fn new(mark: char, label: &'a str, count: u32) -> Self {
        Self { mark, label, count }
    }
}

/// Pieces in the order of the states given, in groups of ten and lines of at most `width` columns (12 or more), then a
/// legend with the exact counts. States with no piece are left out; no piece at all gives an empty text.
///
/// Beyond 600 pieces one character stands for several, rounded up, and the legend says for how many.
pub fn dots(states: &[Dots<'_>], width: usize) -> String {
    let states: Vec<&Dots<'_>> = states.iter().filter(|state| state.count > 0).collect();
    let total = states.iter().fold(0u32, |sum, state| sum.saturating_add(state.count));
    if total == 0 {
        return String::new();
    }
    let each = total.div_ceil(MOST_DRAWN);
    let marks: Vec<char> = states
        .iter()
        .flat_map(|state| std::iter::repeat_n(state.mark, state.count.div_ceil(each) as usize))
        .collect();
    let groups_a_line = ((width + 1) / (GROUP + 1)).max(1);
    let mut out = String::new();
    for line in marks.chunks(groups_a_line * GROUP) {
        let groups: Vec<String> = line.chunks(GROUP).map(|group| group.iter().collect()).collect();
        push_line(&mut out, "", &groups.join(" "));
    }
    wrap(&mut out, &legend(&states, each), width, "");
    out
}

fn legend(states: &[&Dots<'_>], each: u32) -> String {
    let entry = |state: &&Dots<'_>| format!("{} {} {}", state.mark, state.label, state.count);
    let entries = states.iter().map(entry).collect::<Vec<_>>().join(", ");
    if each > 1 { format!("{entries}; one mark for up to {each} pieces") } else { entries }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_piece_has_its_mark_and_every_state_its_count() {
        let states = [Dots::new('R', "rooted", 4), Dots::new('g', "green", 17), Dots::new('?', "lost", 3)];
        assert_eq!(dots(&states, 60), "RRRRgggggg gggggggggg g???\nR rooted 4, g green 17, ? lost 3\n");
    }

    #[test]
    fn no_piece_is_no_picture_and_a_state_without_pieces_is_not_named() {
        assert_eq!(dots(&[], 60), "");
        assert_eq!(dots(&[Dots::new('R', "rooted", 0)], 60), "");
        assert_eq!(dots(&[Dots::new('R', "rooted", 0), Dots::new('x', "dead", 1)], 60), "x\nx dead 1\n");
    }

    #[test]
    fn lines_keep_to_the_width_in_whole_groups() {
        for width in [12, 60, 100] {
            let text = dots(&[Dots::new('x', "dead", 600)], width);
            assert!(text.lines().all(|line| line.len() <= width), "{text}");
            let drawn = text.lines().rev().skip(1).flat_map(str::chars).filter(|c| *c == 'x').count();
            assert_eq!(drawn, 600);
        }
    }

    #[test]
    fn of_very_many_one_mark_stands_for_several_and_a_single_one_stays_in_sight() {
        let text = dots(&[Dots::new('R', "rooted", 1), Dots::new('x', "dead", 1_799)], 60);
        assert_eq!(text.matches('R').count(), 2, "one drawn, one in the legend: {text}");
        assert!(text.ends_with("R rooted 1, x dead 1799; one mark for up to 3 pieces\n"), "{text}");
    }
}
