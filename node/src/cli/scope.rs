//! Flags that choose records, shared by `pool`, `compare` and `plan`.

use clap::{Args, ValueEnum};

use propagule_app::Scope;
use propagule_evidence::Whose;
use propagule_files::fault::Fault;

#[derive(Clone, Copy, Debug, Args)]
pub(super) struct ScopeArgs {
    /// Take only trials that were opened on the network before their first counts
    #[arg(long)]
    opened_only: bool,
    /// Take results transcribed from print as well
    #[arg(long)]
    transcribed: bool,
    /// Take stocks that were worked again after a graft failed as well: they were chosen by failure
    #[arg(long)]
    with_regrafts: bool,
    /// Whose results count: your own, those of growers you trust, or everybody's [default: circle when you have one,
    /// else everybody]
    #[arg(long, value_enum)]
    whose: Option<WhoseArg>,
    /// Count strangers like everybody else, though nobody stands behind what they claim
    #[arg(long)]
    unchecked: bool,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum WhoseArg {
    Mine,
    Friends,
    FriendsOfFriends,
    Circle,
    Everybody,
}

impl From<WhoseArg> for Whose {
    fn from(arg: WhoseArg) -> Self {
        match arg {
            WhoseArg::Mine => Self::Mine,
            WhoseArg::Friends => Self::Friends,
            WhoseArg::FriendsOfFriends => Self::FriendsOfFriends,
            WhoseArg::Circle => Self::Circle,
            WhoseArg::Everybody => Self::Everybody,
        }
    }
}

impl ScopeArgs {
    pub(super) fn scope(self) -> Scope {
        Scope {
            transcribed: self.transcribed,
            opened_only: self.opened_only,
            with_regrafts: self.with_regrafts,
            whose: self.whose.map(Whose::from),
            unchecked: self.unchecked,
        }
    }

    /// Refuses flags that say nothing about a table.
    pub(super) fn check_table(self) -> Result<(), Fault> {
        let flag = match self {
            Self { opened_only: true, .. } => "--opened-only",
            Self { transcribed: true, .. } => "--transcribed",
            Self { with_regrafts: true, .. } => "--with-regrafts",
            Self { whose: Some(_), .. } => "--whose",
            Self { unchecked: true, .. } => "--unchecked",
            _ => return Ok(()),
        };
        Err(Fault::usage("flag-not-for-tables").with("flag", flag))
    }
}
