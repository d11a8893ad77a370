//! Whose results count first, and what a vouch tells everybody.

use crate::words::counted;

/// The heading.
pub const TITLE: &str = "Whose results count for you";
/// Where nobody was chosen.
pub const NOBODY_CHOSEN: &str =
    "You have not chosen any growers to trust yet, so everybody\u{2019}s results count alike.";

/// How many are trusted.
pub fn chosen(members: usize) -> String {
    let growers = counted(members, "grower", "growers");
    format!("You trust {growers}. What they report is shown first; everybody\u{2019}s stands beside it.")
}

/// Before there are growers enough to choose from.
pub fn too_few(growers: usize, enough: usize) -> String {
    let held = match growers {
        0 => "No results of other growers are held here yet.".to_owned(),
        1 => "Results of 1 grower are held here, and all count alike.".to_owned(),
        _ => format!("Results of {growers} growers are held here, and all count alike."),
    };
    format!(
        "{held} From about {enough} on, you can choose whom you trust: growers you do not know then weigh less."
    )
}

/// How much a grower counts.
pub fn counts(weight: &str) -> String {
    format!("counts {weight}")
}

/// Through whom a grower is known.
pub fn by_way_of(between: &[String]) -> String {
    format!("Known through {}.", between.join(", "))
}

/// A public vouch stands.
pub const VOUCHED: &str = "You vouch for this grower; everybody can read that.";
/// Trust that stays at home.
pub const TRUSTED: &str = "You trust this grower at home; nobody else knows.";
/// Ends a vouch.
pub const UNVOUCH: &str = "Withdraw the vouch";
/// Ends trust.
pub const UNTRUST: &str = "No longer trust";
/// None of their results count.
pub const IGNORE: &str = "Ignore";
/// Their results count again.
pub const COUNT_AGAIN: &str = "Count again";

/// The heading of the form.
pub const ADD: &str = "Add someone you know";
/// The field of a key.
pub const GROWER: &str = "Grower";
/// What a grower is found by.
pub const GROWER_HELP: &str = "Their key; its first letters are enough where results of theirs are here";
/// The field of a name.
pub const NAME: &str = "What you call them";
/// Who learns of it.
pub const NAME_HELP: &str = "Stays at home";
/// The button.
pub const AT_HOME: &str = "Trust at home";
/// The button for everybody to see.
pub const VOUCH: &str = "Vouch for everybody to see";
/// What the two buttons do.
pub const WHAT_EACH_DOES: &str = "Trust at home is known to nobody. A vouch is published: it says that you and that grower know each other. You are asked before it goes out.";

/// Growers whose results do not count.
pub fn ignored(count: usize) -> String {
    format!("Ignored: {}", counted(count, "grower", "growers"))
}

/// One of them.
pub fn none_count(name: &str) -> String {
    format!("{name}: none of their results count here.")
}

/// The heading of the form.
pub const IGNORE_ONE: &str = "Ignore a grower";
/// What it does.
pub const IGNORE_HELP: &str =
    "None of their results count here from then on. Nothing is published, and nobody else is affected.";
/// The own key.
pub const YOUR_KEY: &str = "Your key";
/// What it is for.
pub const YOUR_KEY_HELP: &str = "Growers who trust you need it:";

/// Those that are not listed.
pub fn more(count: usize) -> String {
    format!("And {count} more.")
}

/// The question before a vouch.
pub const VOUCH_TITLE: &str = "Vouch for this grower?";
/// What it does, in short.
pub const VOUCH_PUBLISHES: &str = "A vouch publishes a link between two people.";
/// The same at length.
pub const VOUCH_MEANS: &str = "Everybody can read that your key trusts this one, for good and on every computer it reaches. If your key is known to be yours, they can read that you know each other.";
/// What else does the same.
pub const OR_AT_HOME: &str = "Growers who trust you will count that grower too. Trust at home does the same for your own figures, and nobody learns of it.";
/// The button that keeps it at home.
pub const AT_HOME_ONLY: &str = "Trust at home only";
/// The button that publishes.
pub const VOUCH_YES: &str = "Vouch, for everybody to see";
/// Goes back.
pub const NEITHER: &str = "Neither";

/// Whom the question is about.
pub fn about(name: Option<&str>) -> String {
    name.map_or_else(|| "The grower:".to_owned(), |name| format!("The grower you call {name}:"))
}
