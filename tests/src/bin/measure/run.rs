//! Runs the commands of a row and reads what they found.

use std::fmt;
use std::path::Path;
use std::process::{Command as Process, Output};

use propagule_tests::browser::DRIVER_VARIABLE;

use crate::rows::{Command, Row, Step};

/// How a row came out; of several steps, the worst.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Verdict {
    Ok,
    NotRun,
    Short,
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(match self {
            Self::Ok => "ok",
            Self::NotRun => "not run",
            Self::Short => "short",
        })
    }
}

/// A figure, or why there is none.
#[derive(Clone, Debug)]
pub(crate) struct Found {
    pub(crate) figure: String,
    pub(crate) verdict: Verdict,
}

impl Found {
    pub(crate) fn not_run(why: &str) -> Self {
        Self { figure: why.to_owned(), verdict: Verdict::NotRun }
    }
}

/// Runs all steps of a row.
pub(crate) fn row(row: &Row) -> Found {
    let found: Vec<Found> = row.steps.iter().map(step).collect();
    let verdict = found.iter().map(|one| one.verdict).max().unwrap_or(Verdict::NotRun);
    let figures: Vec<String> = found.into_iter().map(|one| one.figure).collect();
    Found { figure: figures.join("; "), verdict }
}

fn step(step: &Step) -> Found {
    let process = match process(step.command) {
        Ok(process) => process,
        Err(missing) => return Found::not_run(&format!("{missing} is missing")),
    };
    match run(process) {
        Ok(output) => read(&output, step.line),
        Err(error) => Found { figure: format!("does not start: {error}"), verdict: Verdict::Short },
    }
}

/// The command as a process, or what it lacks.
fn process(command: Command) -> Result<Process, String> {
    let mut process = match command {
        Command::Script(path, _) => Process::new(path),
        _ => propagule_tests::cargo(),
    };
    match command {
        Command::Program(name, arguments) => {
            process.args(["run", "--release", "--quiet", "-p", "propagule-tests", "--bin", name, "--"]);
            process.args(arguments);
        }
        Command::Cargo(arguments) => {
            process.args(arguments);
        }
        Command::Script(_, needs) => {
            if let Some(missing) = needs.iter().find(|name| !is_on_the_path(name)) {
                return Err((*missing).to_owned());
            }
        }
        Command::Browser(arguments) => {
            if std::env::var_os(DRIVER_VARIABLE).is_none() {
                return Err(format!("what {DRIVER_VARIABLE} names"));
            }
            process.args(arguments);
        }
    }
    Ok(process)
}

fn is_on_the_path(program: &str) -> bool {
    let folders = std::env::var_os("PATH").unwrap_or_default();
    std::env::split_paths(&folders).any(|folder| folder.join(program).is_file())
}

fn run(mut process: Process) -> std::io::Result<Output> {
    process
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join(".."))
        .env("PROPAGULE_REQUIRE_ALL", "1")
        .output()
}

/// The last line that begins as the figure does, without that beginning; else the last line of all.
fn read(output: &Output, begins: &str) -> Found {
    let text =
        String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr);
    let lines = || text.lines().rev();
    let figure = lines().find_map(|line| line.strip_prefix(begins));
    let figure = figure.or_else(|| lines().find(|line| !line.trim().is_empty())).unwrap_or("no output");
    let verdict = if output.status.success() { Verdict::Ok } else { Verdict::Short };
    Found { figure: figure.replace('|', "/"), verdict }
}
