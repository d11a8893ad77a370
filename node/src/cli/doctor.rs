//! `propagule doctor`

use clap::Args;

use super::{Context, ask};
use propagule_app::doctor;
use propagule_app::outcome::Outcome;
use propagule_app::{Reply, Request};
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
pub(crate) struct DoctorArgs {
    #[arg(long)]
    full: bool,
}

pub(super) async fn cmd_doctor(context: &Context, args: &DoctorArgs) -> Result<(), Fault> {
    let (mut findings, home) = doctor::at_rest(&context.home_path()?, context.clock);
    if home.is_some() {
        findings.extend(inside(context, args.full, &findings).await?);
    }
    let doctor = doctor::sum_up(findings);
    let unwell = doctor::unwell(&doctor);
    ask::show_outcome(context, &Outcome::Doctor(doctor))?;
    unwell.map_or(Ok(()), Err)
}

/// What the open home says, or the node that serves it.
async fn inside(
    context: &Context,
    full: bool,
    findings: &[doctor::Finding],
) -> Result<Vec<doctor::Finding>, Fault> {
    if !doctor::may_be_opened(findings) {
        return Ok(doctor::shut());
    }
    match ask::ask(context, Request::Doctor { full }).await {
        Ok(Reply::Findings(findings)) => Ok(findings),
        Ok(_) => Err(ask::unexpected()),
        Err(failure) => Ok(doctor::kept_shut(&failure)),
    }
}
