//! Headings that growers write.

use super::columns::{self, CHECK, UNUSED};
use super::heading::plain;

/// Headings that say of what they are the number only by what stands beside and below them.
pub(super) const BARE_NUMBERS: [&str; 5] = ["number", "no.", "no", "nr.", "nr"];

/// Headings that growers write, and the column each means; those of a facet's own name need no entry.
const USUAL: [(&str, &str); 87] = [
    ("lot", "trial"),
    ("code", "trial"),
    ("batch", "trial"),
    ("plant", "species"),
    ("name", "species"),
    ("taxon", "species"),
    ("in", "started"),
    ("putin", "started"),
    ("put_in", "started"),
    ("pieces", "started"),
    ("cuttings", "started"),
    ("grafts", "started"),
    ("scions", "started"),
    ("seeds", "started"),
    ("layers", "started"),
    ("divisions", "started"),
    ("quantity", "started"),
    ("qty", "started"),
    ("number", "started"),
    ("no.", "started"),
    ("no", "started"),
    ("nr.", "started"),
    ("nr", "started"),
    ("stuck", "started"),
    ("number_put_in", "started"),
    ("n", "started"),
    ("grafted", "started"),
    ("budded", "started"),
    ("layered", "started"),
    ("divided", "started"),
    ("sown", "started"),
    ("date", "started_on"),
    ("on", "started_on"),
    ("day", "started_on"),
    ("put_in_on", "started_on"),
    ("start_date", "started_on"),
    ("date_started", "started_on"),
    ("date_put_in", "started_on"),
    ("date_stuck", "started_on"),
    ("date_sown", "started_on"),
    ("date_grafted", "started_on"),
    ("stuck_on", "started_on"),
    ("sown_on", "started_on"),
    ("grafted_on", "started_on"),
    ("treatment", "arm"),
    ("pretreatment", "arm"),
    ("tray", "pot"),
    ("replicate", "rep"),
    ("grafter", "operator"),
    ("done_by", "operator"),
    ("worker", "operator"),
    ("cut", "form"),
    ("mother", "stock_plant"),
    ("lift", "lift_rooted"),
    ("rooted", "lift_rooted"),
    ("roots", "lift_rooted"),
    ("taken", "lift_rooted"),
    ("took", "lift_rooted"),
    ("take", "lift_rooted"),
    ("germinated", "lift_rooted"),
    ("germination", "lift_rooted"),
    ("up", "lift_rooted"),
    ("alive", "lift_alive"),
    ("green", "lift_green"),
    ("dead", "lift_dead"),
    ("died", "lift_dead"),
    ("lost", "lift_lost"),
    ("callused", "lift_callused"),
    ("not_known", "lift_not_known"),
    ("lifted", "lift_on"),
    ("lift_date", "lift_on"),
    ("date_lifted", "lift_on"),
    ("weaned", "season_rooted"),
    ("season_end", "season_rooted"),
    ("growing_on", "season_rooted"),
    ("spring", "spring_rooted"),
    ("finished", "final_finished"),
    ("final", "final_finished"),
    ("sold", "final_left_as_finished"),
    ("suckers_removed", "suckers"),
    ("notes", "note"),
    ("remarks", "note"),
    ("comment", "note"),
    ("comments", "note"),
    ("mothers", "stock_plants"),
    ("hormone", "auxin"),
    ("substrate", "medium"),
];

/// The column of that name, or that growers usually mean by it.
pub(super) fn by_name(heading: &str) -> Option<String> {
    let plain = plain(heading);
    // A check needs its day, and what is unused needs nobody to say so.
    if columns::known().contains(&plain) && !plain.starts_with(CHECK) && plain != UNUSED {
        return Some(plain);
    }
    let usual = USUAL.iter().find(|(from, _)| *from == plain).map(|(_, to)| (*to).to_owned());
    usual
        .or_else(|| by_name(number_of(&plain)?).filter(|name| columns::is_count(name)))
        .or_else(|| by_name(numbered(&plain)?).filter(|name| name == "trial"))
}

/// What a heading such as `trial no.` or `lot #` tells apart by numbers.
fn numbered(plain: &str) -> Option<&str> {
    let signs = ["number", "num", "no.", "no", "nr.", "nr", "#", "id", "code"];
    let before = signs.iter().find_map(|sign| plain.strip_suffix(sign))?.trim_end_matches('_');
    Some(before).filter(|what| !what.is_empty())
}

/// What a heading such as `# rooted` or `no. of cuttings` numbers.
fn number_of(plain: &str) -> Option<&str> {
    let behind = ["#", "number", "no.", "no", "nr.", "nr", "num"].iter().find_map(|sign| {
        let behind = plain.strip_prefix(sign)?;
        // `north` is no number.
        (*sign == "#" || behind.starts_with('_')).then_some(behind)
    })?;
    let behind = behind.trim_start_matches('_');
    Some(behind.strip_prefix("of_").unwrap_or(behind)).filter(|what| !what.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_sign_before_what_is_numbered_changes_nothing() {
        let named = |heading: &str| by_name(heading);
        for heading in
            ["# cuttings", "#cuttings", "No. of cuttings", "Number of scions", "nr seeds", "Qty", "# stuck"]
        {
            assert_eq!(named(heading).as_deref(), Some("started"), "{heading}");
        }
        assert_eq!(named("# rooted").as_deref(), Some("lift_rooted"));
        assert_eq!(named("number of dead").as_deref(), Some("lift_dead"));
        for heading in ["# plant", "north", "# of", "#", "no treatment", "plant no.", "piano"] {
            assert_eq!(named(heading), None, "{heading}");
        }
    }

    #[test]
    fn trials_are_told_apart_by_their_usual_numbers() {
        for heading in [
            "Trial",
            "trial no.",
            "Trial No",
            "TRIAL NUMBER",
            "Trial-Nr.",
            "trial #",
            "Trial code",
            "trial id",
            "Lot",
            "Lot no.",
            "batch",
            "Batch nr",
            "code",
        ] {
            assert_eq!(by_name(heading).as_deref(), Some("trial"), "{heading}");
        }
    }
}
