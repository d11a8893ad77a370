//! The circle in words.

use crate::document::{Document, List};
use propagule_files::counted::counted;
use propagule_protocol::AuthorKey;

use super::command::ending_in_command;
use super::{publish, undo};
use propagule_app::Change;
use propagule_app::outcome::circle::{Called, Circle, GrowerKept, Member, VouchStep, Vouched};

/// What a grower is called here, with the beginning of the key.
pub fn called(called: &Called) -> String {
    match &called.name {
        _ if called.is_reader => "you".to_owned(),
        Some(name) => format!("{name} ({})", short(&called.key)),
        None => short(&called.key),
    }
}

/// The first letters of a key.
fn short(key: &AuthorKey) -> String {
    key.to_string()[..8].to_owned()
}

/// Who is in the circle, why, and with what weight.
pub(super) fn all(circle: &Circle) -> Document {
    let muted: Vec<String> = circle.muted_growers.iter().map(called).collect();
    Document::new()
        .say("Your key, to hand on to growers who trust you:")
        .say(circle.key.to_string())
        .append(members(circle))
        .when(!muted.is_empty(), |said| said.say(format!("Ignored: {}.", muted.join(", "))))
}

fn members(circle: &Circle) -> Document {
    if circle.members.is_empty() {
        return Document::new()
            .say("You have not chosen any growers to trust yet, so everybody's results count alike.")
            .say(ending_in_command(
                "Trust a grower you know, at home only: propagule trust add KEY --as NAME",
            ))
            .say(ending_in_command("Or vouch publicly: propagule trust vouch KEY"));
    }
    let title = format!("Growers you trust: {}.", counted(circle.members.len(), "grower", "growers"));
    Document::new()
        .section(title, |under| under.list(List::points(circle.nearest_first().into_iter().map(member))))
}

fn member(member: &Member) -> String {
    let path: Vec<String> = member.path_growers.iter().map(called).collect();
    format!("{} counts {} by {}", called(&member.called), weight(member.weight), path.join(" > "))
}

/// With what weight a grower counts.
pub fn weight(weight: f64) -> String {
    if weight >= 1.0 { "fully".to_owned() } else { format!("{:.0}%", weight * 100.0) }
}

/// What this home knows of a grower has changed.
pub(super) fn kept(kept: &GrowerKept) -> Document {
    let key = short(&kept.grower.key);
    let called = called(&Called::from(&kept.grower));
    let (said, opposite) = match kept.change {
        Change::Trust => (format!("You trust {called}. Nobody else knows."), "remove"),
        Change::Untrust if kept.vouched => (
            format!(
                "You no longer trust {called} at home, but your public vouch stands. End that too: \
                     propagule trust unvouch {key}"
            ),
            "add",
        ),
        Change::Untrust => (format!("You no longer trust {called}. Nobody else knows."), "add"),
        Change::Mute => {
            (format!("{called} is ignored: none of their results count here. Nobody else knows."), "unmute")
        }
        Change::Unmute => (format!("{called} is no longer ignored."), "mute"),
    };
    Document::new().say(ending_in_command(&said)).action(undo::by(["trust", opposite, &key]))
}

/// A vouch, or its end.
pub(super) fn vouched(vouched: &Vouched) -> Document {
    let key = short(&vouched.grower);
    let called = called(&vouched.called);
    let record = vouched.record.map(|record| record.to_string());
    match vouched.step {
        VouchStep::Preview => Document::new()
            .say("Everybody will be able to read, for good, that your key trusts this one:")
            .say(vouched.grower.to_string())
            .say(ending_in_command(&format!(
                "Growers who trust you will count that grower too. Where your key is known to be \
                     yours, so is that you know each other. To trust at home only: propagule trust add \
                     {key}"
            ))),
        VouchStep::Stands => {
            Document::new().say(format!("You vouch for {called} already. There is nothing to do."))
        }
        VouchStep::Signed { departure } => Document::new()
            .say(format!("You vouch for {called} publicly, in the entry"))
            .each(record, Document::say)
            .say(ending_in_command(&publish::departure(departure)))
            .action(undo::by(["trust", "unvouch", &key])),
        // Of a grower who was never named here nothing else is left that its first letters could be found by.
        VouchStep::Ended { departure } => Document::new()
            .say(format!("You no longer vouch for {called}, in the entry"))
            .each(record, Document::say)
            .say(ending_in_command(&publish::departure(departure)))
            .action(undo::by(["trust", "vouch", &vouched.grower.to_string()])),
    }
}
