//! Flags that choose records, shared by `pool` and `plan`.

use clap::Args;

use crate::app::Scope;
use crate::error::Failure;

#[derive(Clone, Copy, Debug, Args)]
pub(super) struct ScopeArgs {
    /// Take only trials that were opened on the network before their first counts
    #[arg(long)]
    opened_only: bool,
    /// Take results transcribed from print as well
    #[arg(long)]
    transcribed: bool,
}

impl ScopeArgs {
    pub(super) fn scope(self) -> Scope {
        Scope { transcribed: self.transcribed, opened_only: self.opened_only }
    }

    /// Refuses flags that say nothing about a table.
    pub(super) fn check_table(self) -> Result<(), Failure> {
        let flag = match self {
            Self { opened_only: true, .. } => "--opened-only",
            Self { transcribed: true, .. } => "--transcribed",
            _ => return Ok(()),
        };
        let what = format!("{flag} chooses records of the network; a table has no such mark");
        Err(Failure::usage(what).hint(format!("leave {flag} out, or leave --from out")))
    }
}
