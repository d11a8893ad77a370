//! Days of a row: of its cells, of headings, of stages.

use super::columns;
use super::row::Reader;
use super::sheet::Line;
use propagule_bench::Stage;
use propagule_bench::dates;
use propagule_bench::dates::{DateQuestion, When};
use propagule_files::table::Problem;

impl Reader<'_> {
    pub(super) fn check_past(&mut self, column: &str, day: When) {
        if self.grid.options.last_day.is_some_and(|last| day.first > last) {
            self.refuse(column, format!("{day} is yet to come by this computer's clock"), "look at the year");
        }
    }

    /// Reads a day; what can be read two ways is asked once for the whole table.
    pub(super) fn day(&mut self, column: &str, typed: &str) -> Option<When> {
        let question = match dates::read(typed, self.grid.options.reading) {
            Ok(when) => return Some(when),
            Err(question) => question,
        };
        let at = |why: String| Problem::of_cell(self.line, &self.grid.heading(column), why);
        let (field, hint): (&str, &str) = match question {
            DateQuestion::TwoReadings(..) => {
                ("dates", "add --dates day-first or --dates month-first: it holds for the whole table")
            }
            DateQuestion::NeedsYear(_) => ("year", "add --year: it holds for the whole table"),
            DateQuestion::NeedsOrderAndYear(..) => {
                ("dates", "add --dates day-first (or month-first) and --year")
            }
            _ => {
                let why = format!("\"{typed}\" is not a date: {question}");
                self.refuse(column, why, "write year-month-day, such as 2026-06-05");
                return None;
            }
        };
        let problem = at(format!("\"{typed}\" {question}")).hinted(hint);
        let choices: &[&str] = if field == "dates" { &["day-first", "month-first"] } else { &[] };
        self.ask(problem, field.to_owned(), choices);
        None
    }

    pub(super) fn stage_day(&mut self, line: &Line, stage: Stage, started_on: Option<When>) -> Option<When> {
        let column = columns::of_stage(stage, "on");
        let typed = self.grid.text(line, &column);
        let day = match typed {
            Some(typed) => self.day(&column, &typed),
            None => self
                .grid
                .heading_day(stage, started_on)
                .and_then(|(heading, typed)| self.heading_day(&heading, &typed, started_on)),
        }?;
        self.check_start(&column, day, started_on);
        Some(day)
    }

    pub(super) fn check_start(&mut self, column: &str, day: When, started_on: Option<When>) {
        if let Some(started_on) = started_on
            && day.last < started_on.first
        {
            let why = format!("{day} is before the pieces were put in ({started_on})");
            self.refuse(column, why, "look at the year of both dates");
        }
    }

    /// The day of a heading: without a year it is the first such day on or after the pieces were put in.
    pub(super) fn heading_day(
        &mut self,
        heading: &str,
        typed: &str,
        started_on: Option<When>,
    ) -> Option<When> {
        let reading = self.grid.options.reading;
        if reading.year.is_none()
            && let (Some(start), Err(DateQuestion::NeedsYear(_) | DateQuestion::NeedsOrderAndYear(..))) =
                (started_on, dates::read(typed, reading))
        {
            for year in [start.first.year(), start.first.year().saturating_add(1)] {
                let read = dates::read(typed, dates::Reading { year: Some(year), ..reading });
                if let Ok(day) = read
                    && day.last >= start.first
                {
                    let text = format!("{typed} has no year: {}, from the day put in", day.first.year());
                    self.asked.state(text, "year", &[]);
                    return Some(day);
                }
            }
        }
        self.day(heading, typed)
    }
}
