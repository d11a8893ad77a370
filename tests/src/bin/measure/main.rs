//! Measures every bar of the design, each by the program that shows it.
//!
//! `cargo run --release -p propagule-tests --bin measure`: what fits into ten minutes; `--full` for the rest as well;
//! `--only ROW` for one row; `--list` says which there are. A line a row: its name, the bar, the figure found, and last
//! `ok`, `short` or `not run`. Ends with 1 when a row is short.
#![expect(clippy::print_stdout, reason = "the table is printed")]

mod rows;
mod run;
mod setting;

use std::io::Write;
use std::process::ExitCode;

use anyhow::ensure;

use rows::{ROWS, Row};
use run::{Found, Verdict};

fn main() -> anyhow::Result<ExitCode> {
    let asked = Asked::read(std::env::args().skip(1))?;
    if asked.lists {
        for row in ROWS {
            println!("{}{}", row.name, if row.fits { "" } else { "  (--full)" });
        }
        return Ok(ExitCode::SUCCESS);
    }
    println!("{}\n", setting::line()?);
    println!("| row | bar | figure | |\n| --- | --- | --- | --- |");
    let mut short = 0;
    for row in ROWS.iter().filter(|row| asked.names(row)) {
        let found = if asked.runs(row) { run::row(row) } else { Found::not_run("needs --full") };
        println!("| {} | {} | {} | {} |", row.name, row.bar, found.figure, found.verdict);
        std::io::stdout().flush()?;
        short += usize::from(found.verdict == Verdict::Short);
    }
    println!("\nmeasure: {short} rows short of their bar");
    Ok(if short == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

/// What the command line asks for.
#[derive(Debug, Default)]
struct Asked {
    full: bool,
    lists: bool,
    only: Vec<String>,
}

impl Asked {
    fn read(mut words: impl Iterator<Item = String>) -> anyhow::Result<Self> {
        let mut asked = Self::default();
        while let Some(word) = words.next() {
            match word.as_str() {
                "--full" => asked.full = true,
                "--list" => asked.lists = true,
                "--only" => asked.only.push(words.next().unwrap_or_default()),
                _ => anyhow::bail!("\"{word}\" is none of --full, --list, --only ROW"),
            }
        }
        let unknown = asked.only.iter().find(|name| ROWS.iter().all(|row| row.name != name.as_str()));
        ensure!(unknown.is_none(), "there is no row {unknown:?}; --list names them");
        Ok(asked)
    }

    fn names(&self, row: &Row) -> bool {
        self.only.is_empty() || self.only.iter().any(|name| name == row.name)
    }

    fn runs(&self, row: &Row) -> bool {
        self.full || row.fits || !self.only.is_empty()
    }
}
