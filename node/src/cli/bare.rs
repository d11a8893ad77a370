//! `propagule` alone: what it is, where the data lies, what to do next.

use schemars::JsonSchema;
use serde::Serialize;

use super::Context;
use crate::ui::wrapped;
use propagule_app::home::Home;
use propagule_files::fault::Fault;
use propagule_present::help;

pub(super) fn cmd_bare(context: &Context) -> Result<(), Fault> {
    let path = context.home_path()?;
    let exists = Home::exists(&path);
    if context.ui.json {
        let shown =
            HomeShown { version: env!("CARGO_PKG_VERSION"), home: path.display().to_string(), exists };
        let json = serde_json::to_value(shown).expect("plain data");
        return context.ui.out(&format!("{json:#}\n"));
    }
    let text = help::alone(&path.display().to_string(), exists);
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
