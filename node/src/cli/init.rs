//! `propagule init`

use std::path::Path;
use std::time::Duration;

use clap::{Args, ValueEnum};
use schemars::JsonSchema;
use serde::Serialize;

use super::Context;
use propagule_app::home::{Home, PUBLIC_NETWORK, Pace, home_flag};
use propagule_files::fault::Fault;
use propagule_files::lock::HomeLock;
use propagule_files::replace::make_private_folder;
use propagule_present::outcome::Report;

/// How long to wait for another process that is just making the same home.
const PATIENCE: Duration = Duration::from_secs(10);

#[derive(Debug, Args)]
pub(crate) struct InitArgs {
    #[arg(long)]
    network: Option<String>,
    #[arg(long, value_enum, default_value_t = PaceArg::Home, hide = true)]
    pace: PaceArg,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum PaceArg {
    Home,
    Quick,
}

pub(super) fn cmd_init(context: &Context, args: &InitArgs) -> Result<(), Fault> {
    let path = context.home_path()?;
    let flag = home_flag(&path);
    if Home::exists(&path) {
        return show_existing(context, args, &path, &flag);
    }
    let network = args.network.as_deref().unwrap_or(PUBLIC_NETWORK);
    check_network(network)?;
    make_private_folder(&path)?;
    let lock = HomeLock::take(&path, context.words(), PATIENCE)?;
    // Another process may have made it in the meantime.
    if Home::exists(&path) {
        return show_existing(context, args, &path, &flag);
    }
    let pace = match args.pace {
        PaceArg::Home => Pace::Home,
        PaceArg::Quick => Pace::Quick,
    };
    let home = Home::create(&path, network, pace)?;
    let locale = home.config()?.locale();
    // Opening it once makes the journals, so that a full disk shows now.
    propagule_app::App::open(home.clone(), lock, context.clock)?;
    let said = propagule_present::outcome::private::taken_from_the_system(locale);
    let report = report(&home, true, &flag);
    context.ui.show(&Report { text: report.text + &said, ..report })
}

fn show_existing(context: &Context, args: &InitArgs, path: &Path, flag: &str) -> Result<(), Fault> {
    let home = Home::open(path)?;
    check_same_network(&home, args.network.as_deref())?;
    context.ui.show(&report(&home, false, flag))
}

fn check_network(name: &str) -> Result<(), Fault> {
    let fits = (1..=40).contains(&name.len())
        && name.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-');
    if fits {
        return Ok(());
    }
    Err(Fault::usage("network-name-malformed").with("name", name))
}

/// A home cannot change its network: asking for another one is a mistake that must not pass unseen.
fn check_same_network(home: &Home, asked: Option<&str>) -> Result<(), Fault> {
    let Some(asked) = asked.filter(|asked| *asked != home.network_name()) else { return Ok(()) };
    Err(Fault::user("home-of-another-network")
        .with("path", home.path().display())
        .with("network_name", home.network_name())
        .with("asked", asked))
}

fn report(home: &Home, is_new: bool, flag: &str) -> Report {
    let what = if is_new { "Made your data folder at" } else { "There is a data folder already at" };
    let text = format!(
        "{what} {}\nNetwork: {}. Nothing leaves this computer until you publish a trial.\n\
         Next:\n  propagule{flag} site --zone 8b --hemisphere north\n  propagule{flag} trial import FILE.csv\n  \
         propagule{flag} serve\n",
        home.path().display(),
        home.network_name(),
    );
    let made =
        HomeMade { home: home.path().display().to_string(), network: home.network_name().to_owned(), is_new };
    Report { text, json: serde_json::to_value(made).expect("plain data") }
}

/// A home that was made, or was there, as data.
#[derive(Serialize, JsonSchema)]
#[serde(tag = "format", rename = "propagule.init/1")]
pub(crate) struct HomeMade {
    /// The folder of the home.
    home: String,
    /// Name of the network that it belongs to.
    network: String,
    /// False when it was there before.
    #[serde(rename = "new")]
    is_new: bool,
}
