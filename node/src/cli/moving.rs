//! `propagule move`

use clap::Args;

use super::day::{AnswerArgs, EntryArgs};
use super::{Context, ask};
use crate::app::{BenchRequest, Request};
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

pub(super) async fn cmd_move(context: &Context, args: MoveArgs) -> Result<(), Fault> {
    let common = args.answers.of(args.entry.common(context)?);
    let left = [("sold", args.sold), ("given", args.given), ("planted out", args.planted_out)];
    let left = left.into_iter().find_map(|(how, pieces)| pieces.map(|pieces| (how, pieces)));
    let request = match (left, args.to) {
        (Some((how, pieces)), _) => {
            if args.places.len() > 1 {
                return Err(Fault::usage("leaves-one-place-at-a-time").with("places", args.places.join(" ")));
            }
            BenchRequest::Left {
                trial: args.trial,
                place: args.places.into_iter().next(),
                pieces,
                how: how.to_owned(),
                at_grade: !args.below_grade,
                common,
            }
        }
        (None, Some(to)) => {
            BenchRequest::Move { trial: args.trial, arms: args.places, to, with: args.with, common }
        }
        (None, None) => unreachable!("one of them is required"),
    };
    ask::show(context, Request::Bench(Box::new(request))).await
}
