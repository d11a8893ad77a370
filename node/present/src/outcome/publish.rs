//! Publishing and taking back in words.

use std::time::Duration;

use crate::document::{Column, Document, List, Phrase, Table};
use propagule_bench::kind::Kind;
use propagule_bench::summarise::NotInRecord;

use super::command::ending_in_command;
use super::{said, undo};
use crate::kind::KindWords;
use crate::words;
use crate::words::how_long;
use propagule_app::outcome::publish::{
    Departure, Publish, PublishPreview, PublishStep, RecordItem, Withdraw, WithdrawStep,
};

/// A trial and the network.
pub(super) fn publish(publish: &Publish) -> Document {
    let Publish { trial, revision, step, .. } = publish;
    match step {
        PublishStep::Preview(preview) => self::preview(trial, *revision, preview),
        PublishStep::Stands => Document::new().say(format!(
            "Trial \"{trial}\" is published as it stands (revision {revision}); nothing to do."
        )),
        PublishStep::Hurried { .. } => {
            Document::new().say(format!("Trial \"{trial}\" waited to leave; it leaves at once now."))
        }
        PublishStep::Published { record, first_under_this_key, departure, .. } => Document::new()
            .say(format!("Published trial \"{trial}\", revision {revision}, as record"))
            .say(record.to_string())
            .say(ending_in_command(&self::departure(*departure)))
            .action(undo::by(["withdraw", trial, "--reason", "mistaken"]))
            .when(*first_under_this_key, |said| said.append(offer_of_sheet())),
    }
}

fn preview(trial: &str, revision: u8, preview: &PublishPreview) -> Document {
    Document::new()
        .say(format!("Trial \"{trial}\", revision {revision}. This leaves your machine, signed:"))
        .table(items(&preview.leaves))
        .say("This stays at home:")
        .table(items(&preview.stays))
        .when(!preview.has_no_room.is_empty(), |said| {
            said.section("This has no room in a record:", |under| {
                under.each(&preview.has_no_room, |under, what| under.say(said::line(what)))
            })
        })
        .say(
            "The record is pseudonymous, not anonymous: your key links all your records, and if you also show this trial \
             publicly, its counts and months link the key to your name (propagule key replace --unlinked starts a key that \
             nothing links to it). What is published cannot be called back from everybody. It leaves at a random time \
             and by way of other nodes, so that it is hard to tell where it came from; --now skips both, and peers that \
             watch closely can then guess it.",
        )
        .each(&preview.cautions, |said, caution| said.say(format!("Caution: {}", said::line(caution))))
}

fn items(items: &[RecordItem]) -> Table {
    let rows = items.iter().map(|item| item.words.iter().map(said::line).map(Into::into).collect());
    Table::new("", [Column::words(""), Column::words("")]).bare_in_text().rows(rows)
}

/// Said when something is published under a key for the first time.
fn offer_of_sheet() -> Document {
    Document::new()
        .say(
            "This was the first record under this key. Print a revocation now and keep it with your papers: if the key is \
             ever lost or stolen, it takes all that the key signed out of everybody's results, from any computer.",
        )
        .list(List::points([Phrase::new().code("propagule key cancel --write-sheet revocation.txt")]))
}

/// How an own record leaves.
pub(super) fn departure(departure: Departure) -> String {
    match departure {
        Departure::Now => "It goes to connected peers now, and to others as they come.".to_owned(),
        Departure::OnceServed => {
            "It waits in the outbox until the node runs and meets a peer: propagule serve".to_owned()
        }
        Departure::Delayed { within_ms, is_running } => {
            let within = how_long(Duration::from_millis(within_ms));
            let running = if is_running { "" } else { " while the node runs (propagule serve)" };
            format!(
                "It leaves by itself at a random time within {within}{running}, by way of other nodes; until it has come \
                 round only your own answers show it."
            )
        }
    }
}

/// Said before a cultivar is published.
pub(super) const CULTIVAR: &str =
    "a protected cultivar may need a licence to be multiplied; ask its breeder or your authority.";

/// A field of a record as growers of a kind say it.
pub(super) fn field(what: &str, kind: Kind) -> String {
    words::published::field(what, &KindWords::of(kind))
}

/// The value of such a field.
pub(super) fn value(value: &str, kind: Kind) -> String {
    words::published::value(value, &KindWords::of(kind))
}

/// Something that a record has no room for.
pub(super) fn not_in_record(one: &NotInRecord, kind: Kind) -> String {
    words::published::not_in_record(one, &KindWords::of(kind))
}

/// A published trial is taken back.
pub(super) fn withdraw(Withdraw { trial, step, .. }: &Withdraw) -> Document {
    match step {
        WithdrawStep::Preview => Document::new().say(format!(
            "Taking trial \"{trial}\" back is final: everybody's node will leave it out, it can never be published again \
             under this name, and others may keep copies of what they have. Your bench record stays."
        )),
        WithdrawStep::Stands => Document::new()
            .say(format!("Trial \"{trial}\" has been taken back already; nothing to do.")),
        WithdrawStep::Withdrawn { record, departure } => Document::new()
            .say(format!("Trial \"{trial}\" is taken back by record"))
            .say(record.to_string())
            .say("Every node that gets this record leaves the trial out.")
            .say(ending_in_command(&self::departure(*departure))),
    }
}
