//! A tray that changes while somebody counts: a cell for each piece, filled anew by the script of the page.

use maud::{Markup, html};

use super::Mark;
use super::fates;

/// Cells beside each other.
const ACROSS: u32 = 6;
/// Cells that a tray holds; a place with more is counted without one.
const MOST: u32 = 60;
const STEP: u32 = 22;
const RIM: u32 = 5;

/// The cells of a place, filled in order; the counts beside it say the same, so that readers pass it over.
pub fn changing(cells: u32, filled: &[(Mark, u32)]) -> Markup {
    if cells == 0 || cells > MOST {
        return Markup::default();
    }
    let fates = filled.iter().flat_map(|(mark, count)| std::iter::repeat_n(*mark, *count as usize));
    let fates = fates.chain(std::iter::repeat(Mark::Uncounted)).zip(0..cells);
    let across = if cells > 24 { 2 * ACROSS } else { ACROSS };
    let (wide, high) = (2 * RIM + cells.min(across) * STEP, 2 * RIM + cells.div_ceil(across) * STEP);
    html! {
        div class="figure tray" data-tray {
            svg viewBox={ "0 0 " (wide) " " (high) } width=(2 * wide) height=(2 * high) aria-hidden="true" {
                rect class="box" width=(wide) height=(high) rx="6" {}
                @for (mark, at) in fates {
                    @let (x, y) = (RIM + at % across * STEP + 1, RIM + at / across * STEP + 1);
                    rect class="cell" x=(x) y=(y) width="20" height="20" rx="4" {}
                    use href={ "#fate-" (mark.name()) } x=(x) y=(y) width="20" height="20" {}
                }
            }
        }
    }
}

/// Every mark by its name, once on a page that has trays of this sort.
pub fn symbols() -> Markup {
    fates::symbols()
}

/// A mark beside the words of what is counted.
pub fn key(mark: Mark) -> Markup {
    fates::key(mark)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_cell_has_its_fate_and_what_is_left_is_not_counted() {
        let drawn = changing(6, &[(Mark::With, 2), (Mark::Dead, 1)]).into_string();
        let of = |name: &str| drawn.matches(&format!("\"#fate-{name}\"")).count();
        assert_eq!([of("with"), of("dead"), of("uncounted")], [2, 1, 3]);
        assert_eq!(changing(MOST + 1, &[]).into_string(), "");
        let all = symbols().into_string();
        assert!(Mark::ALL.iter().all(|mark| all.contains(&format!("id=\"fate-{}\"", mark.name()))));
    }
}
