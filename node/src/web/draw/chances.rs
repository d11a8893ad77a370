//! What growers like the reader would see, count by count, with the reader's own count marked.

use std::fmt::Write;

use maud::{Markup, html};

use super::scale::WIDE;
use crate::answer::words::in_hundred;

/// Most bars; above that a bar stands for several counts.
const BARS: usize = 41;
/// Most lines of the table.
const LINES: usize = 21;
/// Height of the highest bar, and of the room above and below.
const HIGH: f64 = 90.0;
const ABOVE: f64 = 16.0;
const FOOT: f64 = 20.0;
const SIDE: f64 = 8.0;

/// Counts from `first` to `last` with their chance together.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Bin {
    first: usize,
    last: usize,
    chance: f64,
}

/// Neighbouring counts put together until there are at most `most` bins.
fn bins(law: &[f64], most: usize) -> Vec<Bin> {
    let wide = law.len().div_ceil(most.max(1)).max(1);
    let chunks = law.chunks(wide).enumerate();
    let bin = |(index, chances): (usize, &[f64])| Bin {
        first: index * wide,
        last: index * wide + chances.len() - 1,
        chance: chances.iter().sum(),
    };
    chunks.map(bin).collect()
}

/// The chances of each count of `law`, the own one marked, with a table behind.
pub(in crate::web) fn chances(label: &str, law: &[f64], own: usize, done: &str) -> Markup {
    let bins = bins(law, BARS);
    let highest = bins.iter().map(|bin| bin.chance).fold(f64::MIN_POSITIVE, f64::max);
    let step = (WIDE - 2.0 * SIDE) / bins.len().max(1) as f64;
    let base = ABOVE + HIGH;
    let (mut others, mut mine) = (String::new(), String::new());
    let mut middle = SIDE;
    for (index, bin) in bins.iter().enumerate() {
        let is_own = (bin.first..=bin.last).contains(&own);
        let (x, high) = (SIDE + step * index as f64, HIGH * bin.chance / highest);
        let bar = if is_own { &mut mine } else { &mut others };
        let _ = write!(bar, "M{:.1} {base}v{:.1}h{:.1}v{:.1}z", x + step * 0.1, -high, step * 0.8, high);
        if is_own {
            middle = x + step / 2.0;
        }
    }
    let high = base + FOOT;
    let last = law.len().saturating_sub(1);
    let anchor = if middle < 40.0 {
        "start"
    } else if middle > WIDE - 40.0 {
        "end"
    } else {
        "middle"
    };
    html! {
        div class="figure" {
            svg viewBox={ "0 0 " (WIDE) " " (high) } width=(WIDE) height=(high) role="img" aria-label={ (label) ": chances of 0 to " (last) " " (done) " for a grower like you; yours is " (own) "; the table has the numbers" } {
                path class="open" d=(others) {}
                path class="full" d=(mine) {}
                path class="line" d={ "M" (SIDE) " " (base) "H" (WIDE - SIDE) } {}
                text x=(format!("{middle:.1}")) y="11" text-anchor=(anchor) font-size="12" { "yours: " (own) }
                text x=(SIDE) y=(high - 5.0) font-size="12" { "0" }
                text x=(WIDE - SIDE) y=(high - 5.0) text-anchor="end" font-size="12" { (last) " " (done) }
            }
            (table(law, own, done))
        }
    }
}

fn table(law: &[f64], own: usize, done: &str) -> Markup {
    html! {
        details {
            summary { "As a table" }
            table {
                caption { "Of 100 growers like you, so many would count" }
                thead { tr { th scope="col" { (done) } th scope="col" class="n" { "Times in 100" } } }
                tbody { @for bin in bins(law, LINES) { tr {
                    th scope="row" {
                        (bin.first) @if bin.last > bin.first { " to " (bin.last) }
                        @if (bin.first..=bin.last).contains(&own) { " (yours: " (own) ")" }
                    }
                    td class="n" { (in_hundred(bin.chance)) }
                } } }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_counts_share_bars_and_keep_their_chance() {
        let law = vec![0.01; 100];
        let bins = bins(&law, BARS);
        assert_eq!(
            (bins.len(), bins[0].first, bins[0].last, bins[33].first, bins[33].last),
            (34, 0, 2, 99, 99)
        );
        assert!((bins.iter().map(|bin| bin.chance).sum::<f64>() - 1.0).abs() < 1e-9);
    }

    #[test]
    fn the_own_count_is_a_bar_of_its_own_with_its_number() {
        let drawn = chances("Arm <1>", &[0.25, 0.5, 0.25], 2, "rooted").into_string();
        assert!(
            drawn.starts_with(
                "<div class=\"figure\"><svg viewBox=\"0 0 320 126\" width=\"320\" height=\"126\" role=\"img\" \
                 aria-label=\"Arm &lt;1&gt;: chances of 0 to 2 rooted for a grower like you; yours is 2; the table has \
                 the numbers\"><path class=\"open\" d=\"M18.1 106v-45.0h81.1v45.0zM119.5 106v-90.0h81.1v90.0z\"></path>\
                 <path class=\"full\" d=\"M220.8 106v-45.0h81.1v45.0z\"></path>"
            ),
            "{drawn}"
        );
        assert!(drawn.contains("<th scope=\"row\">2 (yours: 2)</th><td class=\"n\">25</td>"), "{drawn}");
    }
}
