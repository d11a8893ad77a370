//! `propagule move`

use clap::Args;

use super::day::{AnswerArgs, EntryArgs};
use super::{Context, ask};
use propagule_app::{BenchRequest, Request, UnitsOf};
use propagule_bench::typed::{facets, place};
use propagule_bench::{Departure, TrialUnits};
use propagule_files::fault::Fault;

/// Put the living pieces of a trial elsewhere, or write down that some left
///
/// The trial and the number put in stay the same. Roots first seen after a move count for "X, then Y after N weeks".
///
/// Examples:
///   propagule move M1 --to frame --on 2026-10-17
///   propagule move M1 A --sold 15 --on 2027-03-20
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct MoveArgs {
    /// Code of the trial
    trial: String,
    /// Arms to move, all of them where none is named; or the pot or arm that pieces left
    places: Vec<String>,
    /// The spot they go to
    #[arg(long, value_name = "SPOT", required_unless_present_any = ["sold", "given", "planted_out"])]
    to: Option<String>,
    /// What else differs from then on, such as 'container=pot; humidity=open'
    #[arg(long, value_name = "FACETS", requires = "to")]
    with: Option<String>,
    /// Pieces that were sold
    #[arg(long, value_name = "N", group = "left", conflicts_with = "to")]
    sold: Option<u16>,
    /// Pieces that were given away
    #[arg(long, value_name = "N", group = "left", conflicts_with = "to")]
    given: Option<u16>,
    /// Pieces that were planted out for good
    #[arg(long, value_name = "N", group = "left", conflicts_with = "to")]
    planted_out: Option<u16>,
    /// They had not reached your own grade: what becomes of them is not known
    #[arg(long, requires = "left")]
    below_grade: bool,
    #[command(flatten)]
    answers: AnswerArgs,
    #[command(flatten)]
    entry: EntryArgs,
}

impl MoveArgs {
    /// What is asked for where the places of the trial are known.
    pub(super) fn request(self, context: &Context, units: &TrialUnits) -> Result<BenchRequest, Fault> {
        let common = self.answers.of(self.entry.common(context)?);
        let left = [
            (Departure::Sold, self.sold),
            (Departure::Given, self.given),
            (Departure::PlantedOut, self.planted_out),
        ];
        let left = left.into_iter().find_map(|(how, pieces)| pieces.map(|pieces| (how, pieces)));
        let of_move = |fault: Fault| fault.with("command", "move");
        if let Some((how, pieces)) = left {
            if self.places.len() > 1 {
                return Err(Fault::usage("leaves-one-place-at-a-time").with("places", self.places.join(" ")));
            }
            let unit = place::read(self.places.first().map(String::as_str), units).map_err(of_move)?;
            let at_grade = !self.below_grade;
            return Ok(BenchRequest::Left { trial: self.trial, unit, pieces, how, at_grade, common });
        }
        Ok(BenchRequest::Move {
            trial: self.trial,
            arms: place::arms(&self.places, units)?,
            to: self.to.expect("it is required where nothing left"),
            facets: facets::read(self.with.as_deref().unwrap_or_default()).map_err(of_move)?,
            common,
        })
    }
}

pub(super) async fn cmd_move(context: &Context, args: MoveArgs) -> Result<(), Fault> {
    let units = ask::units(context, UnitsOf::Trial(args.trial.clone())).await?.units;
    let request = args.request(context, &units)?;
    ask::show(context, Request::Bench(Box::new(request))).await
}
