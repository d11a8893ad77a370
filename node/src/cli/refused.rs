//! A command line that cannot be understood, told as every other failure is.

use clap::error::{ContextKind, ContextValue, Error, ErrorKind};

use super::commands;
use propagule_files::fault::Fault;

/// Suggestions that are told; more would be a list to read instead of an answer.
const MOST_MEANT: usize = 3;

/// What was wrong with the command line, what was perhaps meant, and where its help is.
pub(super) fn refused(error: &Error, words: impl IntoIterator<Item = String>) -> Fault {
    let fault = match error.kind() {
        ErrorKind::InvalidSubcommand => {
            Fault::usage("subcommand-unknown").with("typed", told(error, ContextKind::InvalidSubcommand))
        }
        ErrorKind::UnknownArgument => {
            Fault::usage("option-unknown").with("typed", told(error, ContextKind::InvalidArg))
        }
        ErrorKind::MissingRequiredArgument => {
            Fault::usage("arguments-missing").with_data("missing", &all_told(error, ContextKind::InvalidArg))
        }
        ErrorKind::InvalidValue if !told(error, ContextKind::InvalidValue).is_empty() => {
            Fault::usage("value-not-listed")
                .with("typed", told(error, ContextKind::InvalidValue))
                .with("option", told(error, ContextKind::InvalidArg))
                .with_data("values", &all_told(error, ContextKind::ValidValue))
        }
        ErrorKind::ValueValidation => {
            let fault = Fault::usage("value-malformed")
                .with("typed", told(error, ContextKind::InvalidValue))
                .with("option", told(error, ContextKind::InvalidArg));
            match std::error::Error::source(error) {
                Some(why) if why.is::<std::num::ParseIntError>() => Fault::usage("value-not-whole")
                    .with("typed", told(error, ContextKind::InvalidValue))
                    .with("option", told(error, ContextKind::InvalidArg))
                    .hint_named("use-digits"),
                Some(why) => fault.because(why),
                None => fault,
            }
        }
        _ => Fault::usage("command-line-malformed").because(first_paragraph(&error.render().to_string())),
    };
    fault.near(&meant(error)).with("command", command_named(words)).hint_named("see-what-it-takes")
}

/// A word that the reader of the command line names beside its error.
fn told(error: &Error, kind: ContextKind) -> String {
    all_told(error, kind).join(", ")
}

fn all_told(error: &Error, kind: ContextKind) -> Vec<String> {
    error.get(kind).map(words_of).unwrap_or_default()
}

fn words_of(value: &ContextValue) -> Vec<String> {
    match value {
        ContextValue::String(word) => vec![word.clone()],
        ContextValue::Strings(words) => words.clone(),
        _ => Vec::new(),
    }
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
    let words: Vec<String> = found.flat_map(words_of).collect();
    let typed =
        [ContextKind::InvalidSubcommand, ContextKind::InvalidArg].map(|kind| told(error, kind)).concat();
    // What only sounds alike is left out where something is spelt nearly so.
    let near = propagule_files::closest(&typed, words.iter().map(String::as_str), MOST_MEANT);
    if near.is_empty() { words.into_iter().take(MOST_MEANT).collect() } else { near }
}

/// The command that the words lead to, as far as they name one.
fn command_named(words: impl IntoIterator<Item = String>) -> String {
    let root = commands();
    let (mut command, mut name) = (&root, "propagule".to_owned());
    for word in words {
        if let Some(below) = command.find_subcommand(&word) {
            name = format!("{name} {word}");
            command = below;
        }
    }
    name
}
