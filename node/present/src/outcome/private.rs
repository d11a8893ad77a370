//! What stays at home, in words.

use crate::document::{Action, Document};
use crate::table::{Column, Table};
use propagule_files::paste::pasteable;

use super::command::ending_in_command;
use super::undo;
use propagule_app::SettingChoice;
use propagule_app::outcome::private::{HomeSettings, PrivacySet};
use propagule_bench::locale::{DateStyle, Dialect, Locale, Units};

/// The option that ends privacy of a trial: it may be published then, and is not published by it.
const BACK: &str = "--allow-publishing";

/// A trial stays at home from now on, or may be published again.
pub(super) fn set(set: &PrivacySet) -> Document {
    let PrivacySet { trial, private, published_revision } = set;
    if !private {
        return Document::new()
            .say(format!("{trial} may be published again; nothing was."))
            .action(undo::by(["trial", "private", trial]));
    }
    Document::new()
        .say(format!("{trial} is private: it is never offered for publishing, and `publish` refuses it."))
        .when(published_revision.is_some(), |said| {
            said.say(ending_in_command(&format!(
                "What is published of it stays so. To withdraw that: propagule withdraw {} --reason \
                 mistaken",
                pasteable(trial)
            )))
        })
        .action(undo::by(["trial", "private", trial, BACK]))
}

/// What was chosen for this home: all of it, or what was chosen now.
pub(super) fn settings(settings: &HomeSettings) -> Document {
    let rows = rows(settings);
    let Some(chosen) = settings.chosen.as_ref().map(name_of) else {
        let columns = [Column::words("").whole(), Column::words("").whole(), Column::words("")];
        let rows = rows.into_iter().map(|(name, value, about)| vec![name.into(), value.into(), about.into()]);
        return Document::new()
            .table(Table::new("", columns).without_row_headings().bare_in_text().rows(rows))
            .action(Action::command("To change one", "propagule settings NAME VALUE"));
    };
    let row = rows.into_iter().find(|(name, ..)| *name == chosen);
    let said =
        Document::new().each(row, |said, (name, value, about)| said.say(format!("{name} {value}: {about}.")));
    let opposite = match settings.chosen {
        Some(SettingChoice::Publishing(on) | SettingChoice::Announce(on)) => {
            Some(if on { "off" } else { "on" })
        }
        Some(SettingChoice::ClockRight(is_right)) => Some(if is_right { "checked" } else { "right" }),
        _ => None,
    };
    said.each(opposite, |said, back| said.action(undo::by(["settings", chosen, back])))
}

/// How a setting is called where it is typed.
fn name_of(choice: &SettingChoice) -> &'static str {
    match choice {
        SettingChoice::Dialect(_) => "dialect",
        SettingChoice::Units(_) => "units",
        SettingChoice::Country(_) => "country",
        SettingChoice::DateOrder(_) => "date-order",
        SettingChoice::Announce(_) => "announce",
        SettingChoice::Publishing(_) => "publishing",
        SettingChoice::ClockRight(_) => "clock",
    }
}

/// Name, value, and what it does.
fn rows(settings: &HomeSettings) -> [(&'static str, String, &'static str); 7] {
    let on = |chosen: Option<bool>| match chosen {
        Some(true) => "on",
        Some(false) => "off",
        None => "not chosen",
    };
    let (dialect, words) = dialect(settings.dialect);
    let (units, amounts) = match settings.units {
        Units::Metric => ("metric", "amounts are shown in \u{b0}C, millimeters and mg/L"),
        Units::Us => ("us", "amounts are shown in \u{b0}F, inches and ppm"),
    };
    let (order, days) = match settings.date_order {
        DateStyle::DayFirst => ("day-first", "days are shown as 5 Jun 2026"),
        DateStyle::MonthFirst => ("month-first", "days are shown as Jun 5, 2026"),
    };
    let announce = match settings.announce {
        Some(true) => "each trial is announced on the day you record it: method and number, no result",
        Some(false) | None => "trials are not announced",
    };
    let clock = settings.clock_right.as_ref().map_or("checked".to_owned(), |day| format!("right on {day}"));
    let country = settings.country.clone().unwrap_or_else(|| "not known".to_owned());
    [
        ("dialect", dialect.to_owned(), words),
        ("units", units.to_owned(), amounts),
        ("country", country, "whom to call is told for that country"),
        ("date-order", order.to_owned(), days),
        ("announce", on(settings.announce).to_owned(), announce),
        ("publishing", on(settings.publishing).to_owned(), publishing(settings)),
        ("clock", clock, "a date far ahead of all that is known is refused until you say that it is right"),
    ]
}

/// What a new home takes from the language of the system, said once.
pub fn taken_from_the_system(locale: Locale) -> String {
    let (dialect, words) = dialect(locale.dialect);
    let units = match locale.units {
        Units::Metric => "metric units",
        Units::Us => "\u{b0}F, inches and ppm",
    };
    let days = match locale.date_style {
        DateStyle::DayFirst => "5 Jun 2026",
        DateStyle::MonthFirst => "Jun 5, 2026",
    };
    format!(
        "From the language of this computer: {words}, {units}, days as {days}. To change that:\n  \
         propagule settings dialect {}\n",
        if dialect == "us" { "uk" } else { "us" }
    )
}

/// How a dialect is typed, and what it is.
fn dialect(dialect: Dialect) -> (&'static str, &'static str) {
    match dialect {
        Dialect::Us => ("us", "trade words and spelling of the United States"),
        Dialect::Uk => ("uk", "trade words and spelling of the United Kingdom"),
        Dialect::Au => ("au", "trade words and spelling of Australia and New Zealand"),
    }
}

fn publishing(settings: &HomeSettings) -> &'static str {
    match (settings.publishing, settings.asks_to_publish) {
        (Some(true), _) => "what is due names results that were not published",
        (Some(false), _) => "nothing is offered for publishing, and publishing is refused",
        (None, true) => "you have published before, so what is due names results that were not",
        (None, false) => "nothing was published yet, and nothing that is due asks for it",
    }
}
