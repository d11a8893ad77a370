//! `propagule trial import`

use std::collections::BTreeMap;
use std::path::PathBuf;

use clap::{Args, ValueEnum};

use crate::cli::input::read_table;
use crate::cli::{Context, ask, day};
use propagule_app::outcome::Outcome;
use propagule_app::outcome::import::TrialImport;
use propagule_app::tables::{Checks, Options};
use propagule_app::{Request, Table};
use propagule_bench::Rest;
use propagule_files::fault::Fault;

#[expect(clippy::struct_excessive_bools, reason = "each is a switch of its own")]
#[derive(Debug, Args)]
pub(crate) struct ImportArgs {
    file: PathBuf,
    #[arg(long)]
    yes: bool,
    #[arg(long, conflicts_with = "yes")]
    dry_run: bool,
    #[arg(long, value_name = "HEADING=COLUMN")]
    map: Vec<String>,
    #[arg(long, value_name = "COLUMN=VALUE")]
    set: Vec<String>,
    #[arg(long, value_name = "COLUMN")]
    fill: Vec<String>,
    #[arg(long, value_name = "WORD=MEANING")]
    word: Vec<String>,
    #[arg(long, value_name = "LINE=WHAT")]
    row: Vec<String>,
    #[arg(long, value_enum, value_name = "WHAT")]
    checks: Option<CheckWords>,
    #[arg(long, value_enum, value_name = "FATE")]
    rest: Option<RestWords>,
    #[arg(long, value_name = "NAME")]
    sheet: Option<String>,
    #[arg(long)]
    one_row_one_piece: bool,
    #[command(flatten)]
    reading: day::ReadingArgs,
    #[arg(long)]
    leave_out: bool,
    #[arg(long)]
    update: bool,
}

/// What the numbers of a check are.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum CheckWords {
    Alive,
    Dead,
    DeadSoFar,
    Rooted,
}

/// What became of the others.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum RestWords {
    Alive,
    Dead,
    NotSeen,
}

impl ImportArgs {
    fn options(&self) -> Result<Options, Fault> {
        let mut rows = BTreeMap::new();
        for (line, what) in pairs("--row", "12=total", &self.row)? {
            let line = line
                .parse()
                .map_err(|_| Fault::usage("row-not-a-line").with("line", &line).with("what", &what))?;
            rows.insert(line, what);
        }
        Ok(Options {
            columns: pairs("--map", "Lot=trial", &self.map)?,
            set: pairs("--set", "trial=M3", &self.set)?,
            fill: self.fill.clone(),
            words: pairs("--word", "dropped=lost", &self.word)?,
            rows,
            checks: self.checks.map(|checks| match checks {
                CheckWords::Alive => Checks::Alive,
                CheckWords::Dead => Checks::Dead,
                CheckWords::DeadSoFar => Checks::DeadSoFar,
                CheckWords::Rooted => Checks::Rooted,
            }),
            rest: self.rest.map(|rest| match rest {
                RestWords::Alive => Rest::Alive,
                RestWords::Dead => Rest::Dead,
                RestWords::NotSeen => Rest::NotKnown,
            }),
            reading: self.reading.reading(),
            sheet: self.sheet.clone(),
            one_piece: self.one_row_one_piece,
            leave_out: self.leave_out,
            update: self.update,
            ..Options::default()
        })
    }
}

/// `what=meaning`, several times.
fn pairs(option: &str, example: &str, texts: &[String]) -> Result<BTreeMap<String, String>, Fault> {
    let pair = |text: &String| {
        let (from, to) = text.split_once('=').ok_or_else(|| {
            Fault::usage("option-without-equals")
                .with("option", option)
                .with("text", text)
                .with("example", example)
        })?;
        Ok((from.trim().to_owned(), to.trim().to_owned()))
    };
    texts.iter().map(pair).collect()
}

pub(super) async fn cmd_import(context: &Context, args: ImportArgs) -> Result<(), Fault> {
    let bytes = read_table(&args.file)?;
    let name = args.file.display().to_string();
    let request = |save| -> Result<Request, Fault> {
        Ok(Request::TrialImport(Box::new(Table::new(&name, &bytes, args.options()?, save))))
    };
    let ask = async |save| ask::done(context, request(save)?).await;
    let read = ask(args.yes).await?;
    let ui = context.ui;
    ask::show_outcome(context, &read)?;
    let import = of(&read)?;
    if import.saved {
        return left_out(import);
    }
    if import.can_save && !args.dry_run && ui.can_ask() && ui.ask("Save this?")? {
        let saved = ask(true).await?;
        ask::show_outcome(context, &saved)?;
        return left_out(of(&saved)?);
    }
    // A preview with refused rows is an answer; one that cannot go on, or a yes that saved nothing, is not.
    match (args.yes, import.open_questions().count()) {
        // What is asked stands above; it is not said again to whoever reads it there.
        (false, open @ 1..) if !ui.json => Err(waiting(open)),
        (false, 0) if !import.trials.is_empty() => Ok(()),
        _ => Err(refused(import)),
    }
}

fn of(outcome: &Outcome) -> Result<&TrialImport, Fault> {
    match outcome {
        Outcome::TrialImport(import) => Ok(import),
        _ => Err(ask::unexpected()),
    }
}

/// The failure of a preview that waits for answers.
fn waiting(open: usize) -> Fault {
    Fault::user("import-has-questions").with("open", open)
}

/// The failure that names what keeps the table from being saved.
fn refused(import: &TrialImport) -> Fault {
    import.error.as_ref().map_or_else(|| Fault::user("import-saved-nothing"), |error| error.fault.clone())
}

/// Saved, but not all of it: the lines that were left out are named.
fn left_out(import: &TrialImport) -> Result<(), Fault> {
    let lines = &import.left_out;
    if lines.is_empty() {
        return Ok(());
    }
    let numbers: Vec<String> = lines.iter().map(ToString::to_string).collect();
    Err(Fault::user("import-left-lines-out").with("left_out", lines.len()).with_data("lines", &numbers))
}
