//! Fields of a record in the words of the trial's kind: a record keeps one set of names for all kinds.

use crate::kind::KindWords;
use propagule_bench::Stage;
use propagule_bench::summarise::NotInRecord;

/// What a field is, as a grower of that kind says it.
pub fn field(what: &str, words: &KindWords) -> String {
    let season = words.name(Stage::Season);
    let what = what.replace("count at season end", season).replace("season end", season);
    let said = what.split(' ').map(|word| {
        let bare = word.trim_end_matches([':', ',']);
        let behind = &word[bare.len()..];
        match bare {
            "lift" => format!("{}{behind}", words.name(Stage::Lift)),
            "rooted" => format!("{}{behind}", words.lead),
            "established" => format!("{}{behind}", words.established),
            _ => word.to_owned(),
        }
    });
    said.collect::<Vec<_>>().join(" ")
}

/// What it holds; words of the grower's own stay.
pub fn value(value: &str, words: &KindWords) -> String {
    match value {
        "moved, unrooted survivors" => format!("moved, survivors {}", words.without),
        own => own.to_owned(),
    }
}

/// Something that a record has no room for.
pub fn not_in_record(one: &NotInRecord, words: &KindWords) -> String {
    let lead = words.lead;
    match one {
        NotInRecord::Moves { arm, more, all } => {
            format!("arm {arm}: {more} of its {all} moves, all but the first and the last")
        }
        NotInRecord::Rule(rule) => {
            format!("your rule for {lead} ({rule}): a record says {lead} without a rule")
        }
        NotInRecord::Grade(grade) => format!("your grade of finished plants ({grade})"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use propagule_bench::kind::Kind;

    #[test]
    fn fields_are_named_by_the_kind() {
        let said = |what, kind| field(what, &KindWords::of(kind));
        assert_eq!(said("arm 1, lift: rooted", Kind::Cutting), "arm 1, lift: rooted");
        assert_eq!(said("arm 1, lift: ever rooted", Kind::Graft), "arm 1, take count: ever taken");
        assert_eq!(said("weeks to lift", Kind::Seed), "weeks to germination count");
        assert_eq!(said("arm 2, season end: established", Kind::Seed), "arm 2, pricking out: pricked out");
        assert_eq!(said("weeks to count at season end", Kind::Layer), "weeks to weaning");
        assert_eq!(said("arm 1: rootstock", Kind::Graft), "arm 1: rootstock");
        let moved = value("moved, unrooted survivors", &KindWords::of(Kind::Graft));
        assert_eq!(moved, "moved, survivors without taking");
        assert_eq!(value("my rooted bench", &KindWords::of(Kind::Graft)), "my rooted bench");
    }
}
