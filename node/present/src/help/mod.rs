//! What the command line says of itself: each command and option has its help here, and in no other place.

mod at_the_bench;
mod lists;
mod results;
mod set_up;
mod shared;
mod sharing;
mod start;
mod your_data;

pub use lists::{COLUMNS, COUNTS, TREATMENTS};

/// What the program is, in a line.
pub const WHAT_IT_IS: &str = "Keep a bench record of cuttings, grafts, buds, seeds and layers, and learn with other growers which methods work";

/// The commands in the order in which help lists them, under their headings.
pub const GROUPS: &[(&str, &[&str])] = &[
    ("Start", &["init", "site", "settings", "serve", "demo"]),
    ("Set up", &["trial", "stock", "bench"]),
    (
        "At the bench",
        &[
            "stick",
            "check",
            "log",
            "move",
            "lift",
            "season",
            "spring",
            "final",
            "sell",
            "give",
            "plant-out",
            "note",
            "undo",
            "fix",
            "due",
            "print",
            "cautions",
        ],
    ),
    ("Results", &["pool", "compare", "plan", "names"]),
    ("Sharing", &["publish", "withdraw", "trust", "peers", "bundle", "key"]),
    ("Your data", &["export", "restore", "doctor", "store", "man", "completions"]),
];

/// Help of a command.
#[derive(Debug)]
pub struct CommandHelp {
    /// Its words, such as `trial new`.
    pub command: &'static str,
    /// What it does, in a line.
    pub first: &'static str,
    /// What else has to be known; empty where nothing has.
    pub more: &'static str,
    /// Lines that can be typed.
    pub examples: &'static [&'static str],
    /// Its arguments and options by their id, except those of [`option`] that others have as well.
    pub options: &'static [(&'static str, &'static str)],
}

impl CommandHelp {
    /// All that stands above the options.
    pub fn long(&self) -> String {
        let more = if self.more.is_empty() { String::new() } else { format!("{}\n\n", self.more) };
        let examples = self.examples.iter().map(|line| format!("\n  {line}"));
        format!("{}\n\n{more}Examples:{}", self.first, examples.collect::<String>())
    }

    /// What stands below the options.
    pub fn below(&self) -> Option<&'static str> {
        match self.command {
            "check" | "lift" | "season" | "spring" | "final" => Some(COUNTS),
            "trial new" => Some(TREATMENTS),
            "trial import" => Some(COLUMNS),
            _ => None,
        }
    }
}

/// Help of every command.
pub fn all() -> impl Iterator<Item = &'static CommandHelp> {
    let groups = [
        start::COMMANDS,
        set_up::COMMANDS,
        at_the_bench::COMMANDS,
        results::COMMANDS,
        sharing::COMMANDS,
        your_data::COMMANDS,
    ];
    groups.into_iter().flatten()
}

/// Help of the command of these words.
pub fn of(command: &str) -> Option<&'static CommandHelp> {
    all().find(|help| help.command == command)
}

/// What an argument or option of a command is, by its id.
pub fn option(command: &str, id: &str) -> Option<&'static str> {
    let own = of(command).map(|help| help.options).unwrap_or_default();
    own.iter().chain(shared::SHARED).find(|(known, _)| *known == id).map(|(_, words)| *words)
}

/// What `propagule` alone says: what it is, where the data lie, and what comes next.
pub fn alone(folder: &str, exists: bool) -> String {
    let (state, next) = if exists { ("", NEXT) } else { (" (not made yet)", FIRST) };
    format!(
        "{OPENING}\n\nUsage: propagule COMMAND\n\nYour data: {folder}{state}\n\nNext\n{next}\nAll commands: propagule --help\n"
    )
}

/// What the program is, at more length.
const OPENING: &str = "Propagule is a bench record for people who root cuttings, graft, bud, sow and layer. It keeps honest counts, says \
     what they do and do not show, and publishes a signed summary, with names, places, dates and notes removed, straight \
     to other growers.";

/// What comes first.
const FIRST: &str = "  propagule init              make your data folder and keys
  propagule demo              see a whole season with invented growers, on this computer only
  propagule trial new --help  set up your first trial
";

/// What comes when there are data.
const NEXT: &str = "  propagule due               what needs doing
  propagule trial list        your trials
  propagule serve             send and receive results
";

/// Names of before, each with what it is called now.
pub fn renamed(names: &[(String, String)]) -> String {
    let now = names.iter().map(|(old, new)| format!("\"{old}\" is now \"{new}\""));
    format!("note: {}", now.collect::<Vec<_>>().join(", "))
}

/// How the help of the whole program is laid out, with its commands under their headings.
pub fn layout(commands: &str) -> String {
    format!("{{about}}\n\n{{usage-heading}} {{usage}}\n\n{commands}Options:\n{{options}}")
}
