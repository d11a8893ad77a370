//! Whether exchange with other growers works, and what is held here.

use jiff::Timestamp;
use propagule_app::outcome::peers::Health;
use propagule_network::intake::Counts;

use crate::number::grouped;
use crate::words::counted;
use crate::words::time::ago;

/// How it stands, in a word or two.
pub const fn title(health: &Health) -> &'static str {
    match health {
        Health::Well { .. } => "All well",
        Health::NothingYet { .. } => "Connected",
        Health::NobodyThere { .. } => "Nobody answers now",
        Health::NobodyKnown => "On your own so far",
        Health::Stopped => "Not on the network",
    }
}

/// The same in a sentence, and what to do where that is up to the grower.
pub fn sentence(health: &Health, now: Timestamp) -> String {
    let computers = |count: usize| counted(count, "grower\u{2019}s computer", "growers\u{2019} computers");
    match health {
        Health::Well { connected, last_exchange } => {
            format!("Connected to {}. Last exchanged {}.", computers(*connected), ago(last_exchange, now))
        }
        Health::NothingYet { connected } => {
            format!("Connected to {}. Nothing has been exchanged yet.", computers(*connected))
        }
        Health::NobodyThere { known: 1 } => {
            "The one computer you know does not answer. It is tried again and again.".to_owned()
        }
        Health::NobodyThere { known } => {
            format!("None of the {known} computers you know answers. They are tried again and again.")
        }
        Health::NobodyKnown => {
            "No other grower\u{2019}s computer is known yet. Ask a grower for an invite, or send one."
                .to_owned()
        }
        Health::Stopped => "This page is open, but Propagule does not exchange results now.".to_owned(),
    }
}

/// Results of all growers that are held.
pub const HELD: &str = "Results held";
/// Own results that leave.
pub const LEAVING: &str = "Yours, on their way out";
/// Where none does.
pub const NONE_LEAVING: &str = "none";
/// What came in.
pub const NEW: &str = "New since the start";
/// What came in and could not be read.
pub const REFUSED: &str = "Refused since the start";
/// Why it was refused.
pub const WHY_REFUSED: &str = "Why they were refused";
/// What cannot be read yet.
pub const LATER: &str = "For a newer version or a later month";
/// What came in twice.
pub const KNOWN_ALREADY: &str = "Came in again";
/// What came faster than it may.
pub const OVER_QUOTA: &str = "Too many at once, fetched later";
/// What had no room.
pub const DROPPED: &str = "Left out for want of room";
/// How results came in.
pub const HOW_THEY_CAME: &str = "How they came in";

/// All that came in since the start.
pub fn new(counts: &Counts) -> u64 {
    counts.by_gossip + counts.by_stem + counts.by_exchange + counts.by_bundle
}

/// The same by the way it came.
pub fn ways(counts: &Counts) -> [(&'static str, u64); 4] {
    [
        ("Passed on by others", counts.by_gossip),
        ("By a detour", counts.by_stem),
        ("Fetched", counts.by_exchange),
        ("From files", counts.by_bundle),
    ]
}

/// One reason, with how often it stood in the way.
pub fn reason(count: u64, reason: &str) -> String {
    format!("{}: {reason}", grouped(count))
}

/// The heading of what is on disk.
pub const STORAGE: &str = "Storage";
/// The own records.
pub const BENCH: &str = "Your bench";
/// What speeds up reading.
pub const INDEX: &str = "Index, built again when lost";
/// What others published.
pub const RECORDS: &str = "Results of all growers";

/// How much of the room is used.
pub fn of_at_most(used: u64, quota: u64) -> String {
    format!("{} of at most {}", size(used), size(quota))
}

/// Bytes in the unit that keeps the number short.
pub fn size(bytes: u64) -> String {
    let number = bytes as f64;
    match bytes {
        0..1_000 => format!("{bytes} bytes"),
        1_000..1_000_000 => format!("{:.0} KB", number / 1e3),
        1_000_000..1_000_000_000 => format!("{:.1} MB", number / 1e6),
        _ => format!("{:.1} GB", number / 1e9),
    }
}
