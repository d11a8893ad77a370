//! Fields of a record in the words of the trial's kind: a record keeps one set of names for all kinds.

use crate::kind::{self, KindWords};
use propagule_bench::Stage;
use propagule_bench::summarise::NotInRecord;
use propagule_protocol::vocab::Facet;

/// The detail of a method that a field states, where it states one: of `arm 1: growing place` and of
/// `arm 1, after 19 weeks: growing place` the last part.
pub fn of_a_detail(what: &str) -> Option<String> {
    let (arm, name) = what.split_once(": ")?;
    let name = name.replace(' ', "_");
    (arm.starts_with("arm ") && Facet::from_name(&name).is_some()).then_some(name)
}

/// What a field is, as a grower of that kind says it.
pub fn field(what: &str, words: &KindWords) -> String {
    if let Some(detail) = of_a_detail(what) {
        let arm = what.split_once(": ").map_or("", |(arm, _)| arm);
        return format!("{}: {}", field(arm, words), kind::detail(&detail));
    }
    let what = what
        .replace("unlisted difference", "what else differs")
        .replace("left as finished", "gone as finished")
        .replace("month of starting", &format!("month of {}", words.starting))
        .replace("day of starting", &format!("day of {}", words.starting));
    let what = what.strip_suffix(": final").map_or(what.clone(), |of| format!("{of}: finished"));
    let season = words.name(Stage::Season);
    let what = what.replace("count at season end", season).replace("season end", season);
    let what = what.replace("lift count", "lift").replace("rule of the region", "climate behind the region");
    let said = what.split(' ').map(|word| {
        let bare = word.trim_end_matches([':', ',']);
        let behind = &word[bare.len()..];
        match bare {
            "lift" => format!("{}{behind}", words.name(Stage::Lift)),
            "rooted" => format!("{}{behind}", words.lead),
            "arm" => format!("treatment{behind}"),
            "arms" => format!("treatments{behind}"),
            "replicate" => format!("pot{behind}"),
            "replicates" => format!("pots{behind}"),
            "lot" => format!("batch{behind}"),
            "revision" => format!("update{behind}"),
            "started" => format!("{}{behind}", words.started),
            "established" => format!("{}{behind}", words.established),
            _ => word.to_owned(),
        }
    });
    said.collect::<Vec<_>>().join(" ")
}

/// What it holds; words of the grower's own stay.
pub fn value(value: &str, words: &KindWords) -> String {
    match value {
        "no climate given" => "none given".to_owned(),
        "moved, unrooted survivors" => format!("moved, those {}", words.green),
        mark if mark.starts_with("mark ") => mark.replacen("mark", "group", 1),
        arm if is_arm(arm) => arm.replacen("arm", "treatment", 1),
        own => own
            .replacen("all arms reported", "all treatments reported", 1)
            .replacen("replicates matched in blocks", "pots matched in blocks", 1)
            .replacen("started counted at sticking", &format!("number counted at {}", words.starting), 1)
            .replacen("each piece placed by itself", &format!("each {} placed by itself", words.only()), 1),
    }
}

/// `arm 2`, as a record numbers them.
fn is_arm(value: &str) -> bool {
    value.strip_prefix("arm ").is_some_and(|number| number.bytes().all(|byte| byte.is_ascii_digit()))
}

/// Something that a record has no room for.
pub fn not_in_record(one: &NotInRecord, words: &KindWords) -> String {
    let lead = words.lead;
    match one {
        NotInRecord::Moves { arm, more, all } => {
            format!("treatment {arm}: {more} of its {all} moves, all but the first and the last")
        }
        NotInRecord::Rule(rule) => {
            format!("your test for {lead} ({rule}): a published result says {lead} without it")
        }
        NotInRecord::Grade(grade) => format!("your standard for finished ({grade})"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use propagule_bench::kind::Kind;

    #[test]
    fn fields_are_named_by_the_kind() {
        let said = |what, kind| field(what, &KindWords::of(kind));
        assert_eq!(said("arm 1, lift count: rooted", Kind::Cutting), "treatment 1, lift count: rooted");
        assert_eq!(said("arm 1, lift: ever rooted", Kind::Graft), "treatment 1, take count: ever taken");
        assert_eq!(said("weeks to lift", Kind::Seed), "weeks to germination count");
        assert_eq!(
            said("arm 2, season end: established", Kind::Seed),
            "treatment 2, count at pricking out: pricked out"
        );
        assert_eq!(said("weeks to count at season end", Kind::Layer), "weeks to weaning count");
        for (kind, started, starting) in [
            (Kind::Seed, "sown", "sowing"),
            (Kind::Graft, "grafted", "grafting"),
            (Kind::Mixed, "started", "starting"),
        ] {
            assert_eq!(said("arm 1: started", kind), format!("treatment 1: {started}"));
            let design = value("started counted at sticking", &KindWords::of(kind));
            assert_eq!(design, format!("number counted at {starting}"));
        }
        assert_eq!(said("arm 1, final: final", Kind::Graft), "treatment 1, final: finished");
        assert_eq!(said("day of starting", Kind::Seed), "day of sowing");
        let each = value("each piece placed by itself", &KindWords::of(Kind::Graft));
        assert_eq!(each, "each graft placed by itself");
        assert_eq!(said("arm 1: rootstock", Kind::Graft), "treatment 1: rootstock");
        assert_eq!(said("arm 1: auxin", Kind::Cutting), "treatment 1: rooting hormone");
        assert_eq!(said("arm 2: growing place", Kind::Cutting), "treatment 2: structure");
        assert_eq!(
            said("arm 2, after 19 weeks: auxin", Kind::Cutting),
            "treatment 2, after 19 weeks: rooting hormone"
        );
        assert_eq!(said("arm 2: unlisted difference", Kind::Cutting), "treatment 2: what else differs");
        let moved = value("moved, unrooted survivors", &KindWords::of(Kind::Graft));
        assert_eq!(moved, "moved, those still green, not yet taken");
        assert_eq!(value("my rooted bench", &KindWords::of(Kind::Graft)), "my rooted bench");
    }
}
