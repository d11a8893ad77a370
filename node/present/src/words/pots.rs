//! What a pot holds, in words: one line for the page and the printed sheet.

use crate::kind::KindWords;
use crate::words::sentences::when;
use propagule_bench::Row;
use propagule_bench::dates::When;

/// What a pot holds, and when it was last looked at.
pub fn held_on(row: &Row, last_look: Option<&When>, words: &KindWords) -> String {
    let looked =
        last_look.map_or_else(|| "not checked yet".to_owned(), |on| format!("checked {}", when(words, on)));
    format!("{}; {looked}", holds(row, words))
}

/// `9 of 12 alive: 4 rooted, 5 still green, not rooted; 2 dead, 1 lost`; what is none is left out, but for those alive.
pub fn holds(row: &Row, words: &KindWords) -> String {
    let alive = format!("{} of {} alive", row.alive(), row.started);
    let counted = |all: &[(u32, &str)]| {
        let some = all.iter().filter(|(count, _)| *count > 0);
        some.map(|(count, word)| format!("{count} {word}")).collect::<Vec<_>>().join(", ")
    };
    let living = match row.rooted() {
        Some(with) => counted(&[(with, words.ok), (row.waiting, words.green)]),
        None => String::new(),
    };
    let gone = counted(&[
        (row.not_known, "not seen"),
        (row.left_finished, "gone as finished"),
        (row.left_below, "gone unfinished"),
        (row.dead, "dead"),
        (row.lost, "lost"),
    ]);
    let living = if living.is_empty() { living } else { format!(": {living}") };
    let gone = if gone.is_empty() { gone } else { format!("; {gone}") };
    format!("{alive}{living}{gone}")
}

/// Where a pot belongs: `dip; block 2; from mother 3`, as far as it is more than its code.
pub fn belongs(code: &str, arm: &str, block: Option<&str>, stock_plant: Option<&str>) -> String {
    let arm = (arm != code).then(|| arm.to_owned());
    let block = block.map(|block| format!("block {block}"));
    let stock = stock_plant.map(|plant| format!("from {plant}"));
    arm.into_iter().chain(block).chain(stock).collect::<Vec<_>>().join("; ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use propagule_bench::kind::Kind;

    fn row() -> Row {
        Row {
            started: 12,
            waiting: 5,
            rooted_alive: 4,
            dead: 2,
            lost: 1,
            looked_for: 12,
            at_least: 4,
            ..Row::default()
        }
    }

    #[test]
    fn a_pot_says_what_it_holds() {
        let said = |kind| holds(&row(), &KindWords::of(kind));
        assert_eq!(said(Kind::Cutting), "9 of 12 alive: 4 rooted, 5 still green, not rooted; 2 dead, 1 lost");
        assert_eq!(said(Kind::Graft), "9 of 12 alive: 4 took, 5 still green, not yet taken; 2 dead, 1 lost");
        let fresh = Row { started: 1, waiting: 1, ..Row::default() };
        assert_eq!(holds(&fresh, &KindWords::of(Kind::Seed)), "1 of 1 alive");
        let gone = Row { started: 3, lost: 3, looked_for: 3, ..Row::default() };
        assert_eq!(holds(&gone, &KindWords::of(Kind::Seed)), "0 of 3 alive; 3 lost");
    }

    #[test]
    fn a_pot_says_where_it_belongs() {
        assert_eq!(belongs("P1", "dip", Some("2"), Some("mother 3")), "dip; block 2; from mother 3");
        assert_eq!(belongs("A", "A", None, None), "");
    }
}
