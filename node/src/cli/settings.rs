//! `propagule settings`

use clap::{Args, Subcommand, ValueEnum};

use super::day::Order;
use super::{Context, ask};
use propagule_app::{BenchRequest, Request, SettingChoice};
use propagule_bench::locale;
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
pub(crate) struct SettingsArgs {
    #[command(subcommand)]
    choice: Option<Choice>,
}

#[derive(Debug, Subcommand)]
enum Choice {
    Dialect {
        #[arg(value_enum)]
        dialect: DialectArg,
    },
    Units {
        #[arg(value_enum)]
        units: UnitsArg,
    },
    Country {
        code: String,
    },
    DateOrder {
        #[arg(value_enum)]
        order: Order,
    },
    Announce {
        #[arg(value_enum)]
        state: OnOff,
    },
    Publishing {
        #[arg(value_enum)]
        state: OnOff,
    },
    Clock {
        #[arg(value_enum)]
        state: ClockArg,
    },
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum ClockArg {
    Right,
    Checked,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum OnOff {
    On,
    Off,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum DialectArg {
    Us,
    Uk,
    Au,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum UnitsArg {
    Metric,
    Us,
}

impl From<Choice> for SettingChoice {
    fn from(choice: Choice) -> Self {
        match choice {
            Choice::Dialect { dialect: DialectArg::Us } => Self::Dialect(locale::Dialect::Us),
            Choice::Dialect { dialect: DialectArg::Uk } => Self::Dialect(locale::Dialect::Uk),
            Choice::Dialect { dialect: DialectArg::Au } => Self::Dialect(locale::Dialect::Au),
            Choice::Units { units: UnitsArg::Metric } => Self::Units(locale::Units::Metric),
            Choice::Units { units: UnitsArg::Us } => Self::Units(locale::Units::Us),
            Choice::Country { code } => Self::Country(code),
            Choice::DateOrder { order: Order::DayFirst } => Self::DateOrder(locale::DateStyle::DayFirst),
            Choice::DateOrder { order: Order::MonthFirst } => Self::DateOrder(locale::DateStyle::MonthFirst),
            Choice::Announce { state } => Self::Announce(state == OnOff::On),
            Choice::Publishing { state } => Self::Publishing(state == OnOff::On),
            Choice::Clock { state } => Self::ClockRight(matches!(state, ClockArg::Right)),
        }
    }
}

pub(super) async fn cmd_settings(context: &Context, args: SettingsArgs) -> Result<(), Fault> {
    let choice = args.choice.map(SettingChoice::from);
    ask::show(context, Request::Bench(Box::new(BenchRequest::Settings { choice }))).await
}
