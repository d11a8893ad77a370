//! `propagule demo`

use clap::Args;

use super::Context;
use crate::error::Failure;

/// Play the whole job with invented growers on this machine
#[derive(Debug, Args)]
pub(crate) struct DemoArgs {}

pub(super) async fn cmd_demo(_context: &Context, _args: DemoArgs) -> Result<(), Failure> {
    Ok(())
}
