//! What a number of pieces may bring: twenty equally likely outcomes as dots, those that reach the aim filled.

use std::collections::BTreeMap;

use maud::{Markup, html};

use super::scale::WIDE;

/// Distance of dots above each other, and their radius.
const STEP: f64 = 12.0;
const RADIUS: f64 = 4.5;
const SIDE: f64 = 14.0;
const FOOT: f64 = 22.0;

/// Dots over the numbers of successes that they stand for.
pub(in crate::web) fn outcomes(pieces: u32, want: u32, outcomes: &[u32], done: &str) -> Markup {
    let most = outcomes.iter().copied().max().unwrap_or(0).max(want).max(1);
    // Dots next to each other must not touch: neighbouring numbers share a column.
    let columns = ((WIDE - 2.0 * SIDE) / (2.0 * RADIUS + 1.0)).floor() as u32;
    let wide = (most + 1).div_ceil(columns).max(1);
    let column = |number: u32| number / wide;
    let last = column(most).max(1);
    let x = |number: u32| SIDE + (WIDE - 2.0 * SIDE) * f64::from(column(number)) / f64::from(last);
    let mut stacks: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
    for number in outcomes {
        stacks.entry(column(*number)).or_default().push(*number);
    }
    let tallest = stacks.values().map(Vec::len).max().unwrap_or(1) as f64;
    let base = tallest * STEP + 6.0;
    let high = base + FOOT;
    let reached = outcomes.iter().filter(|number| **number >= want).count();
    let aim = x(want) - RADIUS - 1.5;
    html! {
        svg viewBox={ "0 0 " (WIDE) " " (high) } width=(WIDE) height=(high) role="img" aria-label={ "Of " (outcomes.len()) " equally likely outcomes of " (pieces) " pieces, " (reached) " bring " (want) " " (done) " or more" } {
            path class="line" d={ "M" (SIDE - 8.0) " " (base) "H" (WIDE - SIDE + 8.0) } {}
            path class="grid" d={ (format!("M{aim:.1} 0V{base}")) } {}
            @for stack in stacks.values() { @for (index, number) in stack.iter().enumerate() {
                circle class=(if *number >= want { "full" } else { "ring thin" }) cx=(format!("{:.1}", x(*number))) cy=(base - STEP * (index as f64 + 0.5)) r=(RADIUS) {}
            } }
            text x=(SIDE - 8.0) y=(high - 6.0) font-size="12" { "0" }
            @if want > 0 && x(want) > SIDE + 24.0 && x(want) < WIDE - 70.0 { text x=(format!("{:.1}", x(want))) y=(high - 6.0) text-anchor="middle" font-size="12" { (want) } }
            text x=(WIDE - SIDE + 8.0) y=(high - 6.0) text-anchor="end" font-size="12" { (most) " " (done) }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dots_that_reach_the_aim_are_filled_and_counted() {
        let drawn = outcomes(12, 2, &[0, 1, 2, 2, 5], "rooted").into_string();
        assert_eq!(
            (drawn.matches("class=\"full\"").count(), drawn.matches("class=\"ring thin\"").count()),
            (3, 2)
        );
        assert!(
            drawn.contains("Of 5 equally likely outcomes of 12 pieces, 3 bring 2 rooted or more"),
            "{drawn}"
        );
        // The two dots of the same number stand above each other.
        assert!(
            drawn.contains("cx=\"130.8\" cy=\"24\"") && drawn.contains("cx=\"130.8\" cy=\"12\""),
            "{drawn}"
        );
    }

    #[test]
    fn large_numbers_share_columns_within_the_picture() {
        let drawn = outcomes(2_000, 900, &[100, 900, 901, 1_500], "rooted").into_string();
        let at: Vec<f64> =
            drawn.split("cx=\"").skip(1).filter_map(|rest| rest.split('"').next()?.parse().ok()).collect();
        assert_eq!(at.len(), 4);
        assert!(at.iter().all(|x| (SIDE..=WIDE - SIDE).contains(x)), "{at:?}");
    }
}
