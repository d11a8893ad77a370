//! `propagule check`, `lift`, `spring`, `final`: what was seen and counted.

use clap::{Args, ValueEnum};

use super::day::{AnswerArgs, EntryArgs};
use super::{Context, ask, looked};
use propagule_app::{BenchRequest, Common, Enter, Request, UnitsOf};
use propagule_bench::typed::{place, tally};
use propagule_bench::{Rest, Stage, TrialUnits};
use propagule_files::fault::Fault;

/// What can be counted, for the long help.
const COUNTS: &str = "At a check one number a pot in the order of the tags (see `propagule pots`) is those alive now:
  11 alive   11r3 and 3 of them with roots   8l2 and 2 lost   8d2 and 2 died   11! some counted dead are alive
  =  as before   .  not checked: carried
At a stage it is how many succeeded, then others by letter: 4g1d1l1 is 4, 1 green, 1 dead, 1 lost.

Or by pot: POT:what=how many[,what=how many…], POT:r4,g1,d1,l1, or ARM:… where there is one pot.
  alive, dead, lost, not-known        exclude each other, and add up to what was left at the last count;
                                      dead and lost are those since then; of alive alone, whoever is missing died
  of-rooted                           of the dead, those that had roots
  found-alive                         counted dead before, found alive now
  green                               alive without roots; all that are left: then none has roots
  rooted (taken, germinated), callused, established, finished, sound
  yellow, leaf-dropped, wilted, mould, new-shoot, roots-at-hole, leafing
                                      may overlap: a count, or none, some, most
  cause=…, root-counts=3/5/2, longest-root=40, grade=0/1/2/5 (pieces by grade from 0), scale=…";

/// Look at a trial between sticking and lifting; without counts it says that you looked
///
/// Examples:
///   propagule check M8 11 11r3 . 8l2 --on yesterday
///   propagule check M1 --on 2026-07-04 P2:dead=1,cause='basal rot'
///   propagule check --spot 'mist house' ok
#[derive(Debug, Args)]
#[command(verbatim_doc_comment, after_long_help = COUNTS)]
#[command(mut_arg("trial", |trial| trial.required(false).required_unless_present_any(["spot", "bench", "take_back"])))]
pub(crate) struct CheckArgs {
    #[command(flatten)]
    counts: CountArgs,
    #[command(flatten)]
    everything: looked::EverythingArgs,
    /// Suckers were looked for; removed ones as ARM=3
    #[arg(long, num_args = 0.., value_name = "ARM=N", conflicts_with_all = ["wrap_cut", "counts"])]
    suckers: Option<Vec<String>>,
    /// The wrap was cut
    #[arg(long, conflicts_with = "counts")]
    wrap_cut: bool,
    /// Ask pot by pot: Enter is as before; with --blind without the arms
    #[arg(long, conflicts_with_all = ["counts", "in_order", "suckers", "wrap_cut"])]
    walk: bool,
}

/// Lift a trial and count what has roots: every piece that is left has to be accounted for
///
/// Examples:
///   propagule lift M1 P1:rooted=4 P2:rooted=2,green=1,dead=1
///   propagule lift M1 --in-order '4 2/1/1 0/3' --rest dead
#[derive(Debug, Args)]
#[command(verbatim_doc_comment, after_long_help = COUNTS)]
pub(crate) struct StageArgs {
    #[command(flatten)]
    counts: CountArgs,
}

#[derive(Debug, Args)]
struct CountArgs {
    /// Code of the trial
    #[arg(required = true, index = 1)]
    trial: Option<String>,
    /// A number for each pot, such as 11 11 12 10, or what was counted where, such as P2:dead=1
    #[arg(index = 2)]
    counts: Vec<String>,
    /// The same in the order of the printed sheet, and - for none; at a stage also rooted/green/dead/lost
    #[arg(long, value_name = "NUMBERS")]
    in_order: Option<String>,
    /// What became of pieces that are not mentioned
    #[arg(long, value_enum)]
    rest: Option<RestArg>,
    /// The scorer did not know which arm is which
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
        !self.counts.is_empty() || self.in_order.is_some()
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
            counts: tally::read_all(&self.counts, self.in_order.as_deref(), units, stage)?,
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
    NotKnown,
}

impl From<RestArg> for Rest {
    fn from(rest: RestArg) -> Self {
        match rest {
            RestArg::Alive => Self::Alive,
            RestArg::Dead => Self::Dead,
            RestArg::NotKnown => Self::NotKnown,
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

    /// What is asked for where it is about one trial whose places are known.
    pub(super) fn request(self, context: &Context, units: &TrialUnits) -> Result<BenchRequest, Fault> {
        let Self { counts, everything: _, suckers, wrap_cut, walk: _ } = self;
        if let Some(removed) = suckers {
            let read = |text: &String| place::removed(text, units);
            let removed = removed.iter().map(read).collect::<Result<_, _>>()?;
            return Ok(BenchRequest::Suckers {
                trial: counts.trial(),
                removed,
                common: counts.common(context)?,
            });
        }
        if wrap_cut {
            return Ok(BenchRequest::WrapCut { trial: counts.trial(), common: counts.common(context)? });
        }
        Ok(BenchRequest::Enter(counts.enter(context, None, units)?))
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
    let request = args.request(context, &units)?;
    ask::show(context, Request::Bench(Box::new(request))).await
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

    #[test]
    fn the_help_names_everything_that_can_be_counted() {
        let words = Tally::default().counts().map(|(word, _)| word);
        let marks = MARKS.map(|mark| mark.replace('_', "-"));
        for word in words.into_iter().chain(marks.iter().map(String::as_str)) {
            assert!(super::COUNTS.contains(word), "{word}");
        }
    }
}
