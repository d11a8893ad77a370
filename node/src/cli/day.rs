//! Days on the command line, and what every entry may carry.

use clap::{Args, ValueEnum};

use super::Context;
use propagule_app::{Common, Repeat};
use propagule_bench::dates;
use propagule_bench::dates::{DateQuestion, DayOrder, Reading, When};
use propagule_bench::locale::DateStyle;
use propagule_files::fault::Fault;

#[derive(Clone, Debug, Default, Args)]
pub(super) struct ReadingArgs {
    #[arg(long, value_enum, value_name = "ORDER")]
    pub(super) date_order: Option<Order>,
    #[arg(long, value_parser = clap::value_parser!(u16).range(1900..=2199))]
    pub(super) year: Option<u16>,
}

/// Which comes first in a day written in numbers.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(super) enum Order {
    DayFirst,
    MonthFirst,
}

#[derive(Clone, Debug, Args)]
pub(super) struct EntryArgs {
    #[arg(long, value_name = "DAY")]
    pub(super) on: Option<String>,
    #[command(flatten)]
    pub(super) reading: ReadingArgs,
    #[arg(long)]
    pub(super) note: Option<String>,
    #[arg(long, value_name = "PATH")]
    pub(super) photo: Vec<String>,
    #[arg(long, value_name = "NAME", hide = true)]
    pub(super) entry_id: Option<String>,
}

impl EntryArgs {
    /// With the day read, or today's.
    pub(super) fn common(&self, context: &Context) -> Result<Common, Fault> {
        let on = match &self.on {
            Some(text) => self.reading.day(context, "--on", text)?,
            None => When::day(context.clock.today_date()),
        };
        let (note, files, once) = (self.note.clone(), self.photo.clone(), self.entry_id.clone());
        Ok(Common { note, files, once, ..Common::on(on) })
    }
}

#[derive(Clone, Copy, Debug, Default, Args)]
pub(super) struct AnswerArgs {
    #[arg(long)]
    yes: bool,
    #[arg(long)]
    instead: bool,
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
        let order = self.date_order.map(|order| match order {
            Order::DayFirst => DayOrder::DayFirst,
            Order::MonthFirst => DayOrder::MonthFirst,
        });
        Reading { order, year: self.year }
    }

    /// Reads a day given with `option`.
    pub(super) fn day(&self, context: &Context, option: &str, text: &str) -> Result<When, Fault> {
        let today = context.clock.today_date();
        let style = || context.locale().date_style;
        dates::read_on(text, self.reading(), today)
            .map_err(|question| asked(option, text, &question, style()))
    }
}

/// A question about a day, with the options that answer it.
fn asked(option: &str, text: &str, question: &DateQuestion, style: DateStyle) -> Fault {
    let (first, order) = match style {
        DateStyle::DayFirst => ("day", "order-of-days"),
        DateStyle::MonthFirst => ("month", "order-of-months"),
    };
    let failure = Fault::user("day-not-understood")
        .with("read_first", first)
        .with("option", option)
        .with("text", text)
        .with_data("question", question);
    failure.hint_named(match question {
        DateQuestion::TwoReadings(..) => order,
        DateQuestion::NeedsYear(_) => "year-of-days",
        DateQuestion::NeedsOrderAndYear(..) => "order-and-year-of-days",
        DateQuestion::TodayOrLastWeek(..) => "today-or-a-week-ago",
        DateQuestion::TwoYears(..) | DateQuestion::Impossible(..) | DateQuestion::NotADate(_) => {
            "write-the-day-as-an-option"
        }
    })
}
