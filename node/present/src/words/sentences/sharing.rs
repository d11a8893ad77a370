//! Publishing, withdrawing, keys and the network.

use super::number_of;
use crate::kind::KindWords;

/// Before what leaves.
pub fn preview(_: &KindWords) -> String {
    "This leaves your computer, signed with your key:".to_owned()
}

/// Before what does not.
pub fn stays(_: &KindWords) -> String {
    "This stays at home:".to_owned()
}

/// Under which name results go out.
pub fn pseudonymous(_: &KindWords, command: &str) -> String {
    format!(
        "It goes out under your key, not your name. Your key links all your results. If you also show this trial in public, \
         its counts and months can link the key to you. To publish under a new unlinked key: {command}"
    )
}

/// What is published stays.
pub fn no_recall(_: &KindWords) -> String {
    "Once published it cannot be recalled from everybody.".to_owned()
}

/// How it leaves.
pub fn delay(_: &KindWords) -> String {
    "It leaves within two days, by a detour, so that it is hard to tell where it came from; --now skips both."
        .to_owned()
}

/// Nothing was published, and how to.
pub fn consent(_: &KindWords, code: &str) -> String {
    format!("Nothing was published. To publish it: propagule publish {code} --yes")
}

/// It is published.
pub fn published(_: &KindWords, code: &str, update: u8) -> String {
    format!("{code} is published (update {update}).")
}

/// It was published as it is.
pub fn published_already(_: &KindWords, code: &str, update: u8) -> String {
    format!("{code} is published as it stands (update {update}). There is nothing to do.")
}

/// Trials are announced from now on.
pub fn announce_on(words: &KindWords) -> String {
    format!(
        "From now on each trial is announced on the day you record it as {}: method and number, no result.",
        words.started
    )
}

/// They are not.
pub fn announce_off(_: &KindWords) -> String {
    "Trials are no longer announced.".to_owned()
}

/// Withdrawn for good.
pub fn withdrawn(_: &KindWords, code: &str) -> String {
    format!("{code} is withdrawn for good. Growers who have it stop counting it; they may keep a copy.")
}

/// A key was replaced.
pub fn key_replaced(_: &KindWords) -> String {
    "Your results now carry a new key; everybody can see that it follows the old one.".to_owned()
}

/// A new key that nothing links.
pub fn key_unlinked(_: &KindWords) -> String {
    "Your results now carry a new key, and nothing links it to the old one.".to_owned()
}

/// A key was cancelled.
pub fn key_cancelled(_: &KindWords, key: &str, month: &str) -> String {
    format!("Nothing signed with key {key} from {month} on counts any more.")
}

/// Before a public vouch.
pub fn vouch_warning(_: &KindWords) -> String {
    "Everybody will be able to read, for good, that your key trusts this one.".to_owned()
}

/// A grower is trusted at home.
pub fn trusted(_: &KindWords, name: &str) -> String {
    format!("You trust {name}. Nobody else knows.")
}

/// How the network stands.
pub fn network_state(_: &KindWords, computers: usize, results: u64) -> String {
    let here = number_of(results, "published result", "published results");
    match computers {
        0 => format!("Not connected. {here} here."),
        1 => format!("Connected to 1 grower's computer; {here} here."),
        some => format!("Connected to {some} growers' computers; {here} here."),
    }
}

/// A check of `doctor` that found nothing.
pub fn ok(_: &KindWords, check: &str) -> String {
    format!("OK: {check}.")
}

/// A check that found something.
pub fn fault(_: &KindWords, what: &str, command: &str) -> String {
    format!("Problem: {what}. Fix: {command}")
}

/// How many problems there are.
pub fn problems(_: &KindWords, problems: usize) -> String {
    match problems {
        0 => "Everything is working.".to_owned(),
        some => format!("{} found.", number_of(some, "problem", "problems")),
    }
}

/// Results came in.
pub fn arrived(_: &KindWords, results: usize) -> String {
    match results {
        0 => "Nothing new.".to_owned(),
        some => format!("{} arrived.", number_of(some, "result", "results")),
    }
}

/// Results that did not pass the checks.
pub fn refused(_: &KindWords, results: usize, reasons: &str) -> String {
    format!("{results} refused: {reasons}.")
}

/// Results of a newer version.
pub fn deferred(_: &KindWords, results: usize) -> String {
    let need = if results == 1 { "needs" } else { "need" };
    format!("{results} {need} a newer version of Propagule.")
}
