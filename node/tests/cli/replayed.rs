//! A tidy table played back: the trial that it is about is set up as its first day has it, every later day is entered by the
//! commands that a grower gives, and what is exported has to be that table again.

use std::collections::BTreeMap;

use propagule_app::home::Home;
use propagule_bench::dates::When;
use propagule_bench::{Arm, Bench, Event, Replicate, Trial};
use propagule_files::clock::Clock;
use propagule_protocol::Facet;

use super::home::TestHome;

/// A day after all of them.
const AFTER: &str = "2031-06-01T12:00:00Z";

/// A row by the names of its columns.
type Row = BTreeMap<String, String>;

/// The rows of a table.
pub(crate) fn rows(table: &str) -> Vec<Row> {
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    reader.deserialize().map(|row| row.expect("a row as wide as the heading")).collect()
}

/// A home in which all that the table tells has happened.
///
/// # Errors
/// What of the table this does not play.
pub(crate) fn home_of(table: &str) -> Result<TestHome, String> {
    let rows = rows(table);
    check(&rows)?;
    let home = TestHome::bare();
    home.at(AFTER);
    home.ok(&["init", "--network", "test"]);
    let first = rows[0]["date"].as_str();
    let (stuck, later): (Vec<&Row>, Vec<&Row>) = rows.iter().partition(|row| row["date"] == first);
    set_up(&home, &trial(&stuck), first);
    let mut before: BTreeMap<&str, &Row> = stuck.iter().map(|row| (row["pot"].as_str(), *row)).collect();
    let mut days: BTreeMap<&str, Vec<&Row>> = BTreeMap::new();
    for row in later {
        days.entry(&row["date"]).or_default().push(row);
    }
    for (day, rows) in days {
        enter(&home, day, &rows, &before);
        before.extend(rows.iter().map(|row| (row["pot"].as_str(), *row)));
    }
    Ok(home)
}

/// One trial that was put in on one day, and counted, looked at or sold from.
fn check(rows: &[Row]) -> Result<(), String> {
    let all_same = |column: &str| rows.iter().all(|row| row[column] == rows[0][column]);
    if rows.is_empty() || !all_same("series") {
        return Err("not one trial".to_owned());
    }
    let is_first = |row: &Row| row["date"] == rows[0]["date"];
    if !rows.iter().all(|row| is_first(row) == (row["event"] == "stuck")) {
        return Err("not put in on one day".to_owned());
    }
    for column in ["parent", "grower", "spot", "block", "causes", "suckers_removed", "note"] {
        if rows.iter().any(|row| !row[column].is_empty()) {
            return Err(format!("something in the column {column}"));
        }
    }
    for row in rows {
        let is_played = ["stuck", "counted", "looked", "left", "carried"].contains(&row["event"].as_str());
        let is_exact = row["date_first"] == row["date_last"] && !row["entries"].contains(';');
        if !is_played || !is_exact || row["closed"] == "true" || row["private"] == "true" {
            return Err(format!("{} on {}", row["event"], row["date"]));
        }
    }
    Ok(())
}

fn known(cell: &str) -> Option<String> {
    (!cell.is_empty()).then(|| cell.to_owned())
}

fn number(row: &Row, column: &str) -> u16 {
    row[column].parse().unwrap_or(0)
}

fn trial(stuck: &[&Row]) -> Trial {
    let mut arms: Vec<Arm> = Vec::new();
    for row in stuck {
        let arm_number = number(row, "arm") as u8;
        let at = arms.iter().position(|arm| arm.number == arm_number).unwrap_or_else(|| {
            arms.push(arm(row, arm_number));
            arms.len() - 1
        });
        let started = number(row, "started");
        arms[at].started += started;
        if row["pot"] != row["arm_label"] {
            arms[at].replicates.push(Replicate {
                code: row["pot"].clone(),
                started,
                pot: None,
                stock_plant: known(&row["stock_plant"]),
                operator: known(&row["operator"]),
            });
        }
    }
    let row = stuck[0];
    let control = stuck.iter().find(|row| row["is_control"] == "true");
    Trial {
        series: row["series"].clone(),
        question: known(&row["question"]),
        control: control.map(|row| number(row, "arm") as u8),
        unit_is_piece: row["unit"] == "piece",
        arms,
        ..Trial::empty(&row["trial"], &row["species_typed"], day(&row["date"]))
    }
}

fn arm(row: &Row, number: u8) -> Arm {
    let names = Facet::ALL.into_iter().map(Facet::name);
    let facet = |name: &str| Some((name.to_owned(), row.get(name).and_then(|cell| known(cell))?));
    Arm {
        number,
        label: row["arm_label"].clone(),
        facets: names.filter_map(facet).collect(),
        ..Arm::default()
    }
}

fn day(text: &str) -> When {
    When::day(text.parse().expect("a day"))
}

/// By an event, so that its series is that of the table.
fn set_up(home: &TestHome, trial: &Trial, on: &str) {
    let opened = Home::open(&home.path()).expect("a home");
    let clock = Clock::Fixed(format!("{on}T12:00:00Z").parse().expect("a time"));
    let (mut bench, _) = Bench::open(&home.path(), opened.id(), clock).expect("opens");
    bench.record(Event::TrialRecorded { trial: trial.clone() }).expect("is kept");
}

fn enter(home: &TestHome, day: &str, rows: &[&Row], before: &BTreeMap<&str, &Row>) {
    let (code, stage) = (rows[0]["trial"].as_str(), rows.iter().find_map(|row| known(&row["stage"])));
    let since = |row: &Row, column: &str| number(row, column) - number(before[row["pot"].as_str()], column);
    for row in rows.iter().filter(|row| row["event"] == "left") {
        for (column, below) in [("left_finished", false), ("left_below", true)] {
            let pieces = since(row, column);
            if pieces > 0 {
                let pieces = pieces.to_string();
                let mut words = vec!["move", code, &row["pot"], "--sold", &pieces, "--on", day];
                words.extend(below.then_some("--below-grade"));
                home.ok(&words);
            }
        }
    }
    let counts: Vec<String> = rows
        .iter()
        .filter(|row| row["event"] == "counted")
        .map(|row| {
            let gone = ["dead", "lost"].map(|column| (column, since(row, column)));
            let mut parts = vec![format!("alive={}", row["alive"])];
            if row["roots_looked"] == day {
                parts.push(format!("rooted={}", row["rooted_alive"]));
            }
            parts.extend(gone.iter().filter(|(_, n)| *n > 0).map(|(word, n)| format!("{word}={n}")));
            if number(row, "not_known") > 0 {
                parts.push(format!("not-known={}", row["not_known"]));
            }
            let marks = ["established", "finished", "callused"];
            for (word, column) in marks.into_iter().zip(["established_alive", "finished_alive", "callused"]) {
                parts.extend(known(&row[column]).map(|count| format!("{word}={count}")));
            }
            format!("{}:{}", row["pot"], parts.join(","))
        })
        .collect();
    if !counts.is_empty() {
        let stage = stage.as_deref().unwrap_or("check");
        let words = [stage, code, "--on", day, "--yes"].map(str::to_owned).into_iter().chain(counts);
        home.ok(&words.collect::<Vec<_>>().iter().map(String::as_str).collect::<Vec<_>>());
    } else if rows.iter().any(|row| row["event"] == "looked") {
        home.ok(&["check", code, "ok", "--on", day]);
    }
}
