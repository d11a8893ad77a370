//! Counts of a row: which stage or check, on which day, how many.

use super::ask::Stated;
use super::cell::{self, MEANINGS, Value, Wrong, fold};
use super::columns::{self, CHECK};
use super::heading::Taken;
use super::row::{Reader, RowCount};
use super::sheet::Line;
use propagule_bench::Stage;
use propagule_bench::dates::When;
use propagule_files::fault::{Fault, Problem};

impl Reader<'_> {
    pub(super) fn counts(
        &mut self,
        line: &Line,
        (started, started_on): (Option<u16>, Option<When>),
        days: [Option<When>; 4],
    ) -> Vec<RowCount> {
        let mut counts = Vec::new();
        let grid = self.grid;
        for column in grid.count_columns() {
            let Some(text) = grid.text_at(line, column) else { continue };
            let Some(value) = self.value(column, &text, started) else { continue };
            if value == Value::NotCounted {
                continue;
            }
            let count = match columns::count_of(&column.name) {
                Some((stage, what)) => self.at_stage(column, (stage, what), days, started_on),
                None => self.at_check(column, started_on),
            };
            if let Some((stage, what, on)) = count {
                let day = stage.map(|stage| columns::of_stage(stage, "on")).filter(|day| grid.has(day));
                self.check_past(day.as_deref().unwrap_or(&column.name), on);
                counts.push(RowCount { stage, what, on, value, column: column.heading.clone() });
            }
        }
        counts.extend(self.constant_counts(days));
        counts
    }

    fn at_stage(
        &mut self,
        column: &Taken,
        (stage, what): (Stage, &str),
        days: [Option<When>; 4],
        started_on: Option<When>,
    ) -> Option<(Option<Stage>, String, When)> {
        let own = column.day.clone().filter(|_| !self.grid.has(&columns::of_stage(stage, "on")));
        let day = match own {
            Some(typed) => {
                let day = self.heading_day(&column.name, &typed, started_on);
                if let Some(day) = day {
                    self.check_start(&column.name, day, started_on);
                }
                day
            }
            None => days[stage as usize],
        };
        if day.is_none() && !self.is_waiting && self.problems.is_empty() {
            self.no_day(stage);
        }
        day.map(|day| (Some(stage), what.to_owned(), day))
    }

    /// There are counts of a stage and no day.
    fn no_day(&mut self, stage: Stage) {
        let column = columns::of_stage(stage, "on");
        if self.grid.has(&column) {
            self.refuse(&column, Fault::user("table-count-without-day"));
            return;
        }
        let fault =
            Fault::user("table-stage-without-day").with("stage", stage.word()).with("column", &column);
        self.ask(Problem::of_column(&column, fault), format!("set/{column}"), &[]);
    }

    fn at_check(
        &mut self,
        column: &Taken,
        started_on: Option<When>,
    ) -> Option<(Option<Stage>, String, When)> {
        let Some(typed) = column.day.clone() else {
            self.refuse(&column.name, Fault::user("table-check-without-day"));
            return None;
        };
        let day = self.heading_day(&column.name, &typed, started_on)?;
        self.check_start(&column.name, day, started_on);
        let what = column.name.strip_prefix("check_").unwrap_or_default();
        Some((None, what.to_owned(), day))
    }

    /// Counts that hold for all rows.
    fn constant_counts(&mut self, days: [Option<When>; 4]) -> Vec<RowCount> {
        let mut counts = Vec::new();
        for (name, text) in &self.grid.options.set {
            let Some((stage, what)) = columns::count_of(name) else { continue };
            if self.grid.has_column(name) {
                continue;
            }
            match (cell::number(text), days[stage as usize]) {
                (Ok(count), Some(on)) => counts.push(RowCount {
                    stage: Some(stage),
                    what: what.to_owned(),
                    on,
                    value: Value::Count(count),
                    column: name.clone(),
                }),
                (Ok(_), None) => self.no_day(stage),
                (Err(_), _) => {
                    self.refuse(name, Fault::user("table-count-not-whole").with("cell", text));
                }
            }
        }
        counts
    }

    fn value(&mut self, column: &Taken, text: &str, started: Option<u16>) -> Option<Value> {
        let is_fraction = self.grid.is_fraction(column);
        let options = self.grid.options;
        let reading = cell::Reading {
            started,
            is_per_cent: column.is_per_cent,
            is_fraction,
            one_piece: options.one_piece && started == Some(1),
            words: &options.words,
        };
        match cell::read(text, reading) {
            Ok(value) => {
                if let Some(means) = cell::meant(text, value) {
                    self.asked.state(Stated::Cell { text: text.to_owned(), means }, "", &[]);
                }
                Some(value)
            }
            Err(Wrong::Refused(fault)) => {
                self.refuse(&column.name, fault);
                None
            }
            Err(Wrong::Word) => {
                self.ask_word(column, text);
                None
            }
        }
    }

    /// A word is asked about once, whatever the number of cells.
    fn ask_word(&mut self, column: &Taken, text: &str) {
        let fault = Fault::user("table-word-without-meaning")
            .with("cell", text)
            .with("answer", format_args!("{text}=lost"))
            .with_data("meanings", &MEANINGS);
        let problem = Problem::of_cell(self.line, &column.heading, fault);
        self.ask(problem, format!("word/{}", fold(text)), &MEANINGS);
    }
}

/// Whether a column holds a check whose reading is for `--checks` to say.
pub(super) fn is_open_check(column: &Taken) -> bool {
    column.name == CHECK
}
