//! `propagule trial close`, `reopen`, `private`

use clap::{Args, ValueEnum};

use super::super::day::EntryArgs;
use super::super::{Context, ask};
use crate::cli::ask::Question;
use propagule_app::{Because, BenchRequest, Closing, Request};
use propagule_bench::Fate;
use propagule_files::fault::Fault;
use propagule_files::paste::pasteable;

#[derive(Debug, Args)]
pub(super) struct CloseArgs {
    #[arg(required_unless_present = "asleep")]
    trial: Option<String>,
    #[arg(long, conflicts_with = "trial")]
    asleep: bool,
    #[arg(long, value_enum)]
    because: Option<BecauseArg>,
    #[arg(long, value_enum)]
    rest: Option<FateArg>,
    #[arg(long, requires = "asleep")]
    yes: bool,
    #[command(flatten)]
    entry: EntryArgs,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum BecauseArg {
    SoldOut,
    GivenUp,
    Done,
    Merged,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum FateArg {
    Dead,
    Lost,
    NotSeen,
}

impl CloseArgs {
    fn closing(&self) -> Closing {
        let because = self.because.map(|because| match because {
            BecauseArg::SoldOut => Because::SoldOut,
            BecauseArg::GivenUp => Because::GivenUp,
            BecauseArg::Done => Because::Done,
            BecauseArg::Merged => Because::Merged,
        });
        let rest = self.rest.map(|rest| match rest {
            FateArg::Dead => Fate::Dead,
            FateArg::Lost => Fate::Lost,
            FateArg::NotSeen => Fate::NotKnown,
        });
        Closing { because, rest }
    }
}

pub(super) async fn cmd_close(context: &Context, args: CloseArgs) -> Result<(), Fault> {
    let (closing, common) = (args.closing(), args.entry.common(context)?);
    let bench = |request| Request::Bench(Box::new(request));
    let Some(trial) = args.trial else {
        let request = |confirmed| {
            bench(BenchRequest::CloseAsleep { closing: closing.clone(), common: common.clone(), confirmed })
        };
        let words = words(&closing, args.entry.on.as_deref());
        let no = Fault::user("close-asleep-needs-yes").with("words", words);
        let question = Question { words: "Close all of them?", no };
        return ask::with_a_yes(context, args.yes, request, question).await.map(drop);
    };
    ask::show(context, bench(BenchRequest::Close { trial, closing, common })).await
}

/// What was said beside `--asleep`, to be said again.
fn words(closing: &Closing, on: Option<&str>) -> String {
    let because = closing.because.iter().map(|because| format!(" --because {}", because.word()));
    let rest = closing.rest.iter().map(|rest| match rest {
        Fate::Dead => " --rest dead".to_owned(),
        Fate::Lost => " --rest lost".to_owned(),
        Fate::NotKnown => " --rest not-seen".to_owned(),
    });
    let on = on.iter().map(|on| format!(" --on {}", pasteable(on))).collect::<Vec<_>>();
    because.chain(rest).chain(on).collect()
}

#[derive(Debug, Args)]
pub(super) struct ReopenArgs {
    #[arg(required = true, value_name = "TRIAL")]
    trials: Vec<String>,
}

#[derive(Debug, Args)]
pub(super) struct PrivateArgs {
    trial: String,
    #[arg(long)]
    allow_publishing: bool,
}

pub(super) fn reopen(args: ReopenArgs) -> BenchRequest {
    BenchRequest::Reopen { trials: args.trials }
}

pub(super) fn private(args: PrivateArgs) -> BenchRequest {
    BenchRequest::Private { trial: args.trial, is_private: !args.allow_publishing }
}
