//! Commands of the terminal: parse, ask the app, show.

mod ask;
pub(crate) mod bare;
mod bench;
mod bundle;
mod cautions;
mod compare;
mod completions;
mod day;
mod demo;
mod doctor;
mod due;
mod entry;
mod export;
mod fix;
mod helped;
pub(crate) mod init;
mod input;
mod key;
mod leaving;
mod log;
mod looked;
mod man;
mod memory;
mod moving;
mod names;
mod note;
mod output;
mod peers;
mod plan;
mod pool;
mod pots;
mod print;
mod publish;
mod question;
mod refused;
pub mod renamed;
#[cfg(test)]
pub(crate) mod requested;
mod restore;
mod scope;
mod serve;
mod settings;
mod site;
mod stick;
mod stock;
mod store;
mod trial;
mod trust;
mod undo;
mod walk;
mod withdraw;

pub use helped::commands;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::error::ErrorKind;
use clap::{FromArgMatches, Parser, Subcommand};

use crate::ui::Ui;
use propagule_app::Hearing;
use propagule_app::home::Home;
use propagule_bench::doing::Doing;
use propagule_bench::locale::Locale;
use propagule_bench::{Departure, Stage};
use propagule_files::clock::Clock;
use propagule_files::fault::Fault;

/// The command line.
#[derive(Debug, Parser)]
#[command(name = "propagule", version, max_term_width = 100)]
pub struct Cli {
    #[arg(long, global = true, value_name = "FOLDER")]
    home: Option<PathBuf>,
    #[arg(long, global = true)]
    json: bool,
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    Init(init::InitArgs),
    Site(site::SiteArgs),
    Settings(settings::SettingsArgs),
    Serve(serve::ServeArgs),
    Demo(demo::DemoArgs),
    Trial(trial::TrialArgs),
    Stock(stock::StockArgs),
    Bench(bench::BenchArgs),
    #[command(visible_aliases = ["strike", "graft", "bud", "sow", "layer", "divide"])]
    Stick(stick::StickArgs),
    Check(entry::CheckArgs),
    Log(log::LogArgs),
    Move(moving::MoveArgs),
    #[command(visible_aliases = ["count", "take", "germination"], aliases = ["severed", "first"])]
    Lift(entry::StageArgs),
    #[command(aliases = ["weaned", "pricked-out"])]
    Season(entry::StageArgs),
    Spring(entry::StageArgs),
    Final(entry::StageArgs),
    Sell(leaving::LeavingArgs),
    Give(leaving::LeavingArgs),
    PlantOut(leaving::LeavingArgs),
    Note(note::NoteArgs),
    Undo(undo::UndoArgs),
    Fix(fix::FixArgs),
    #[command(hide = true)]
    Correct(fix::CorrectArgs),
    Due(due::DueArgs),
    Print(print::PrintArgs),
    Cautions(cautions::CautionsArgs),
    Pool(pool::PoolArgs),
    Compare(compare::CompareArgs),
    Plan(plan::PlanArgs),
    Names(names::NamesArgs),
    Publish(publish::PublishArgs),
    Withdraw(withdraw::WithdrawArgs),
    Trust(trust::TrustArgs),
    Peers(peers::PeersArgs),
    Bundle(bundle::BundleArgs),
    Key(key::KeyArgs),
    Export(export::ExportArgs),
    Restore(restore::RestoreArgs),
    Doctor(doctor::DoctorArgs),
    Store(store::StoreArgs),
    Man(man::ManArgs),
    Completions(completions::CompletionsArgs),
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
    pub(crate) fn home_path(&self) -> Result<PathBuf, Fault> {
        Home::locate(self.home.clone())
    }

    /// How the grower of this home reads; without a home as the system's language says.
    pub(crate) fn locale(&self) -> Locale {
        let home =
            self.home_path().ok().filter(|path| Home::exists(path)).and_then(|path| Home::open(&path).ok());
        home.and_then(|home| home.config().ok()).unwrap_or_default().locale()
    }

    /// As what, and in whose English, this grower is heard.
    pub(crate) fn hearing(&self, what: Doing) -> Hearing {
        Hearing { what, dialect: self.locale().dialect }
    }

    /// The command as typed, for whoever waits for this home.
    pub(crate) fn words(&self) -> &str {
        &self.words
    }
}

/// Runs the command line of this process.
pub fn main() -> ExitCode {
    let (words, renamed) = renamed::in_new_words(typed().collect());
    let cli = match parsed(["propagule".to_owned()].into_iter().chain(words.clone())) {
        Ok(cli) => cli,
        Err(e) => return not_run(&e, &words),
    };
    let ui = Ui { json: cli.json };
    if !renamed.is_empty() {
        ui.note(propagule_present::help::renamed(&renamed));
    }
    match run(cli, ui, &words) {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            ui.fail(&failure);
            ExitCode::from(failure.exit_code())
        }
    }
}

/// Reads words with the program's name before them.
fn parsed(words: impl Iterator<Item = String>) -> Result<Cli, clap::Error> {
    commands().try_get_matches_from(words).and_then(|matches| Cli::from_arg_matches(&matches))
}

/// Shows help where it was asked for, or where a command needs another one behind it; else says what was wrong.
fn not_run(error: &clap::Error, words: &[String]) -> ExitCode {
    if !error.use_stderr() || error.kind() == ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand {
        // A closed pipe while printing help is nobody's concern.
        let _ = error.print();
        return ExitCode::from(if error.use_stderr() { 2 } else { 0 });
    }
    let failure = refused::refused(error, words.iter().cloned());
    Ui { json: words.iter().any(|word| word == "--json") }.fail(&failure);
    ExitCode::from(failure.exit_code())
}

/// The words of the command line behind the program's name.
fn typed() -> impl Iterator<Item = String> {
    std::env::args_os().skip(1).map(|word| word.to_string_lossy().into_owned())
}

fn run(cli: Cli, ui: Ui, words: &[String]) -> Result<(), Fault> {
    start_logging();
    let clock =
        Clock::from_environment().map_err(|e| Fault::environment("clock-variable-malformed").because(e))?;
    let context = Context { ui, clock, home: cli.home, words: words.join(" ") };
    // Before the first sentence; while it serves, the program words its pages for the same reader.
    propagule_present::kind::set_reader(context.locale());
    let Some(command) = cli.command else { return bare::cmd_bare(&context) };
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .map_err(|e| Fault::environment("program-cannot-start").because(e))?;
    runtime.block_on(run_command(&context, command))
}

async fn run_command(context: &Context, command: Command) -> Result<(), Fault> {
    match command {
        Command::Init(args) => init::cmd_init(context, &args),
        Command::Site(args) => site::cmd_site(context, args).await,
        Command::Settings(args) => settings::cmd_settings(context, args).await,
        Command::Serve(args) => serve::cmd_serve(context, args).await,
        Command::Demo(args) => demo::cmd_demo(context, &args).await,
        Command::Trial(args) => trial::cmd_trial(context, args).await,
        Command::Stock(args) => stock::cmd_stock(context, args).await,
        Command::Bench(args) => bench::cmd_bench(context, args).await,
        Command::Stick(args) => stick::cmd_stick(context, args).await,
        Command::Check(args) => entry::cmd_check(context, args).await,
        Command::Log(args) => log::cmd_log(context, args).await,
        Command::Move(args) => moving::cmd_move(context, args).await,
        Command::Lift(args) => entry::cmd_stage(context, args, Stage::Lift).await,
        Command::Season(args) => entry::cmd_stage(context, args, Stage::Season).await,
        Command::Spring(args) => entry::cmd_stage(context, args, Stage::Spring).await,
        Command::Final(args) => entry::cmd_stage(context, args, Stage::Final).await,
        Command::Sell(args) => leaving::cmd_leaving(context, args, Departure::Sold).await,
        Command::Give(args) => leaving::cmd_leaving(context, args, Departure::Given).await,
        Command::PlantOut(args) => leaving::cmd_leaving(context, args, Departure::PlantedOut).await,
        Command::Note(args) => note::cmd_note(context, args).await,
        Command::Undo(args) => undo::cmd_undo(context, args).await,
        Command::Fix(args) => fix::cmd_fix(context, args).await,
        Command::Correct(args) => fix::cmd_correct(context, args).await,
        Command::Due(args) => due::cmd_due(context, args).await,
        Command::Print(args) => print::cmd_print(context, args).await,
        Command::Cautions(args) => cautions::cmd_cautions(context, args).await,
        Command::Pool(args) => pool::cmd_pool(context, args).await,
        Command::Compare(args) => compare::cmd_compare(context, args).await,
        Command::Plan(args) => plan::cmd_plan(context, args).await,
        Command::Names(args) => names::cmd_names(context, args).await,
        Command::Publish(args) => publish::cmd_publish(context, args).await,
        Command::Withdraw(args) => withdraw::cmd_withdraw(context, args).await,
        Command::Trust(args) => trust::cmd_trust(context, args).await,
        Command::Peers(args) => peers::cmd_peers(context, args).await,
        Command::Bundle(args) => bundle::cmd_bundle(context, args).await,
        Command::Key(args) => key::cmd_key(context, args).await,
        Command::Export(args) => export::cmd_export(context, args).await,
        Command::Restore(args) => restore::cmd_restore(context, &args),
        Command::Doctor(args) => doctor::cmd_doctor(context, &args).await,
        Command::Store(args) => store::cmd_store(context, &args).await,
        Command::Man(args) => man::cmd_man(context, &args),
        Command::Completions(args) => completions::cmd_completions(context, &args),
    }
}

/// Logs to stderr: warnings, or what `RUST_LOG` asks for.
fn start_logging() {
    let filter = tracing_subscriber::EnvFilter::try_from_default_env().unwrap_or_else(|_| {
        tracing_subscriber::EnvFilter::new("propagule_node=warn,propagule_network=warn,error")
    });
    propagule_app::caught::log_faults();
    tracing_subscriber::fmt().with_env_filter(filter).with_writer(std::io::stderr).without_time().init();
}

/// Reads a command line, in old words or new ones; the program's name is its first word.
#[cfg(test)]
fn read(words: &[String]) -> Result<Cli, clap::Error> {
    let (renamed, _) = renamed::in_new_words(words[1..].to_vec());
    parsed(words[..1].iter().cloned().chain(renamed))
}

/// What a command line that describes something of the bench asks for, read as any command line is.
#[cfg(test)]
pub(crate) fn described(clock: Clock, words: &[String]) -> Result<propagule_app::BenchRequest, Fault> {
    let cli = read(words).map_err(|error| refused::refused(&error, words.iter().cloned()))?;
    let context = Context { ui: Ui { json: false }, clock, home: None, words: String::new() };
    match cli.command.expect("a command") {
        Command::Trial(args) => trial::described(&context, args).expect("one that describes"),
        Command::Bench(args) => bench::bench(&context, args),
        Command::Stock(args) => stock::stock(&context, args),
        Command::Log(args) => log::log(&context, args),
        other => unreachable!("{other:?} describes nothing"),
    }
}
