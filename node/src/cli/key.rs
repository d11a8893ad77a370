//! `propagule key`

use std::io::Read;
use std::path::{Path, PathBuf};

use clap::{ArgGroup, Args, Subcommand};
use propagule_protocol::Month;

use super::output::write_file;
use super::{Context, ask};
use propagule_app::outcome::Outcome;
use propagule_app::{KeyRequest, Request};
use propagule_files::fault::Fault;
use propagule_files::system::close_to_others;
use propagule_present::outcome::{self as present, Report};

/// The largest file that is read as a sheet.
const MOST_BYTES: u64 = 64 << 10;

#[derive(Debug, Args)]
pub(crate) struct KeyArgs {
    #[command(subcommand)]
    command: KeyCommand,
}

#[derive(Debug, Subcommand)]
enum KeyCommand {
    Show,
    Replace(ReplaceArgs),
    Cancel(CancelArgs),
}

#[derive(Debug, Args)]
struct ReplaceArgs {
    #[arg(long)]
    unlinked: bool,
    #[arg(long)]
    yes: bool,
    #[arg(long, conflicts_with = "unlinked")]
    now: bool,
}

#[derive(Debug, Args)]
#[command(group(ArgGroup::new("how").required(true).args(["from", "sheet", "write_sheet"])))]
struct CancelArgs {
    #[arg(long, value_name = "YYYY-MM")]
    from: Option<Month>,
    #[arg(long, value_name = "FILE")]
    sheet: Option<PathBuf>,
    #[arg(long, value_name = "FILE")]
    write_sheet: Option<PathBuf>,
    #[arg(long, requires = "from", value_name = "DIGITS")]
    key: Option<String>,
    #[arg(long, requires = "from", value_name = "RECORD")]
    except: Vec<String>,
    #[arg(long, requires = "write_sheet")]
    force: bool,
    #[arg(long)]
    yes: bool,
}

pub(super) async fn cmd_key(context: &Context, args: KeyArgs) -> Result<(), Fault> {
    match args.command {
        KeyCommand::Show => ask::show(context, Request::Key(KeyRequest::Show)).await,
        KeyCommand::Replace(ReplaceArgs { unlinked, yes, now }) => {
            let request =
                |confirmed| Request::Key(KeyRequest::Rotate { fresh: unlinked, confirmed, at_once: now });
            let no = if unlinked {
                Fault::user("rotate-fresh-needs-yes")
            } else {
                Fault::user("rotate-needs-yes")
            };
            let question = ask::Question { words: "Go on with a new key?", no };
            ask::with_a_yes(context, yes, request, question).await.map(drop)
        }
        KeyCommand::Cancel(args) => revoke(context, args).await,
    }
}

async fn revoke(context: &Context, args: CancelArgs) -> Result<(), Fault> {
    let question = |no| ask::Question { words: "Revoke this key, for ever?", no };
    if let Some(path) = &args.write_sheet {
        return write_sheet(context, path, args.force).await;
    }
    if let Some(path) = &args.sheet {
        let sheet = read_sheet(path)?;
        let request = |confirmed| Request::Key(KeyRequest::ReadSheet { sheet: sheet.clone(), confirmed });
        let no = Fault::user("revoke-by-sheet-needs-yes").with("file", path.display());
        let read = ask::with_a_yes(context, args.yes, request, question(no)).await.map(drop);
        return read.map_err(|failure| if path == Path::new("-") { failure } else { failure.of_file(path) });
    }
    let from = args.from.expect("one of the three ways is given");
    let request = |confirmed| {
        Request::Key(KeyRequest::Revoke {
            key: args.key.clone(),
            from,
            except: args.except.clone(),
            confirmed,
        })
    };
    let no = match &args.key {
        Some(key) => Fault::user("revoke-key-needs-yes").with("key", key).with("from", from),
        None => Fault::user("revoke-needs-yes").with("from", from),
    };
    ask::with_a_yes(context, args.yes, request, question(no)).await.map(drop)
}

/// Writes the sheet of the present key to a file, or shows it.
pub(super) async fn write_sheet(context: &Context, path: &Path, force: bool) -> Result<(), Fault> {
    let outcome = ask::done(context, Request::Key(KeyRequest::WriteSheet)).await?;
    let Outcome::KeySheet(made) = &outcome else { return Err(ask::unexpected()) };
    let sheet = present::said::line(&made.sheet);
    if path == Path::new("-") {
        return if context.ui.json { ask::show_outcome(context, &outcome) } else { context.ui.out(&sheet) };
    }
    write_file(context, path, &sheet, force)?;
    // Whoever reads it can end the key.
    close_to_others(path).map_err(|e| Fault::file("protect", path, e))?;
    let text = present::key::sheet_in_file(&path.display().to_string());
    context.ui.show(&Report { text, json: present::report(&outcome, context.ui.width()).json })
}

fn read_sheet(path: &Path) -> Result<String, Fault> {
    let mut bytes = Vec::new();
    let read = if path == Path::new("-") {
        std::io::stdin().lock().take(MOST_BYTES).read_to_end(&mut bytes)
    } else {
        std::fs::File::open(path).and_then(|file| file.take(MOST_BYTES).read_to_end(&mut bytes))
    };
    read.map_err(|e| Fault::file("read", path, e))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
