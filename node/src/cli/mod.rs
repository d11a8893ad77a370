//! Commands of the terminal: parse, ask the app, show.

mod ask;
pub(crate) mod bare;
mod bundle;
mod circle;
mod compare;
mod completions;
mod day;
mod demo;
mod doctor;
mod due;
mod entry;
mod export;
mod fix;
pub(crate) mod init;
mod input;
mod key;
mod looked;
mod man;
mod memory;
mod moving;
mod note;
mod output;
mod peers;
mod place;
mod plan;
mod plant;
mod pool;
mod pots;
mod publish;
mod question;
mod refused;
#[cfg(test)]
pub(crate) mod requested;
mod restore;
mod scope;
mod serve;
mod settings;
mod spot;
mod stick;
mod store;
mod trial;
mod walk;
mod withdraw;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::error::ErrorKind;
use clap::{Parser, Subcommand};

use crate::ui::Ui;
use propagule_app::home::Home;
use propagule_bench::Stage;
use propagule_files::clock::Clock;
use propagule_files::fault::Fault;

/// Keep a bench record of propagation trials, publish anonymised results to other growers, and learn
/// which methods really root
#[derive(Debug, Parser)]
#[command(name = "propagule", version, max_term_width = 100)]
pub struct Cli {
    /// Home folder with your records and keys [default: the data folder of your system, or
    /// `$PROPAGULE_HOME`]
    #[arg(long, global = true, value_name = "FOLDER")]
    home: Option<PathBuf>,
    /// Answer as JSON on stdout
    #[arg(long, global = true)]
    json: bool,
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    Init(init::InitArgs),
    Place(place::PlaceArgs),
    Stock(spot::StockArgs),
    Spot(spot::SpotArgs),
    Trial(trial::TrialArgs),
    #[command(alias = "graft", alias = "bud", alias = "sow", alias = "layer", alias = "divide")]
    Stick(stick::StickArgs),
    Check(entry::CheckArgs),
    Care(spot::CareArgs),
    Move(moving::MoveArgs),
    #[command(alias = "take", alias = "germination", alias = "severed", alias = "first")]
    Lift(entry::StageArgs),
    /// Count at season end or weaning: grafts growing on, cuttings weaned, seedlings pricked out
    ///
    /// Examples:
    ///   propagule season F1 P1:taken=8,established=7 --rest dead
    ///   propagule season M1 A:rooted=9,established=6,dead=1 --on 2026-10-30
    #[command(verbatim_doc_comment, alias = "weaned", alias = "pricked-out")]
    Season(entry::StageArgs),
    /// Count in spring, about bud break: alive, leafing, rooted, established
    ///
    /// Examples:
    ///   propagule spring M1 P1:rooted=3,established=3 --rest dead
    ///   propagule spring M1 A:leafing=2 --on 2027-04-20
    #[command(verbatim_doc_comment)]
    Spring(entry::StageArgs),
    /// Count the finished plants by your own grade, or sound unions of grafts
    ///
    /// Examples:
    ///   propagule final M1 A:finished=4 --rest dead
    ///   propagule final F1 P1:sound=2 P2:sound=1,dead=1
    #[command(verbatim_doc_comment)]
    Final(entry::StageArgs),
    Pots(pots::PotsArgs),
    Fix(fix::FixArgs),
    #[command(hide = true)]
    Correct(fix::CorrectArgs),
    Undo(fix::UndoArgs),
    Note(note::NoteArgs),
    Due(due::DueArgs),
    Publish(publish::PublishArgs),
    Withdraw(withdraw::WithdrawArgs),
    Serve(serve::ServeArgs),
    Peers(peers::PeersArgs),
    Circle(circle::CircleArgs),
    Key(key::KeyArgs),
    Pool(pool::PoolArgs),
    Compare(compare::CompareArgs),
    Plan(plan::PlanArgs),
    Plant(plant::PlantArgs),
    Bundle(bundle::BundleArgs),
    Store(store::StoreArgs),
    Export(export::ExportArgs),
    Settings(settings::SettingsArgs),
    Restore(restore::RestoreArgs),
    Doctor(doctor::DoctorArgs),
    Demo(demo::DemoArgs),
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

    /// The command as typed, for whoever waits for this home.
    pub(crate) fn words(&self) -> &str {
        &self.words
    }
}

/// Runs the command line of this process.
pub fn main() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(e) => return not_run(&e),
    };
    let ui = Ui { json: cli.json };
    match run(cli, ui) {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            ui.fail(&failure);
            ExitCode::from(failure.exit_code())
        }
    }
}

/// Shows help where it was asked for, or where a command needs another one behind it; else says what was wrong.
fn not_run(error: &clap::Error) -> ExitCode {
    if !error.use_stderr() || error.kind() == ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand {
        // A closed pipe while printing help is nobody's concern.
        let _ = error.print();
        return ExitCode::from(if error.use_stderr() { 2 } else { 0 });
    }
    let failure = refused::refused(error, typed());
    Ui { json: typed().any(|word| word == "--json") }.fail(&failure);
    ExitCode::from(failure.exit_code())
}

/// The words of the command line behind the program's name.
fn typed() -> impl Iterator<Item = String> {
    std::env::args_os().skip(1).map(|word| word.to_string_lossy().into_owned())
}

fn run(cli: Cli, ui: Ui) -> Result<(), Fault> {
    start_logging();
    let clock =
        Clock::from_environment().map_err(|e| Fault::environment("clock-variable-malformed").because(e))?;
    let words = typed().collect::<Vec<_>>().join(" ");
    let context = Context { ui, clock, home: cli.home, words };
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
        Command::Place(args) => place::cmd_place(context, args).await,
        Command::Trial(args) => trial::cmd_trial(context, args).await,
        Command::Stock(args) => spot::cmd_stock(context, args).await,
        Command::Spot(args) => spot::cmd_spot(context, args).await,
        Command::Stick(args) => stick::cmd_stick(context, args).await,
        Command::Check(args) => entry::cmd_check(context, args).await,
        Command::Care(args) => spot::cmd_care(context, args).await,
        Command::Move(args) => moving::cmd_move(context, args).await,
        Command::Lift(args) => entry::cmd_stage(context, args, Stage::Lift).await,
        Command::Season(args) => entry::cmd_stage(context, args, Stage::Season).await,
        Command::Spring(args) => entry::cmd_stage(context, args, Stage::Spring).await,
        Command::Final(args) => entry::cmd_stage(context, args, Stage::Final).await,
        Command::Pots(args) => pots::cmd_pots(context, args).await,
        Command::Fix(args) => fix::cmd_fix(context, args).await,
        Command::Correct(args) => fix::cmd_correct(context, args).await,
        Command::Undo(args) => fix::cmd_undo(context, args).await,
        Command::Note(args) => note::cmd_note(context, args).await,
        Command::Due(args) => due::cmd_due(context, args).await,
        Command::Publish(args) => publish::cmd_publish(context, args).await,
        Command::Withdraw(args) => withdraw::cmd_withdraw(context, args).await,
        Command::Serve(args) => serve::cmd_serve(context, args).await,
        Command::Peers(args) => peers::cmd_peers(context, args).await,
        Command::Circle(args) => circle::cmd_circle(context, args).await,
        Command::Key(args) => key::cmd_key(context, args).await,
        Command::Pool(args) => pool::cmd_pool(context, args).await,
        Command::Compare(args) => compare::cmd_compare(context, args).await,
        Command::Plan(args) => plan::cmd_plan(context, args).await,
        Command::Plant(args) => plant::cmd_plant(context, args).await,
        Command::Bundle(args) => bundle::cmd_bundle(context, args).await,
        Command::Store(args) => store::cmd_store(context, &args).await,
        Command::Export(args) => export::cmd_export(context, args).await,
        Command::Settings(args) => settings::cmd_settings(context, args).await,
        Command::Restore(args) => restore::cmd_restore(context, &args),
        Command::Doctor(args) => doctor::cmd_doctor(context, &args).await,
        Command::Demo(args) => demo::cmd_demo(context, &args).await,
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

/// What a command line that describes something of the bench asks for, read as any command line is.
#[cfg(test)]
pub(crate) fn described(clock: Clock, words: &[String]) -> Result<propagule_app::BenchRequest, Fault> {
    let cli = Cli::try_parse_from(words).map_err(|error| refused::refused(&error, words.iter().cloned()))?;
    let context = Context { ui: Ui { json: false }, clock, home: None, words: String::new() };
    match cli.command.expect("a command") {
        Command::Trial(args) => trial::described(&context, args).expect("one that describes"),
        Command::Spot(args) => spot::spot(&context, args),
        Command::Stock(args) => spot::stock(args),
        Command::Care(args) => spot::care(&context, args),
        other => unreachable!("{other:?} describes nothing"),
    }
}
