//! `propagule init`

use clap::{Args, ValueEnum};
use serde_json::json;

use super::Context;
use crate::app::Report;
use crate::error::Failure;
use crate::home::{Home, HomeLock, PUBLIC_NETWORK, Pace, home_flag};

/// Make a home for your records and keys
///
/// Examples:
///   propagule init
///   propagule --home ./trial-home init --network my-group
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct InitArgs {
    /// Network that the home belongs to, for ever; growers of a group agree on a name
    #[arg(long, default_value = PUBLIC_NETWORK)]
    network: String,
    /// How patient the node is with waiting
    #[arg(long, value_enum, default_value_t = PaceArg::Home, hide = true)]
    pace: PaceArg,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum PaceArg {
    Home,
    Quick,
}

pub(super) fn cmd_init(context: &Context, args: &InitArgs) -> Result<(), Failure> {
    let path = context.home_path()?;
    let flag = home_flag(&path);
    if Home::exists(&path) {
        let home = Home::open(&path)?;
        return context.ui.show(&report(&home, false, &flag));
    }
    check_network(&args.network)?;
    let pace = match args.pace {
        PaceArg::Home => Pace::Home,
        PaceArg::Quick => Pace::Quick,
    };
    let home = Home::create(&path, &args.network, pace)?;
    // Opening it once makes the journals, so that a full disk shows now.
    let lock = HomeLock::take(&home, context.words(), std::time::Duration::from_secs(1))?;
    crate::app::App::open(home.clone(), lock, context.clock)?;
    context.ui.show(&report(&home, true, &flag))
}

fn check_network(name: &str) -> Result<(), Failure> {
    let fits = (1..=40).contains(&name.len())
        && name.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-');
    if fits {
        return Ok(());
    }
    Err(Failure::usage(format!("\"{name}\" cannot be the name of a network"))
        .hint("use 1 to 40 small letters, digits and hyphens, such as my-group"))
}

fn report(home: &Home, is_new: bool, flag: &str) -> Report {
    let what = if is_new { "Made a home at" } else { "There is a home already at" };
    let text = format!(
        "{what} {}\nNetwork: {}. Nothing leaves this machine until you publish a trial.\n\
         Next:\n  propagule{flag} place --zone 8b --hemisphere north\n  propagule{flag} trial import FILE.csv\n  \
         propagule{flag} serve\n",
        home.path().display(),
        home.network_name(),
    );
    let json = json!({
        "format": "propagule.init/1",
        "home": home.path(),
        "network": home.network_name(),
        "new": is_new,
    });
    Report { text, json }
}
