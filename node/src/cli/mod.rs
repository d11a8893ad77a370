//! Commands of the terminal: parse, ask the app, show.

mod ask;
mod bundle;
mod compare;
mod demo;
mod init;
mod input;
mod peers;
mod place;
mod plan;
mod pool;
mod publish;
mod question;
mod scope;
mod serve;
mod trial;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand};

use crate::clock::Clock;
use crate::error::Failure;
use crate::home::Home;
use crate::ui::Ui;

/// Keep a bench record of propagation trials, publish anonymised results to other growers, and learn
/// which methods really root
#[derive(Debug, Parser)]
#[command(name = "propagule", version, arg_required_else_help = true, max_term_width = 100)]
pub struct Cli {
    /// Home folder with your records and keys [default: the data folder of your system, or
    /// `$PROPAGULE_HOME`]
    #[arg(long, global = true, value_name = "FOLDER")]
    home: Option<PathBuf>,
    /// Answer as JSON on stdout
    #[arg(long, global = true)]
    json: bool,
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    Init(init::InitArgs),
    Place(place::PlaceArgs),
    Trial(trial::TrialArgs),
    Publish(publish::PublishArgs),
    Serve(serve::ServeArgs),
    Peers(peers::PeersArgs),
    Pool(pool::PoolArgs),
    Compare(compare::CompareArgs),
    Plan(plan::PlanArgs),
    Bundle(bundle::BundleArgs),
    Demo(demo::DemoArgs),
}

/// What every command is given beside its own arguments.
#[derive(Debug)]
pub(crate) struct Context {
    pub(crate) ui: Ui,
    pub(crate) clock: Clock,
    home: Option<PathBuf>,
    words: String,
}

impl Context {
    /// The home folder to use, whether it exists or not.
    pub(crate) fn home_path(&self) -> Result<PathBuf, Failure> {
        Home::locate(self.home.clone())
    }

    /// The command as typed, for whoever waits for this home.
    pub(crate) fn words(&self) -> &str {
        &self.words
    }
}

/// Runs the command line of this process.
pub fn main() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(e) => {
            // A closed pipe while printing help is nobody's concern.
            let _ = e.print();
            return ExitCode::from(if e.use_stderr() { 2 } else { 0 });
        }
    };
    let ui = Ui { json: cli.json };
    match run(cli, ui) {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            ui.note(&failure);
            ExitCode::from(failure.exit_code())
        }
    }
}

fn run(cli: Cli, ui: Ui) -> Result<(), Failure> {
    start_logging();
    let clock = Clock::from_environment().map_err(|e| {
        Failure::environment("the variable PROPAGULE_CLOCK is not a timestamp", e)
            .hint("unset it, or write a timestamp such as 2026-09-12T10:00:00Z")
    })?;
    let words: Vec<String> =
        std::env::args_os().skip(1).map(|word| word.to_string_lossy().into_owned()).collect();
    let context = Context { ui, clock, home: cli.home, words: words.join(" ") };
    let runtime =
        tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build().map_err(|e| {
            Failure::environment("the program cannot start", e)
                .hint("the system is short of memory or threads: close something and try again")
        })?;
    runtime.block_on(run_command(&context, cli.command))
}

async fn run_command(context: &Context, command: Command) -> Result<(), Failure> {
    match command {
        Command::Init(args) => init::cmd_init(context, &args),
        Command::Place(args) => place::cmd_place(context, args).await,
        Command::Trial(args) => trial::cmd_trial(context, args).await,
        Command::Publish(args) => publish::cmd_publish(context, args).await,
        Command::Serve(args) => serve::cmd_serve(context, args).await,
        Command::Peers(args) => peers::cmd_peers(context, args).await,
        Command::Pool(args) => pool::cmd_pool(context, args).await,
        Command::Compare(args) => compare::cmd_compare(context, args).await,
        Command::Plan(args) => plan::cmd_plan(context, args).await,
        Command::Bundle(args) => bundle::cmd_bundle(context, args).await,
        Command::Demo(args) => demo::cmd_demo(context, &args).await,
    }
}

/// Logs to stderr: warnings, or what `RUST_LOG` asks for.
fn start_logging() {
    let filter = tracing_subscriber::EnvFilter::try_from_default_env()
        .unwrap_or_else(|_| tracing_subscriber::EnvFilter::new("propagule_node=warn,error"));
    tracing_subscriber::fmt().with_env_filter(filter).with_writer(std::io::stderr).without_time().init();
}
