//! Manual pages, completion scripts and the command reference: all from the one definition of the commands.

use std::collections::BTreeSet;
use std::fmt::Write;
use std::fs;
use std::process::Command;

use propagule_node::cli;
use propagule_node::cli::renamed::{COMMANDS, KEPT, OPTIONS, RenamedOption, RenamedValue, SHAPES, VALUES};

use crate::home::{TestHome, ran, skip};
use crate::made::{again, compare_document};

/// A command with the words that lead to it.
pub(crate) struct Named {
    pub(crate) words: Vec<String>,
    command: clap::Command,
}

/// All commands, each behind the one that it belongs to.
pub(crate) fn commands() -> Vec<Named> {
    let mut root = cli::commands().term_width(100);
    root.build();
    let mut found = Vec::new();
    gather(&root, &["propagule".to_owned()], &mut found);
    found
}

fn gather(command: &clap::Command, words: &[String], found: &mut Vec<Named>) {
    found.push(Named { words: words.to_vec(), command: command.clone() });
    for below in command.get_subcommands().filter(|below| below.get_name() != "help" && !below.is_hide_set())
    {
        gather(below, &[words, &[below.get_name().to_owned()]].concat(), found);
    }
}

/// What stands above the options.
fn about(command: &clap::Command) -> String {
    command.get_long_about().or(command.get_about()).map(ToString::to_string).unwrap_or_default()
}

/// The examples of a command, as a shell reads them.
fn examples(command: &clap::Command) -> Vec<Vec<String>> {
    let (about, after) = (about(command), command.get_after_long_help().map(ToString::to_string));
    let text = (about + "\n" + &after.unwrap_or_default()).replace("\\\n", " ");
    text.lines().filter(|line| line.starts_with("  propagule ")).map(words_of_a_shell).collect()
}

/// Splits as a shell does: quotes hold words together, and nothing behind `#`, `>` or `|` is an argument.
pub(crate) fn words_of_a_shell(line: &str) -> Vec<String> {
    let (mut words, mut word, mut quote) = (Vec::new(), None::<String>, None);
    for c in line.trim().chars() {
        match (c, quote) {
            (_, Some(open)) if c == open => quote = None,
            ('\'' | '"', None) => {
                quote = Some(c);
                word.get_or_insert_default();
            }
            ('#' | '>' | '|', None) if word.is_none() => break,
            ('>', None) if word.as_deref() == Some("2") => return words,
            (' ', None) => words.extend(word.take()),
            _ => word.get_or_insert_default().push(c),
        }
    }
    assert_eq!(quote, None, "a quote is left open: {line}");
    words.extend(word);
    words
}

#[test]
fn a_line_is_split_as_a_shell_does() {
    let words = words_of_a_shell(r#"  propagule note M1 "it is  green" --with 'a; b'= > x # why"#);
    assert_eq!(words, ["propagule", "note", "M1", "it is  green", "--with", "a; b="]);
}

#[test]
fn each_command_says_in_one_sentence_what_it_does() {
    for Named { words, command } in commands() {
        let first = about(&command).lines().next().unwrap_or_default().to_owned();
        let is_sentence = first.chars().next().is_some_and(char::is_uppercase)
            && !first.ends_with('.')
            && !first.contains(". ");
        assert!(is_sentence, "{}: \"{first}\"", words.join(" "));
    }
}

#[test]
fn each_command_shows_two_examples_that_this_program_understands() {
    let (mut short, mut wrong) = (Vec::new(), Vec::new());
    for Named { words, command } in commands().into_iter().skip(1) {
        let examples = examples(&command);
        let own: Vec<_> = examples.iter().filter(|one| one.iter().any(|word| *word == words[1])).collect();
        if own.len() < 2 {
            short.push(words.join(" "));
        }
        for example in examples {
            if let Err(e) = cli::commands().try_get_matches_from(&example) {
                wrong.push(format!("{}: {}\n{e}", words.join(" "), example.join(" ")));
            }
        }
    }
    assert!(wrong.is_empty(), "examples that are refused: {}", wrong.join("\n"));
    assert!(short.is_empty(), "fewer than two examples: {short:#?}");
}

/// The reference of all commands, as it stands in the documentation.
fn reference() -> String {
    let mut text =
        format!("# Commands\n\nMade from the program; do not edit. After a change: {}\n", again("manual"));
    for Named { words, mut command } in commands() {
        let help = command.render_long_help().to_string();
        let lines: Vec<&str> = help.lines().map(str::trim_end).collect();
        let (name, help) = (words.join(" "), lines.join("\n"));
        let _ = write!(text, "\n## {name}\n\n```text\n{}\n```\n", help.trim_end());
    }
    text + &names_of_before()
}

/// The heading below which old names stand.
pub(crate) const OLD_NAMES: &str = "\n## Names of before\n";

/// What was called otherwise, from the table by which old names are read.
fn names_of_before() -> String {
    let mut text = format!(
        "{OLD_NAMES}\nThey work in version 0.2, which says what they are called now, and are gone in 0.3.\n\n| before | now |\n\
         | --- | --- |\n"
    );
    let pairs = COMMANDS.iter().chain(SHAPES).chain(KEPT);
    for (old, new) in pairs {
        let _ = writeln!(text, "| `{old}` | `{new}` |");
    }
    for RenamedOption { of, old, new } in OPTIONS {
        let of = if of.is_empty() { String::new() } else { format!(" of `{}`", of.join("`, `")) };
        let new = if new.is_empty() { "not needed".to_owned() } else { format!("`{new}`") };
        let _ = writeln!(text, "| `{old}`{of} | {new} |");
    }
    for RenamedValue { option, old, new } in VALUES {
        let _ = writeln!(text, "| `{option} {old}` | `{option} {new}` |");
    }
    text
}

#[test]
fn the_command_reference_is_the_program_s_own() {
    compare_document("commands.md", &reference(), "manual");
}

#[test]
fn each_command_has_its_manual_page() {
    let home = TestHome::bare();
    let folder = home.path().join("pages of man");
    let said = home.ok(&["man", "--into", folder.to_str().expect("text")]);
    let written: BTreeSet<String> = fs::read_dir(&folder)
        .expect("lists")
        .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
        .collect();
    let wanted: BTreeSet<String> =
        commands().iter().map(|one| format!("{}.1", one.words.join("-"))).collect();
    assert_eq!(written, wanted);
    assert!(said.contains(&format!("Wrote {} pages", wanted.len())) && said.contains("man -l '"), "{said}");
    for name in written {
        let page = fs::read_to_string(folder.join(&name)).expect("reads");
        assert!(
            page.contains(".TH ") && page.contains(".SH NAME") && page.contains(".SH SYNOPSIS"),
            "{name}"
        );
        if name.matches('-').count() >= 1 {
            assert!(page.contains("propagule "), "{name} shows its examples");
        }
    }
    let file = home.write("a file", "");
    assert!(home.fails(2, &["man", "--into", &file]).contains("cannot create"));
}

#[test]
fn completion_scripts_know_the_commands_and_a_shell_reads_them() {
    let home = TestHome::bare();
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let script = home.ok(&["completions", shell]);
        for word in ["doctor", "publish", "--several-pots-only", "--network"] {
            let bare = word.trim_start_matches('-');
            assert!(script.contains(bare), "{shell} does not know {word}");
        }
    }
    let script = home.write("completions.bash", home.ok(&["completions", "bash"]));
    match Command::new("bash").args(["-n", &script]).output() {
        Ok(output) => assert_eq!(ran(&output).code, 0, "{output:?}"),
        Err(_) => {
            return skip("completion_scripts_know_the_commands_and_a_shell_reads_them", "there is no bash");
        }
    }
    let typed = "source \"$0\"; COMP_WORDS=(propagule doc); COMP_CWORD=1; _propagule propagule doc propagule; \
                 echo \"${COMPREPLY[@]}\"";
    let completed = Command::new("bash").args(["-c", typed, &script]).output().expect("bash");
    assert_eq!(ran(&completed).out.trim(), "doctor", "{completed:?}");
}
