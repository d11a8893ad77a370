//! Flags that choose records, shared by `pool`, `compare` and `plan`.

use clap::{Args, ValueEnum};

use propagule_app::Scope;
use propagule_evidence::Whose;
use propagule_files::fault::Fault;

#[expect(clippy::struct_excessive_bools, reason = "independent choices, each an option of its own")]
#[derive(Clone, Copy, Debug, Args)]
pub(super) struct ScopeArgs {
    #[arg(long)]
    announced_only: bool,
    #[arg(long)]
    transcribed: bool,
    #[arg(long)]
    with_regrafts: bool,
    #[arg(long, value_enum)]
    whose: Option<WhoseArg>,
    #[arg(long)]
    unchecked: bool,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum WhoseArg {
    Mine,
    Friends,
    FriendsOfFriends,
    Trusted,
    Everybody,
}

impl From<WhoseArg> for Whose {
    fn from(arg: WhoseArg) -> Self {
        match arg {
            WhoseArg::Mine => Self::Mine,
            WhoseArg::Friends => Self::Friends,
            WhoseArg::FriendsOfFriends => Self::FriendsOfFriends,
            WhoseArg::Trusted => Self::Circle,
            WhoseArg::Everybody => Self::Everybody,
        }
    }
}

impl ScopeArgs {
    pub(super) fn scope(self) -> Scope {
        Scope {
            transcribed: self.transcribed,
            opened_only: self.announced_only,
            with_regrafts: self.with_regrafts,
            whose: self.whose.map(Whose::from),
            unchecked: self.unchecked,
        }
    }

    /// Refuses flags that say nothing about a table.
    pub(super) fn check_table(self) -> Result<(), Fault> {
        let flag = match self {
            Self { announced_only: true, .. } => "--announced-only",
            Self { transcribed: true, .. } => "--transcribed",
            Self { with_regrafts: true, .. } => "--with-regrafts",
            Self { whose: Some(_), .. } => "--whose",
            Self { unchecked: true, .. } => "--unchecked",
            _ => return Ok(()),
        };
        Err(Fault::usage("flag-not-for-tables").with("flag", flag))
    }
}
