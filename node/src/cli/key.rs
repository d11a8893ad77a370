//! `propagule key`

use std::io::Read;
use std::path::{Path, PathBuf};

use clap::{ArgGroup, Args, Subcommand};
use propagule_protocol::Month;

use super::output::write_file;
use super::{Context, ask};
use crate::app::{KeyRequest, Reply, Report, Request};
use propagule_files::fault::Fault;
use propagule_files::paste::pasteable;
use propagule_files::system::close_to_others;

/// The largest file that is read as a sheet.
const MOST_BYTES: u64 = 64 << 10;

/// The key that signs your records: see it, change it, end it
///
/// Examples:
///   propagule key show
///   propagule key rotate
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct KeyArgs {
    #[command(subcommand)]
    command: KeyCommand,
}

#[derive(Debug, Subcommand)]
enum KeyCommand {
    /// Show the keys of this home and what they signed
    ///
    /// Examples:
    ///   propagule key show
    ///   propagule key show --json
    #[command(verbatim_doc_comment)]
    Show,
    /// Go on with a new key that everybody knows to be yours; the old one is kept
    ///
    /// Examples:
    ///   propagule key rotate
    ///   propagule key rotate --fresh
    #[command(verbatim_doc_comment)]
    Rotate(RotateArgs),
    /// End a key: from a month on by the key itself, or wholly by a printed sheet
    ///
    /// Examples:
    ///   propagule key revoke --write-sheet revocation.txt
    ///   propagule key revoke --from 2026-11
    ///   propagule key revoke --sheet revocation.txt
    #[command(verbatim_doc_comment)]
    Revoke(RevokeArgs),
}

#[derive(Debug, Args)]
struct RotateArgs {
    /// A key that nothing links to the old one: to others, another grower
    #[arg(long)]
    fresh: bool,
    /// You know what it does
    #[arg(long)]
    yes: bool,
    /// Send the record at once: peers that watch closely can then guess that it came from here
    #[arg(long, conflicts_with = "fresh")]
    now: bool,
}

#[derive(Debug, Args)]
#[command(group(ArgGroup::new("how").required(true).args(["from", "sheet", "write_sheet"])))]
struct RevokeArgs {
    /// Nothing that the key signed in this month or later counts
    #[arg(long, value_name = "YYYY-MM")]
    from: Option<Month>,
    /// Publish the revocation on this sheet, of whatever key; `-` reads what is typed or piped in
    #[arg(long, value_name = "FILE")]
    sheet: Option<PathBuf>,
    /// Write a sheet to print and keep: it ends the present key wholly, even when the key is lost; `-` shows it
    #[arg(long, value_name = "FILE")]
    write_sheet: Option<PathBuf>,
    /// How the key begins, for a former key of this home [default: the key that signs now]
    #[arg(long, requires = "from", value_name = "DIGITS")]
    key: Option<String>,
    /// Write over a file that is there
    #[arg(long, requires = "write_sheet")]
    force: bool,
    /// You know what it does
    #[arg(long)]
    yes: bool,
}

pub(super) async fn cmd_key(context: &Context, args: KeyArgs) -> Result<(), Fault> {
    match args.command {
        KeyCommand::Show => ask::show(context, Request::Key(KeyRequest::Show)).await,
        KeyCommand::Rotate(args) => {
            let again = format!("key rotate{} --yes", if args.fresh { " --fresh" } else { "" });
            let question = Question { words: "Go on with a new key?", nothing: "nothing was changed", again };
            let request = |confirmed| KeyRequest::Rotate { fresh: args.fresh, confirmed, at_once: args.now };
            with_a_yes(context, args.yes, request, &question).await
        }
        KeyCommand::Revoke(args) => revoke(context, args).await,
    }
}

async fn revoke(context: &Context, args: RevokeArgs) -> Result<(), Fault> {
    let question =
        |again| Question { words: "Revoke this key, for ever?", nothing: "nothing was revoked", again };
    if let Some(path) = &args.write_sheet {
        return write_sheet(context, path, args.force).await;
    }
    if let Some(path) = &args.sheet {
        let sheet = read_sheet(path)?;
        let again = format!("key revoke --sheet {} --yes", pasteable(&path.display().to_string()));
        let request = |confirmed| KeyRequest::ReadSheet { sheet: sheet.clone(), confirmed };
        let read = with_a_yes(context, args.yes, request, &question(again)).await;
        return read.map_err(|failure| if path == Path::new("-") { failure } else { failure.of_file(path) });
    }
    let from = args.from.expect("one of the three ways is given");
    let key = args.key.as_deref().map(|key| format!(" --key {}", pasteable(key))).unwrap_or_default();
    let again = format!("key revoke{key} --from {from} --yes");
    let request = |confirmed| KeyRequest::Revoke { key: args.key.clone(), from, confirmed };
    with_a_yes(context, args.yes, request, &question(again)).await
}

/// What is asked before something is done, and how it is done without asking.
struct Question {
    words: &'static str,
    nothing: &'static str,
    again: String,
}

async fn with_a_yes(
    context: &Context,
    yes: bool,
    request: impl Fn(bool) -> KeyRequest,
    question: &Question,
) -> Result<(), Fault> {
    let ui = context.ui;
    match ask::ask(context, Request::Key(request(yes))).await? {
        Reply::Report(report) => ui.show(&report),
        Reply::Preview(preview) => {
            ui.show(&preview)?;
            if ui.can_ask() && ui.ask(question.words)? {
                return ask::show(context, Request::Key(request(true))).await;
            }
            Err(Fault::user("close-needs-yes")
                .with("nothing", &question.nothing)
                .with("again", &question.again))
        }
        _ => Err(ask::unexpected()),
    }
}

/// Writes the sheet of the present key to a file, or shows it.
pub(super) async fn write_sheet(context: &Context, path: &Path, force: bool) -> Result<(), Fault> {
    let Reply::Report(report) = ask::ask(context, Request::Key(KeyRequest::WriteSheet)).await? else {
        return Err(ask::unexpected());
    };
    if path == Path::new("-") {
        return if context.ui.json { context.ui.show(&report) } else { context.ui.out(&report.text) };
    }
    write_file(context, path, &report.text, force)?;
    // Whoever reads it can end the key.
    close_to_others(path).map_err(|e| Fault::file("protect", path, e))?;
    let file = path.display();
    let text = format!("Print {file}, keep the page with your papers, then delete the file.\n");
    context.ui.show(&Report { text, json: report.json })
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
