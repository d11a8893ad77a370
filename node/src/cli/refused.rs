//! A command line that cannot be understood, told as every other failure is.

use clap::CommandFactory;
use clap::error::{ContextKind, ContextValue, Error};

use super::Cli;
use propagule_files::fault::Fault;

/// Suggestions that are told; more would be a list to read instead of an answer.
const MOST_MEANT: usize = 3;

/// What was wrong with the command line, what was perhaps meant, and where its help is.
pub(super) fn refused(error: &Error, words: impl IntoIterator<Item = String>) -> Fault {
    let failure = Fault::said_of_use(first_paragraph(&error.render().to_string()));
    let meant = meant(error);
    let failure =
        if meant.is_empty() { failure } else { failure.hint(format!("did you mean {}?", meant.join(", "))) };
    failure.hint(format!("see what it takes: {} --help", command_named(words)))
}

/// The part of the message that names what was typed and why it does not do.
fn first_paragraph(text: &str) -> String {
    let text = text.strip_prefix("error: ").unwrap_or(text);
    let lines = text.lines().take_while(|line| !line.is_empty()).map(str::trim);
    lines.collect::<Vec<_>>().join(" ")
}

fn meant(error: &Error) -> Vec<String> {
    let kinds = [ContextKind::SuggestedSubcommand, ContextKind::SuggestedArg, ContextKind::SuggestedValue];
    let found = kinds.into_iter().filter_map(|kind| error.get(kind));
    let words = found.flat_map(|value| match value {
        ContextValue::String(word) => vec![word.clone()],
        ContextValue::Strings(words) => words.clone(),
        _ => Vec::new(),
    });
    words.take(MOST_MEANT).collect()
}

/// The command that the words lead to, as far as they name one.
fn command_named(words: impl IntoIterator<Item = String>) -> String {
    let root = Cli::command();
    let (mut command, mut name) = (&root, "propagule".to_owned());
    for word in words {
        if let Some(below) = command.find_subcommand(&word) {
            name = format!("{name} {word}");
            command = below;
        }
    }
    name
}
