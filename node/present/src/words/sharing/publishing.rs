//! Exactly what leaves and what stays, a yes, and withdrawing.

/// What publishing is.
pub const WHAT_IT_IS: &str = "What is published is a signed summary: plant, method, counts, month and a coarse region. It goes out under your key, not your name. Nothing leaves before you have seen it and said yes.";
/// The heading of announcing.
pub const ANNOUNCING: &str = "Announcing a trial when it starts";

/// What happens to a new trial.
pub const fn announcing(chosen: Option<bool>) -> &'static str {
    match chosen {
        Some(true) => {
            "Each new trial is announced on the day it is started: method and number, no result. You can choose otherwise when you start it."
        }
        Some(false) => {
            "Trials are not announced on the day they are started. You can choose otherwise when you start one."
        }
        None => {
            "Not chosen yet: when you start a trial, you can have it announced: method and number, no result."
        }
    }
}

/// The heading of the list.
pub const YOUR_TRIALS: &str = "Your trials";
/// Where there is none.
pub const NO_TRIAL: &str = "No trial yet.";
/// Nothing is offered.
pub const OFF: &str = "Publishing is off: nothing is offered. To end that: propagule settings publishing on";
/// The parts of a long list, for those who do not see them.
pub const PAGES: &str = "Pages";

/// The heading of one trial.
pub fn title(code: &str) -> String {
    format!("Publish {code}")
}

/// It was said yes to.
pub const DONE: &str = "Published.";
/// When it leaves.
pub const DONE_WHEN: &str = "It leaves within two days while Propagule runs, or now where you chose that.";
/// It is published already.
pub const AS_IT_STANDS: &str = "It is published as it stands; nothing to do.";
/// The heading of what leaves.
pub const LEAVES: &str = "Leaves this computer, signed";
/// The table of it.
pub const LEAVES_TABLE: &str = "Everything that leaves";
/// The heading of what stays.
pub const STAYS: &str = "Stays at home";
/// The table of it.
pub const STAYS_TABLE: &str = "What you entered and nobody gets";
/// The heading of what cannot be published.
pub const NO_ROOM: &str = "This has no room in a published result";
/// The heading of what a yes means.
pub const BEFORE_YES: &str = "Before you say yes";
/// What a key tells.
pub const KEY_LINKS: &str = "It goes out under your key, not your name. Your key links all your results. If you also show this trial in public, its counts and months can link the key to you.";
/// What cannot be undone.
pub const NO_RECALL: &str = "Once published it cannot be recalled from everybody. It leaves within two days, by a detour, so that it is hard to tell where it came from.";
/// At once.
pub const NOW: &str = "Send it now: computers that watch closely can then guess that it came from here";
/// Goes back.
pub const NOT_NOW: &str = "Not now";

/// The button.
pub fn yes(code: &str) -> String {
    format!("Yes, publish {code}")
}

/// The heading of withdrawing.
pub const WITHDRAW: &str = "Withdraw";

/// Leads to withdrawing, and its heading.
pub fn withdraw(code: &str) -> String {
    format!("Withdraw {code}")
}

/// The field of the reason.
pub const WHY: &str = "Why";
/// Who reads it.
pub const WHY_HELP: &str = "The reason is published";

/// The button that withdraws.
pub fn withdraw_yes(code: &str) -> String {
    format!("Yes, withdraw {code} for good")
}
