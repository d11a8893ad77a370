//! What commands and options were called before. The old names work for one version more (0.2) and say what they are called
//! now; in 0.3 this module goes.

mod read;
mod shapes;
#[cfg(test)]
mod tests;

pub(super) use read::in_new_words;

/// Old names in a command line behind the program's name, each with its new one.
pub fn old_names(words: Vec<String>) -> Vec<(String, String)> {
    in_new_words(words).1
}

/// Commands, old → new.
pub const COMMANDS: &[(&str, &str)] = &[
    ("place", "site"),
    ("spot", "bench"),
    ("care", "log"),
    ("plant", "names"),
    ("pots", "trial pots"),
    ("trial correct", "trial edit"),
    ("trial caution", "cautions hide"),
    ("trial labels", "print labels"),
    ("trial sheet", "print sheet"),
    ("trial report", "print report"),
    ("circle", "trust"),
    ("circle trust", "trust add"),
    ("circle untrust", "trust remove"),
    ("circle vouch", "trust vouch"),
    ("circle unvouch", "trust unvouch"),
    ("circle mute", "trust mute"),
    ("circle unmute", "trust unmute"),
    ("bundle out", "bundle export"),
    ("bundle in", "bundle import"),
    ("key rotate", "key replace"),
    ("key revoke", "key cancel"),
];

/// Commands whose words are put otherwise, old → new, for readers; how they are put is in `shapes`.
pub const SHAPES: &[(&str, &str)] = &[
    ("trial correct CODE --entry N", "fix CODE N"),
    ("trial correct CODE --entry N --take-back", "undo CODE N"),
    ("fix CODE N --take-back", "undo CODE N"),
    ("care BENCH --take-back N", "undo BENCH N"),
    ("check --take-back N-M", "undo --checks N-M"),
    ("move CODE WHERE --sold N", "sell CODE WHERE=N"),
    ("move CODE WHERE --given N", "give CODE WHERE=N"),
    ("move CODE WHERE --planted-out N", "plant-out CODE WHERE=N"),
];

/// What is still read as it was, and is now said otherwise.
pub const KEPT: &[(&str, &str)] = &[
    ("correct last", "fix CODE last"),
    ("stick --open", "settings announce on"),
    ("stick --no-open", "settings announce off"),
];

/// An option of some commands, as they are named now. An option without a new name said what its command now says by itself.
#[derive(Clone, Copy, Debug)]
pub struct RenamedOption {
    /// The commands; none means all.
    pub of: &'static [&'static str],
    /// The old name.
    pub old: &'static str,
    /// The new one.
    pub new: &'static str,
}

const fn option(of: &'static [&'static str], old: &'static str, new: &'static str) -> RenamedOption {
    RenamedOption { of, old, new }
}

/// Commands that ask of results.
const ASKING: &[&str] = &["pool", "compare", "plan"];
/// Commands that describe a trial.
const DESCRIBING: &[&str] = &["trial new", "trial edit"];

/// Options, old → new.
pub const OPTIONS: &[RenamedOption] = &[
    option(&["trial new", "move"], "--with", "--method"),
    option(&["bench", "stock"], "--with", "--about"),
    option(DESCRIBING, "--arm", "--treatment"),
    option(&["trial new"], "--pieces", "--count"),
    option(DESCRIBING, "--place", "--site"),
    option(DESCRIBING, "--lift", "--lift-on"),
    option(DESCRIBING, "--rooted-rule", "--rooted-means"),
    option(DESCRIBING, "--grade", "--finished-means"),
    option(&["bench"], "--lots", "--trials"),
    option(&["stick", "check", "due"], "--spot", "--bench"),
    option(&["move"], "--to", "--bench"),
    option(&["check"], "--wrap-cut", "--tape-cut"),
    option(&["check", "lift", "season", "spring", "final"], "--in-order", "--from-sheet"),
    option(&["stick"], "--from-memory", "--estimated"),
    option(&["sell", "give", "plant-out"], "--below-grade", "--unfinished"),
    option(&["cautions hide"], "--hide", ""),
    option(&["key replace"], "--fresh", "--unlinked"),
    option(&["compare"], "--at", "--as-if-at"),
    option(&["plan"], "--pieces", "--spare"),
    option(&["pool"], "--facets", "--effects"),
    option(&["pool"], "--evidence", "--save-results"),
    option(&["pool"], "--replicated-only", "--several-pots-only"),
    option(&["pool"], "--published", "--printed"),
    option(ASKING, "--opened-only", "--announced-only"),
    option(&[], "--file", "--photo"),
    option(&[], "--dates", "--date-order"),
    option(&[], "--once", "--entry-id"),
];

/// Words that options take, old → new.
pub const VALUES: &[RenamedValue] = &[
    RenamedValue { option: "--rest", old: "not-known", new: "not-seen" },
    RenamedValue { option: "--whose", old: "circle", new: "trusted" },
];

/// A word that an option takes.
#[derive(Clone, Copy, Debug)]
pub struct RenamedValue {
    /// The option.
    pub option: &'static str,
    /// The old word.
    pub old: &'static str,
    /// The new one.
    pub new: &'static str,
}
