//! `propagule` alone: what it is, where the data lies, what to do next.

use schemars::JsonSchema;
use serde::Serialize;

use super::Context;
use crate::ui::wrapped;
use propagule_app::home::Home;
use propagule_files::fault::Fault;

/// What it is.
const WHAT: &str = "propagule keeps a bench record of propagation trials, says what the counts show, publishes \
                    anonymised results to other growers, and learns with them which methods really root.";

pub(super) fn cmd_bare(context: &Context) -> Result<(), Fault> {
    let path = context.home_path()?;
    let exists = Home::exists(&path);
    if context.ui.json {
        let shown =
            HomeShown { version: env!("CARGO_PKG_VERSION"), home: path.display().to_string(), exists };
        let json = serde_json::to_value(shown).expect("plain data");
        return context.ui.out(&format!("{json:#}\n"));
    }
    let (state, next) = if exists { ("", NEXT) } else { (" (not made yet)", FIRST) };
    let text = format!(
        "{WHAT}\n\nUsage: propagule COMMAND\n\nYour data: {}{state}\n\nNext\n{next}\nAll commands: propagule --help\n",
        path.display()
    );
    context.ui.out(&wrapped(&text, context.ui.width()))
}

/// The program and where its data lies, as data.
#[derive(Serialize, JsonSchema)]
#[serde(tag = "format", rename = "propagule.home/1")]
pub(crate) struct HomeShown {
    /// The version of the program.
    version: &'static str,
    /// The folder of the home.
    home: String,
    /// Whether there is a home.
    exists: bool,
}

const FIRST: &str = "  propagule init              make a home for your records and keys
  propagule demo              see the whole job with invented growers, on this machine only
  propagule trial new --help  set up your first trial
";

const NEXT: &str = "  propagule due               what is due on your bench
  propagule trial list        your trials
  propagule serve             be on the network: send and receive results
";
