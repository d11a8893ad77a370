//! What README and guide show is what happens: sessions are run and compared, commands are understood, links lead somewhere.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use propagule_node::cli;

use crate::home::{PROGRAM, TestHome, check_names, ran};
use crate::made::compare;
use crate::manual::{OLD_NAMES, words_of_a_shell};

/// Columns to which shown sessions are written.
const COLUMNS: &str = "90";
/// Where the home of a reader lies, in place of the one of the test.
const HOME: &str = "/home/you/.local/share/propagule";
/// Stands for every key and id, which are drawn at random.
const RANDOM: &str = "3f9a1c22\u{2026}";
/// Hex digits in a row from which they are a key or an id.
const RANDOM_DIGITS: usize = 16;

fn workspace() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// README and the documents of the node that are written by hand.
fn documents() -> Vec<(PathBuf, String)> {
    let mut paths = vec![workspace().join("README.md")];
    for entry in fs::read_dir(workspace().join("node/docs")).expect("lists") {
        let path = entry.expect("an entry").path();
        let is_made = ["commands.md", "errors.md", "json.md"].iter().any(|made| path.ends_with(made));
        if path.extension().is_some_and(|ending| ending == "md") && !is_made {
            paths.push(path);
        }
    }
    paths.into_iter().map(|path| (path.clone(), fs::read_to_string(path).expect("reads"))).collect()
}

/// Without what differs from run to run.
fn same_every_time(text: &str, home: &TestHome) -> String {
    let text = text.replace(&home.path().display().to_string(), HOME);
    let text = text.replace(&home.path().parent().expect("a folder").display().to_string(), "/home/you");
    let (mut out, mut run) = (String::new(), String::new());
    for c in text.chars().chain(['\n']) {
        if c.is_ascii_digit() || ('a'..='f').contains(&c) {
            run.push(c);
            continue;
        }
        out += if run.len() >= RANDOM_DIGITS { RANDOM } else { &run };
        run.clear();
        out.push(c);
    }
    free_space(out.trim_end())
}

/// How much room is left on a disk is nobody's business.
fn free_space(text: &str) -> String {
    let lines = text.lines().map(|line| match line.split_once(" MB; ") {
        Some((used, rest)) if rest.ends_with(" MB are free") => format!("{used} MB; 35000 MB are free"),
        _ => line.trim_end().to_owned(),
    });
    lines.collect::<Vec<_>>().join("\n")
}

/// What a command prints, on both streams, in a shell.
fn printed(home: &TestHome, command: &str) -> String {
    let mut shell = home.bare_command("sh");
    let folder = Path::new(PROGRAM).parent().expect("a folder");
    let path = format!("{}:{}", folder.display(), std::env::var("PATH").expect("a path"));
    shell
        .current_dir(workspace())
        .env("PATH", path)
        .env("COLUMNS", COLUMNS)
        .env("PROPAGULE_HOME", home.path());
    let output = shell.args(["-c", &format!("{{ {command}\n}} 2>&1")]).output().expect("a shell");
    same_every_time(&ran(&output).out, home)
}

/// A document with its sessions run anew.
fn played(text: &str) -> String {
    let (home, mut out, mut is_session) = (TestHome::bare(), Vec::new(), false);
    for line in text.lines() {
        match line.strip_prefix("$ ") {
            _ if !is_session || line == "```" => {
                is_session = line == "```console";
                out.push(line.to_owned());
            }
            Some(command) => {
                out.push(line.to_owned());
                out.extend(printed(&home, command).lines().map(str::to_owned));
            }
            None => {}
        }
    }
    out.join("\n") + "\n"
}

#[test]
fn what_is_shown_is_what_the_program_prints() {
    let mut commands = 0;
    for (path, text) in documents() {
        commands += text.lines().filter(|line| line.starts_with("$ propagule")).count();
        let now = played(&text);
        compare(&path, &now, "readme");
    }
    assert!(commands >= 8, "sessions are found: {commands}");
}

#[test]
fn every_command_in_a_document_is_understood() {
    let mut seen = 0;
    for (path, text) in documents() {
        for block in text.split("```").skip(1).step_by(2) {
            let joined = block.replace("\\\n", " ");
            // Two columns, or a list: a command begins behind two spaces at least, or the line.
            let parts = joined.lines().flat_map(|line| line.split("   ")).map(str::trim);
            for part in parts.map(|part| part.strip_prefix("$ ").unwrap_or(part)) {
                if !part.starts_with("propagule ") {
                    continue;
                }
                seen += 1;
                let words = words_of_a_shell(part);
                if let Err(e) = cli::commands().try_get_matches_from(&words) {
                    assert!(!e.use_stderr(), "{}: {part}\n{e}", path.display());
                }
            }
        }
    }
    assert!(seen > 40, "commands are found: {seen}");
}

#[test]
fn no_document_uses_an_old_name() {
    let made = ["commands.md", "errors.md"].map(|name| workspace().join("node/docs").join(name));
    let read = |path: PathBuf| (path.clone(), fs::read_to_string(path).expect("reads"));
    let is_old = |name: &str| cli::renamed::OPTIONS.iter().any(|renamed| renamed.old == name);
    let valid = options(&cli::commands());
    for (path, text) in documents().into_iter().chain(made.map(read)) {
        let text = text.split(OLD_NAMES).next().unwrap_or_default();
        check_names(text);
        for name in text
            .split(|c: char| !(c.is_ascii_alphanumeric() || c == '-'))
            .filter(|word| word.starts_with("--"))
        {
            assert!(!is_old(name) || valid.contains(name), "{}: {name}", path.display());
        }
        for (old, new) in cli::renamed::COMMANDS.iter().filter(|(old, _)| old.contains(' ')) {
            assert!(!text.contains(&format!("`{old}")), "{}: `{old}` is {new} now", path.display());
        }
    }
}

/// The options of a command and of all below it.
fn options(command: &clap::Command) -> BTreeSet<String> {
    let own = command.get_arguments().filter_map(|arg| Some(format!("--{}", arg.get_long()?)));
    own.chain(command.get_subcommands().flat_map(options)).collect()
}

#[test]
fn links_of_documents_lead_somewhere() {
    for (path, text) in documents() {
        let folder = path.parent().expect("a folder");
        for link in text.split("](").skip(1).filter_map(|rest| rest.split(')').next()) {
            let file = link.split('#').next().unwrap_or_default();
            assert!(!link.contains("://"), "{}: {link} leads out of the folder", path.display());
            assert!(file.is_empty() || folder.join(file).exists(), "{}: {link}", path.display());
        }
    }
}

#[test]
fn two_screens_lead_to_a_first_record() {
    let readme = fs::read_to_string(workspace().join("README.md")).expect("reads");
    let lines =
        readme.lines().position(|line| line.starts_with("$ propagule trial show")).expect("a first record");
    assert!(lines <= 100, "{lines} lines, two screens of 50 are enough");
}

#[test]
fn the_unit_runs_a_command_of_this_program() {
    let unit = fs::read_to_string(workspace().join("node/docs/propagule.service")).expect("reads");
    let run = unit.lines().find_map(|line| line.strip_prefix("ExecStart=")).expect("what it runs");
    let (program, words) = run.split_once(' ').expect("a command");
    assert!(program.ends_with("/.cargo/bin/propagule"), "where `cargo install` puts it: {program}");
    cli::commands()
        .try_get_matches_from(["propagule"].into_iter().chain(words.split(' ')))
        .expect("understood");
}
