//! Publishing and taking back in words.

use std::time::Duration;

use crate::document::{Column, Document, Fold, List, Phrase, Table};
use propagule_bench::kind::Kind;
use propagule_bench::summarise::NotInRecord;

use super::command::ending_in_command;
use super::{said, undo};
use crate::kind::{self, KindWords};
use crate::words;
use crate::words::sentences::sharing;
use crate::words::{any_kind, counted, how_long};
use propagule_app::outcome::publish::{
    Departure, Publish, PublishPreview, PublishStep, RecordItem, Withdraw, WithdrawStep,
};

/// A trial and the network.
pub(super) fn publish(publish: &Publish) -> Document {
    let Publish { trial, revision, step, .. } = publish;
    match step {
        PublishStep::Preview(preview) => self::preview(trial, *revision, preview),
        PublishStep::Stands => Document::new().say(sharing::published_already(&any_kind(), trial, *revision)),
        PublishStep::Hurried { .. } => {
            Document::new().say(format!("{trial} was waiting to leave. It leaves at once now."))
        }
        PublishStep::Published { record, first_under_this_key, departure, .. } => Document::new()
            .say(sharing::published(&any_kind(), trial, *revision))
            .say(ending_in_command(&self::departure(*departure)))
            .folded(record_of(record))
            .action(undo::by(["withdraw", trial, "--reason", "mistaken"]))
            .when(*first_under_this_key, |said| said.append(offer_of_sheet())),
    }
}

fn preview(trial: &str, revision: u8, preview: &PublishPreview) -> Document {
    Document::new()
        .say(format!("{trial}, update {revision}. {}", sharing::preview(&any_kind())))
        .table(items(&preview.leaves))
        .say(sharing::stays(&any_kind()))
        .table(items(&preview.stays))
        .when(!preview.has_no_room.is_empty(), |said| {
            said.section("This has no room in a published result:", |under| {
                under.each(&preview.has_no_room, |under, what| under.say(said::line(what)))
            })
        })
        .say(ending_in_command(&sharing::pseudonymous(&any_kind(), "propagule key replace --unlinked")))
        .say(format!("{} {}", sharing::no_recall(&any_kind()), sharing::delay(&any_kind())))
        .each(&preview.cautions, |said, caution| said.say(format!("Caution: {}", said::line(caution))))
}

/// The record, for who looks closer.
fn record_of(record: &impl std::fmt::Display) -> Fold {
    Fold::new("Details", Document::new().say(format!("record {record}"))).unfolded_in_text()
}

fn items(items: &[RecordItem]) -> Table {
    let cells = |item: &RecordItem| {
        let value = words::published::of_a_detail(&item.what)
            .map_or_else(|| said::line(&item.words[1]), |detail| kind::in_our_words(&detail, &item.value));
        vec![said::line(&item.words[0]).into(), value.into()]
    };
    let rows = items.iter().map(cells);
    Table::new("", [Column::words(""), Column::words("")]).bare_in_text().rows(rows)
}

/// Said when something is published under a key for the first time.
fn offer_of_sheet() -> Document {
    Document::new()
        .say(
            "This is the first result under this key. Print a cancellation sheet now and keep it with \
                 your papers. If the key is ever lost or stolen, the sheet takes all it signed out of \
                 everybody's results, from any computer.",
        )
        .list(List::points([Phrase::new().code("propagule key cancel --write-sheet cancel-key.txt")]))
}

/// How an own record leaves.
pub(super) fn departure(departure: Departure) -> String {
    match departure {
        Departure::Now => "It goes to connected computers now, and to others as they come.".to_owned(),
        Departure::OnceServed => {
            "It waits until Propagule runs and meets another grower's computer: propagule serve".to_owned()
        }
        Departure::Delayed { within_ms, is_running, wait_days } => {
            let new_here = wait_days.map_or(String::new(), |days| {
                format!(
                    " The first to get it must be a computer that yours has met on several days: not in the next {}, then.",
                    counted(days as usize, "day", "days")
                )
            });
            let within = how_long(Duration::from_millis(within_ms));
            let running = if is_running { "" } else { " while Propagule runs (propagule serve)" };
            format!(
                "It leaves at a random time within {within}{running}, by way of other growers' \
                     computers.{new_here} Until it has come round, only your own answers show it."
            )
        }
    }
}

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
            "Withdrawing {trial} is for good. Growers who have it stop counting it; they may keep a \
                 copy. It can never be published again under this code. Your own entries stay."
        )),
        WithdrawStep::Stands => {
            Document::new().say(format!("{trial} is withdrawn already. There is nothing to do."))
        }
        WithdrawStep::Withdrawn { record, departure } => Document::new()
            .say(sharing::withdrawn(&any_kind(), trial))
            .say(ending_in_command(&self::departure(*departure)))
            .folded(record_of(record)),
    }
}
