//! `propagule check T --walk`: pot by pot along the bench, and one yes for all.

mod steps;

use serde::Deserialize;
use serde_json::Value;
use steps::{Pot, Step, Walk};

use super::{Context, ask};
use crate::answer::words::fault;
use crate::answer::words::kind::KindWords;
use crate::app::{BenchRequest, Enter, Reply, Request};
use propagule_bench::kind::Kind;
use propagule_files::fault::{Answer, Fault};
use propagule_files::paste::pasteable;

/// Asks for each pot, and enters what was said of all of them.
pub(super) async fn walk(context: &Context, mut enter: Enter) -> Result<(), Fault> {
    let ui = context.ui;
    if ui.json {
        return Err(Fault::usage("walk-without-json"));
    }
    let mut walk = {
        let (pots, kind) = pots(context, &enter).await?;
        Walk::new(pots, enter.is_blind, fault::cell(&KindWords::of(kind)))
    };
    ui.out("Alive in each pot: Enter as before, . not looked at, b back, q stop.\n")?;
    let cells = loop {
        match walk.step() {
            Step::Ask(prompt) => match ui.line(&prompt)? {
                Some(line) => {
                    if let Err(why) = walk.answer(&line) {
                        ui.note(why);
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
    enter.counts = cells;
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
        Ok(Reply::Report(report)) => ui.show(&report),
        Ok(_) => Err(ask::unexpected()),
        Err(failure) => Err(failure),
    }
}

/// The pots as they stand, in the order of their tags, and the kind of the trial.
async fn pots(context: &Context, enter: &Enter) -> Result<(Vec<Pot>, Kind), Fault> {
    let request = BenchRequest::Pots { trial: enter.trial.clone(), on: Some(enter.common.on) };
    let Reply::Report(report) = ask::ask(context, Request::Bench(Box::new(request))).await? else {
        return Err(ask::unexpected());
    };
    let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
    let count = |value: &Value| value.as_u64().and_then(|n| u16::try_from(n).ok()).unwrap_or(0);
    let pot = |row: &Value| Pot {
        code: text(&row["pot"]),
        arm: text(&row["arm"]),
        alive: count(&row["alive"]),
        left: count(&row["alive"]) + count(&row["not_known"]),
        last_look: row["last_look"].as_str().map(str::to_owned),
    };
    let kind = Kind::deserialize(&report.json["kind"]).unwrap_or_default();
    Ok((report.json["pots"].as_array().map(|rows| rows.iter().map(pot).collect()).unwrap_or_default(), kind))
}
