//! `propagule check T --walk`: pot by pot along the bench, and one yes for all.

mod steps;

use steps::{Pot, Step, Walk};

use super::{Context, ask};
use propagule_app::outcome::Outcome;
use propagule_app::outcome::pots::PotHolds;
use propagule_app::{BenchRequest, Enter, Reply, Request};
use propagule_bench::TrialUnits;
use propagule_bench::typed::tally;
use propagule_files::fault::{Answer, Fault};
use propagule_files::paste::pasteable;

/// Asks for each pot, and enters what was said of all of them.
pub(super) async fn walk(context: &Context, mut enter: Enter, units: &TrialUnits) -> Result<(), Fault> {
    let ui = context.ui;
    if ui.json {
        return Err(Fault::usage("walk-without-json"));
    }
    let mut walk = Walk::new(pots(context, &enter).await?, enter.is_blind);
    ui.out("Alive in each pot: Enter as before, . not checked, b back, q stop.\n")?;
    let cells = loop {
        match walk.step() {
            Step::Ask(prompt) => match ui.line(&prompt)? {
                Some(line) => {
                    if let Err(fault) = walk.answer(&line) {
                        ui.note(said(&fault.with("kind", units.kind.word()).with("command", "")));
                    }
                }
                None => walk.stop(),
            },
            Step::Stopped => {
                return Err(Fault::user("walk-stopped").with("trial", &enter.trial));
            }
            Step::Done { cells, summary } => {
                ui.out(&format!("{summary}\n"))?;
                break cells;
            }
        }
    };
    if !enter.common.is_sure && !ui.agrees("Save this?")? {
        return Err(Fault::user("save-needs-yes")
            .with("trial", &enter.trial)
            .with("cells", cells.iter().map(|cell| pasteable(cell)).collect::<Vec<_>>().join(" ")));
    }
    enter.counts = tally::read_all(&cells, None, units, None)?;
    let request = |enter: &Enter| Request::Bench(Box::new(BenchRequest::Enter(enter.clone())));
    match ask::ask(context, request(&enter)).await {
        Err(failure) if failure.possible_answers() == [Answer::Yes] => {
            ui.note(propagule_present::fault::what(&failure));
            if !ui.agrees("Is it so?")? {
                return Err(failure);
            }
            enter.common.is_sure = true;
            ask::show(context, request(&enter)).await
        }
        Ok(Reply::Done(outcome)) => ask::show_outcome(context, &outcome),
        Ok(_) => Err(ask::unexpected()),
        Err(failure) => Err(failure),
    }
}

/// A fault in one line, with what to write instead.
fn said(fault: &Fault) -> String {
    let what = propagule_present::fault::what(fault);
    std::iter::once(what).chain(propagule_present::fault::hints(fault)).collect::<Vec<_>>().join("; ")
}

/// The pots as they stand, in the order of their tags.
async fn pots(context: &Context, enter: &Enter) -> Result<Vec<Pot>, Fault> {
    let request = BenchRequest::Pots { trial: enter.trial.clone(), on: Some(enter.common.on) };
    let Outcome::Pots(found) = ask::done(context, Request::Bench(Box::new(request))).await? else {
        return Err(ask::unexpected());
    };
    // A pot holds as many pieces as its trial may, which is far fewer.
    let count = |count: u32| u16::try_from(count).unwrap_or(u16::MAX);
    let pot = |PotHolds { pot, arm, last_look, holds, .. }: PotHolds| Pot {
        code: pot,
        arm,
        alive: count(holds.alive),
        left: count(holds.left_to_count()),
        last_look: last_look.map(|day| day.to_string()),
    };
    Ok(found.pots.into_iter().map(pot).collect())
}
