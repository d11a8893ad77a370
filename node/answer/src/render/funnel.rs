//! Stages one below the other, each with the denominator that it is a share of.

use super::wrap::{columns, pad_left, pad_right, push_line, wrap};

/// The shortest bar that is still drawn.
const SHORTEST_BAR: usize = 10;

/// One line a stage: label, `count of denominator`, and a bar in which `#` are the pieces and `.` the rest of the
/// denominator. All bars have one scale, so that denominators of different size are seen to differ.
///
/// At least one `#` is drawn where the count is not 0, at least one `.` where it is below the denominator. Lines have at
/// most `width` columns; a label that leaves no room for a bar goes on lines of its own.
pub fn funnel(stages: &[(&str, u32, u32)], width: usize) -> String {
    let counts: Vec<String> = stages.iter().map(|(_, count, of)| format!("{count} of {of}")).collect();
    let count_width = counts.iter().map(String::len).max().unwrap_or(0);
    let longest = stages.iter().map(|(label, ..)| columns(label)).max().unwrap_or(0);
    let beside = longest + count_width + 4 + SHORTEST_BAR <= width;
    let before = if beside { longest + 2 } else { 2 };
    let room = width.saturating_sub(before + count_width + 2).max(1);
    let largest = stages.iter().map(|(_, count, of)| *count.max(of)).max().unwrap_or(0);
    let mut out = String::new();
    for ((label, count, of), words) in stages.iter().zip(&counts) {
        let bar = format!("{}  {}", pad_left(words, count_width), bar(*count, *of, largest, room));
        if beside {
            push_line(&mut out, &format!("{}  ", pad_right(label, longest)), &bar);
        } else {
            wrap(&mut out, label, width, "");
            push_line(&mut out, "  ", &bar);
        }
    }
    out
}

fn bar(count: u32, of: u32, largest: u32, room: usize) -> String {
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
