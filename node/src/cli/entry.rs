//! `propagule check`, `lift`, `spring`, `final`: what was seen and counted.

use clap::{Args, ValueEnum};

use super::day::{AnswerArgs, EntryArgs};
use super::{Context, ask, looked};
use propagule_app::{BenchRequest, Common, Enter, Request, UnitsOf};
use propagule_bench::typed::{place, tally};
use propagule_bench::{Rest, Stage, TrialUnits};
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
#[command(mut_arg("trial", |trial| trial.required(false).required_unless_present_any(["bench"])))]
pub(crate) struct CheckArgs {
    #[command(flatten)]
    counts: CountArgs,
    #[command(flatten)]
    everything: looked::EverythingArgs,
    #[arg(long, num_args = 0.., value_name = "ARM=N", conflicts_with = "counts")]
    suckers: Option<Vec<String>>,
    #[arg(long, conflicts_with = "counts")]
    tape_cut: bool,
    #[arg(long, conflicts_with_all = ["counts", "from_sheet", "suckers", "tape_cut"])]
    walk: bool,
}

#[derive(Debug, Args)]
pub(crate) struct StageArgs {
    #[command(flatten)]
    counts: CountArgs,
}

#[derive(Debug, Args)]
struct CountArgs {
    #[arg(required = true, index = 1)]
    trial: Option<String>,
    #[arg(index = 2)]
    counts: Vec<String>,
    #[arg(long, value_name = "NUMBERS")]
    from_sheet: Option<String>,
    #[arg(long, value_enum)]
    rest: Option<RestArg>,
    #[arg(long)]
    blind: bool,
    #[command(flatten)]
    answers: AnswerArgs,
    #[command(flatten)]
    entry: EntryArgs,
}

impl CountArgs {
    /// The code, which is there wherever one trial is meant.
    fn trial(&self) -> String {
        self.trial.clone().unwrap_or_default()
    }

    fn common(&self, context: &Context) -> Result<Common, Fault> {
        Ok(self.answers.of(self.entry.common(context)?))
    }

    fn names_places(&self) -> bool {
        !self.counts.is_empty() || self.from_sheet.is_some()
    }

    /// The places of the trial; not asked for where nothing names one.
    async fn units(&self, context: &Context, are_named: bool) -> Result<TrialUnits, Fault> {
        if !are_named {
            return Ok(TrialUnits::nowhere());
        }
        Ok(ask::units(context, UnitsOf::Trial(self.trial())).await?.units)
    }

    fn enter(self, context: &Context, stage: Option<Stage>, units: &TrialUnits) -> Result<Enter, Fault> {
        let common = self.common(context)?;
        Ok(Enter {
            trial: self.trial(),
            stage,
            counts: tally::read_all(&self.counts, self.from_sheet.as_deref(), units, stage)?,
            rest: self.rest.map(Rest::from),
            is_blind: self.blind,
            common,
        })
    }
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum RestArg {
    Alive,
    Dead,
    NotSeen,
}

impl From<RestArg> for Rest {
    fn from(rest: RestArg) -> Self {
        match rest {
            RestArg::Alive => Self::Alive,
            RestArg::Dead => Self::Dead,
            RestArg::NotSeen => Self::NotKnown,
        }
    }
}

impl CheckArgs {
    /// Whether places have to be known to read what was typed.
    fn names_places(&self) -> bool {
        self.walk
            || self.counts.names_places()
            || self.suckers.as_ref().is_some_and(|removed| !removed.is_empty())
    }

    /// That the tape was cut, where that is said.
    fn tape(&self, context: &Context) -> Result<Option<BenchRequest>, Fault> {
        if !self.tape_cut {
            return Ok(None);
        }
        let mut common = self.counts.common(context)?;
        // It is an entry of its own beside that of the suckers.
        common.once = common.once.filter(|_| self.suckers.is_none());
        Ok(Some(BenchRequest::WrapCut { trial: self.counts.trial(), common }))
    }

    /// What is asked for where it is about one trial whose places are known.
    pub(super) fn request(self, context: &Context, units: &TrialUnits) -> Result<BenchRequest, Fault> {
        let cut = if self.suckers.is_none() { self.tape(context)? } else { None };
        let Self { counts, suckers, .. } = self;
        if let Some(removed) = suckers {
            let read = |text: &String| place::removed(text, units);
            let removed = removed.iter().map(read).collect::<Result<_, _>>()?;
            return Ok(BenchRequest::Suckers {
                trial: counts.trial(),
                removed,
                common: counts.common(context)?,
            });
        }
        match cut {
            Some(cut) => Ok(cut),
            None => Ok(BenchRequest::Enter(counts.enter(context, None, units)?)),
        }
    }
}

impl StageArgs {
    /// What is asked for where the places of the trial are known.
    pub(super) fn request(
        self,
        context: &Context,
        stage: Stage,
        units: &TrialUnits,
    ) -> Result<BenchRequest, Fault> {
        Ok(BenchRequest::Enter(self.counts.enter(context, Some(stage), units)?))
    }
}

pub(super) async fn cmd_check(context: &Context, mut args: CheckArgs) -> Result<(), Fault> {
    let everything = std::mem::take(&mut args.everything);
    let word = args.counts.trial.as_deref();
    if let Some(request) = everything.request(word, || args.counts.common(context))? {
        return ask::show(context, Request::Bench(Box::new(request))).await;
    }
    if looked::is_ok(&args.counts.counts) {
        args.counts.counts.clear();
    }
    let units = args.counts.units(context, args.names_places()).await?;
    if args.walk {
        return super::walk::walk(context, args.counts.enter(context, None, &units)?, &units).await;
    }
    let also_cut = args.suckers.is_some().then(|| args.tape(context)).transpose()?.flatten();
    let request = args.request(context, &units)?;
    match also_cut {
        None => ask::show(context, Request::Bench(Box::new(request))).await,
        Some(cut) => ask::show_both(context, request, cut).await,
    }
}

pub(super) async fn cmd_stage(context: &Context, args: StageArgs, stage: Stage) -> Result<(), Fault> {
    let units = args.counts.units(context, args.counts.names_places()).await?;
    let request = args.request(context, stage, &units)?;
    ask::show(context, Request::Bench(Box::new(request))).await
}

#[cfg(test)]
mod tests {
    use propagule_bench::Tally;
    use propagule_bench::typed::tally::MARKS;
    use propagule_present::help::COUNTS;

    #[test]
    fn the_help_names_everything_that_can_be_counted() {
        let words = Tally::default().counts().map(|(word, _)| word);
        let marks = MARKS.map(|mark| match mark {
            "leaf_dropped" => "leaf-drop".to_owned(),
            "mould" => "mold".to_owned(),
            "roots_at_hole" => "roots-showing".to_owned(),
            mark => mark.replace('_', "-"),
        });
        let words = words.into_iter().map(|word| if word == "not-known" { "not-seen" } else { word });
        for word in words.chain(marks.iter().map(String::as_str)) {
            assert!(COUNTS.contains(word), "{word}");
        }
    }
}
