//! Days on the command line, and what every entry may carry.

use clap::{Args, ValueEnum};

use super::Context;
use propagule_app::{Common, Repeat};
use propagule_bench::dates;
use propagule_bench::dates::{DateQuestion, DayOrder, Reading, When};
use propagule_files::fault::Fault;

/// How days are read.
#[derive(Clone, Debug, Default, Args)]
pub(super) struct ReadingArgs {
    /// How 5/6 is read: 5 June or 6 May
    #[arg(long, value_enum, value_name = "ORDER")]
    pub(super) dates: Option<Order>,
    /// The year of days that are typed without one
    #[arg(long, value_parser = clap::value_parser!(u16).range(1900..=2199))]
    pub(super) year: Option<u16>,
}

/// Which comes first in a day written in numbers.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(super) enum Order {
    DayFirst,
    MonthFirst,
}

/// Day, note and files of an entry.
#[derive(Clone, Debug, Args)]
pub(super) struct EntryArgs {
    /// The day: 2026-06-05, yesterday, friday, "3 days ago", "June 2026", "about 2026-06-06" or a range [default: today]
    #[arg(long, value_name = "DAY")]
    pub(super) on: Option<String>,
    #[command(flatten)]
    pub(super) reading: ReadingArgs,
    /// Private note; it is never published
    #[arg(long)]
    pub(super) note: Option<String>,
    /// Photo or video; only its path is kept, at home
    #[arg(long, value_name = "PATH")]
    pub(super) file: Vec<String>,
    /// A name for this entry: sent again under the same name it changes nothing
    #[arg(long, value_name = "NAME")]
    pub(super) once: Option<String>,
}

impl EntryArgs {
    /// With the day read, or today's.
    pub(super) fn common(&self, context: &Context) -> Result<Common, Fault> {
        let on = match &self.on {
            Some(text) => self.reading.day(context, "--on", text)?,
            None => When::day(context.clock.today_date()),
        };
        let (note, files, once) = (self.note.clone(), self.file.clone(), self.once.clone());
        Ok(Common { note, files, once, ..Common::on(on) })
    }
}

/// Answers to what an entry may be asked back.
#[derive(Clone, Copy, Debug, Default, Args)]
pub(super) struct AnswerArgs {
    /// It is so, unusual as it is: half a pot gone at once, or a day before the last entry
    #[arg(long)]
    yes: bool,
    /// It takes the place of the entry of the same day
    #[arg(long)]
    instead: bool,
    /// It is another one of the same day
    #[arg(long, conflicts_with = "instead")]
    again: bool,
}

impl AnswerArgs {
    /// Gives an entry the answers.
    pub(super) fn of(self, common: Common) -> Common {
        let repeat = match (self.instead, self.again) {
            (true, _) => Some(Repeat::Instead),
            (_, true) => Some(Repeat::Again),
            _ => None,
        };
        Common { is_sure: self.yes, repeat, ..common }
    }
}

impl ReadingArgs {
    /// What was said already of how to read days.
    pub(super) fn reading(&self) -> Reading {
        let order = self.dates.map(|order| match order {
            Order::DayFirst => DayOrder::DayFirst,
            Order::MonthFirst => DayOrder::MonthFirst,
        });
        Reading { order, year: self.year }
    }

    /// Reads a day given with `option`.
    pub(super) fn day(&self, context: &Context, option: &str, text: &str) -> Result<When, Fault> {
        let today = context.clock.today_date();
        dates::read_on(text, self.reading(), today).map_err(|question| asked(option, text, &question))
    }
}

/// A question about a day, with the options that answer it.
fn asked(option: &str, text: &str, question: &DateQuestion) -> Fault {
    let failure = Fault::user("day-not-understood")
        .with("option", option)
        .with("text", text)
        .with_data("question", question);
    failure.hint_named(match question {
        DateQuestion::TwoReadings(..) => "order-of-days",
        DateQuestion::NeedsYear(_) => "year-of-days",
        DateQuestion::NeedsOrderAndYear(..) => "order-and-year-of-days",
        DateQuestion::TodayOrLastWeek(..) => "today-or-a-week-ago",
        DateQuestion::TwoYears(..) | DateQuestion::Impossible(..) | DateQuestion::NotADate(_) => {
            "write-the-day-as-an-option"
        }
    })
}
