//! How many of those at the beginning came how far: a bar for each step, with its denominator.

use maud::{Markup, html};
use serde::{Deserialize, Serialize};

use super::{Draw, bars, share};
use crate::lines::Lines;
use crate::phrase::Phrase;
use crate::table::{Column, Table};

/// Steps one below the other.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Funnel {
    /// The steps in order.
    pub steps: Vec<Step>,
    /// What they are of.
    pub caption: Phrase,
    /// Headings of the steps and of their counts.
    pub heads: [String; 2],
}

/// How many came so far.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Step {
    /// How far.
    pub words: String,
    /// How many.
    pub count: u32,
    /// Of how many.
    pub of: u32,
}

impl Step {
    fn count_words(&self) -> String {
        format!("{} of {}", self.count, self.of)
    }
}

impl Draw for Funnel {
    /// The table with a bar in each row: its words stand beside it.
    fn picture(&self) -> Markup {
        let [step, count] = &self.heads;
        html! {
            table {
                caption { (crate::markup::phrase(&self.caption)) }
                thead { tr { th scope="col" { (step) } th scope="col" class="n" { (count) } } }
                tbody { @for step in &self.steps { tr {
                    th scope="row" { (step.words) (share::bar(f64::from(step.count) / f64::from(step.of.max(1)))) }
                    td class="n" { (step.count_words()) }
                } } }
            }
        }
    }

    fn table(&self) -> Table {
        let [step, count] = &self.heads;
        let row = |step: &Step| vec![step.words.as_str().into(), step.count_words().into()];
        Table::new(self.caption.clone(), [Column::words(step), Column::numbers(count)])
            .rows(self.steps.iter().map(row))
    }

    /// In a bar `#` are those that came so far and `.` the rest of the denominator; all bars have one scale, so that
    /// denominators of different size are seen to differ.
    fn text(&self, lines: &mut Lines) {
        let largest = self.steps.iter().map(|step| step.count.max(step.of)).max().unwrap_or(0);
        let rows: Vec<(String, String)> =
            self.steps.iter().map(|step| (step.words.clone(), step.count_words())).collect();
        bars::write(lines, &rows, |place, room| bar(&self.steps[place], largest, room));
    }
}

/// At least one `#` where the count is not 0, at least one `.` where it is below the denominator.
fn bar(step: &Step, largest: u32, room: usize) -> String {
    let (count, of) = (step.count, step.of);
    if largest == 0 {
        return String::new();
    }
    let cells = |pieces: u32| (f64::from(pieces) / f64::from(largest) * room as f64).round() as usize;
    let whole = cells(of.max(count)).max(usize::from(of > 0));
    let rest = usize::from(count < of);
    let filled =
        cells(count).max(usize::from(count > 0)).min(whole.saturating_sub(rest).max(usize::from(count > 0)));
    format!("{}{}", "#".repeat(filled), ".".repeat(whole.saturating_sub(filled).max(rest)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn funnel(steps: &[(&str, u32, u32)], width: usize) -> String {
        let steps =
            steps.iter().map(|(words, count, of)| Step { words: (*words).into(), count: *count, of: *of });
        let funnel = Funnel { steps: steps.collect(), caption: Phrase::new(), heads: Default::default() };
        let mut lines = Lines::new(width);
        funnel.text(&mut lines);
        lines.into_text()
    }

    #[test]
    fn each_stage_shows_its_own_denominator_on_one_scale() {
        let stages =
            [("put in", 54, 54), ("alive at lift", 34, 54), ("rooted in spring", 4, 54), ("sold", 2, 4)];
        assert_eq!(
            funnel(&stages, 60),
            "put in            54 of 54  ################################\n\
             alive at lift     34 of 54  ####################............\n\
             rooted in spring   4 of 54  ##..............................\n\
             sold                2 of 4  #.\n"
        );
    }

    #[test]
    fn none_and_nearly_all_are_never_drawn_as_something_else() {
        let text = funnel(&[("none", 0, 500), ("one", 1, 500), ("nearly", 499, 500), ("all", 500, 500)], 60);
        let lines: Vec<&str> = text.lines().collect();
        assert!(!lines[0].contains('#') && lines[0].contains('.'));
        assert_eq!(lines[1].matches('#').count(), 1);
        assert_eq!(lines[2].matches('.').count(), 1);
        assert!(!lines[3].contains('.'));
    }

    #[test]
    fn lines_keep_to_the_width_and_long_labels_stand_above_their_bar() {
        let long = "rooted in spring after the survivors were moved to a cold frame in autumn";
        for width in [60, 100] {
            let text = funnel(&[("put in", 24, 24), (long, 3, 24)], width);
            assert!(text.lines().all(|line| line.len() <= width), "{text}");
            assert!(text.contains("24 of 24  ##") && text.contains(" 3 of 24  ##"), "{text}");
        }
    }

    #[test]
    fn nothing_and_nothing_of_nothing_are_no_error() {
        assert_eq!(funnel(&[], 60), "");
        assert_eq!(funnel(&[("put in", 0, 0)], 60), "put in  0 of 0\n");
    }
}
