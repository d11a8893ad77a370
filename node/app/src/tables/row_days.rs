//! Days of a row: of its cells, of headings, of stages.

use super::ask::Stated;
use super::columns;
use super::row::Reader;
use super::sheet::Line;
use propagule_bench::Stage;
use propagule_bench::dates;
use propagule_bench::dates::{DateQuestion, When};
use propagule_files::fault::{Fault, Problem};

impl Reader<'_> {
    pub(super) fn check_past(&mut self, column: &str, day: When) {
        if self.grid.options.last_day.is_some_and(|last| day.first > last) {
            self.refuse(column, Fault::user("table-day-yet-to-come").with("day", day));
        }
    }

    /// Reads a day; what can be read two ways is asked once for the whole table.
    pub(super) fn day(&mut self, column: &str, typed: &str) -> Option<When> {
        let question = match dates::read(typed, self.grid.options.reading) {
            Ok(when) => return Some(when),
            Err(question) => question,
        };
        let (field, hint) = match question {
            DateQuestion::TwoReadings(..) => ("dates", "dates-of-the-table"),
            DateQuestion::NeedsYear(_) => ("year", "year-of-the-table"),
            DateQuestion::NeedsOrderAndYear(..) => ("dates", "dates-and-year-of-the-table"),
            _ => {
                let fault =
                    Fault::user("table-cell-not-a-day").with("cell", typed).with_data("day", &question);
                self.refuse(column, fault);
                return None;
            }
        };
        let fault = Fault::user("table-day-not-understood")
            .with("cell", typed)
            .with_data("day", &question)
            .hint_named(hint);
        let choices: &[&str] = if field == "dates" { &["day-first", "month-first"] } else { &[] };
        let problem = Problem::of_cell(self.line, &self.grid.heading(column), fault);
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
            let fault = Fault::user("table-day-before-start").with("day", day).with("started_on", started_on);
            self.refuse(column, fault);
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
                    let stated = Stated::YearOfHeading { typed: typed.to_owned(), year: day.first.year() };
                    self.asked.state(stated, "year", &[]);
                    return Some(day);
                }
            }
        }
        self.day(heading, typed)
    }
}
