//! What a grower chooses for a home.

use super::{SettingChoice, due};
use crate::outcome::Outcome;
use crate::outcome::private::HomeSettings;
use crate::{App, Reply};
use propagule_bench::Event;
use propagule_bench::locale::{DateStyle, Dialect, Locale, Units};
use propagule_files::fault::Fault;

/// Makes a choice, or shows what was chosen.
pub(super) fn settings(app: &App, choice: Option<SettingChoice>) -> Result<Reply, Fault> {
    if let Some(choice) = &choice {
        choose(app, choice)?;
    }
    let (publishing, announce) = {
        let bench = app.bench();
        (bench.publishing(), bench.opens())
    };
    let config = app.home().config()?;
    let Locale { dialect, units, date_style, .. } = config.locale();
    let country = config.country();
    let settings = HomeSettings {
        publishing,
        asks_to_publish: due::publishes(app)?,
        is_chosen_now: choice.is_some(),
        announce,
        dialect,
        units,
        date_order: date_style,
        country,
        clock_right: config.clock_right.filter(|day| !day.is_empty()),
        chosen: choice,
    };
    Ok(Reply::done(Outcome::Settings(settings)))
}

fn choose(app: &App, choice: &SettingChoice) -> Result<(), Fault> {
    let home = app.home();
    match choice {
        SettingChoice::Publishing(on) => {
            app.bench().record(Event::PublishingChosen { on: *on })?;
            Ok(())
        }
        SettingChoice::Announce(opens) => {
            app.bench().record(Event::OpeningChosen { opens: *opens })?;
            Ok(())
        }
        SettingChoice::Dialect(dialect) => {
            let word = match dialect {
                Dialect::Us => "us",
                Dialect::Uk => "uk",
                Dialect::Au => "au",
            };
            home.choose("dialect", word)
        }
        SettingChoice::Units(Units::Us) => home.choose("units", "us"),
        SettingChoice::Units(Units::Metric) => home.choose("units", "metric"),
        SettingChoice::DateOrder(DateStyle::DayFirst) => home.choose("date_order", "day_first"),
        SettingChoice::DateOrder(DateStyle::MonthFirst) => home.choose("date_order", "month_first"),
        SettingChoice::ClockRight(true) => home.choose("clock_right", &app.clock.today().to_string()),
        SettingChoice::ClockRight(false) => home.choose("clock_right", ""),
        SettingChoice::Country(code) => {
            let is_code = code.len() == 2 && code.bytes().all(|letter| letter.is_ascii_alphabetic());
            if !is_code {
                return Err(Fault::usage("country-malformed").with("text", code));
            }
            home.choose("country", &code.to_ascii_uppercase())
        }
    }
}
