//! The tidy table: what is exported of a season is the table of that season, byte by byte, and every row keeps to the
//! descriptor and accounts for every piece.

use std::collections::BTreeSet;
use std::path::Path;

use serde_json::Value;

use crate::close::{list, text};
use crate::home::TestHome;
use crate::replayed;
use crate::report::Report;

/// The descriptor of a folder of cases, where it has one.
const DESCRIPTOR: &str = "bench-datapackage.json";

pub(crate) fn play(file: &Path, report: &mut Report) {
    let table = std::fs::read_to_string(file).unwrap_or_else(|error| panic!("{}: {error}", file.display()));
    let shipped = exported(&TestHome::new(), "datapackage.json");
    let shipped: Value = serde_json::from_str(&shipped).expect("JSON");
    let own = std::fs::read_to_string(file.with_file_name(DESCRIPTOR)).ok();
    let own =
        own.map(|own| serde_json::from_str(&own).unwrap_or_else(|error| panic!("{DESCRIPTOR}: {error}")));
    if let Some(own) = &own {
        report.case("descriptor", || same_columns(&shipped, own));
    }
    report.case("rows", || rows(&table, schema(own.as_ref().unwrap_or(&shipped))));
    match replayed::home_of(&table) {
        Ok(home) => report.case("bytes", || assert_eq!(exported(&home, "bench-table.csv"), table)),
        Err(why) => println!("{}: not played back, its rows alone are checked: {why}", file.display()),
    }
}

/// A file of the exported table.
fn exported(home: &TestHome, name: &str) -> String {
    let folder = home.path().with_file_name("table");
    home.ok(&["export", &folder.display().to_string(), "--table"]);
    std::fs::read_to_string(folder.join(name)).expect("it is written")
}

fn schema(descriptor: &Value) -> &Value {
    &descriptor["resources"][0]["schema"]
}

/// The same columns, of the same types, in the same order; how they are described is the program's.
fn same_columns(shipped: &Value, own: &Value) {
    let columns = |descriptor: &Value| -> Vec<(String, String)> {
        let fields = list(schema(descriptor), "fields").iter();
        fields.map(|field| (text(field, "name").to_owned(), text(field, "type").to_owned())).collect()
    };
    assert_eq!(columns(shipped), columns(own));
    for key in ["primaryKey", "missingValues"] {
        assert_eq!(schema(shipped)[key], schema(own)[key], "{key}");
    }
}

fn rows(table: &str, schema: &Value) {
    let heading: Vec<&str> = table.lines().next().expect("a heading").split(',').collect();
    let fields = list(schema, "fields");
    assert_eq!(heading, fields.iter().map(|field| text(field, "name")).collect::<Vec<_>>());
    assert!(!table.contains('\r') && table.ends_with('\n'), "lines end with a line feed");
    let (mut keys, rows) = (BTreeSet::new(), replayed::rows(table));
    assert!(!rows.is_empty(), "no row");
    for row in &rows {
        for field in fields {
            let cell = row[text(field, "name")].as_str();
            assert!(fits(field, cell), "{}: \"{cell}\" in {row:?}", field["name"]);
        }
        let key = list(schema, "primaryKey").iter().map(|name| row[name.as_str().expect("a name")].clone());
        assert!(keys.insert(key.collect::<Vec<_>>()), "a key twice: {row:?}");
        if row["event"] != "planned" {
            adds_up(row);
        }
    }
    for pair in rows.iter().enumerate() {
        only_grows(pair.1, &rows[pair.0 + 1..]);
    }
}

/// What the descriptor demands of a cell.
fn fits(field: &Value, cell: &str) -> bool {
    let limits = &field["constraints"];
    if cell.is_empty() {
        return limits["required"] != true;
    }
    let is_of_type = match text(field, "type") {
        "integer" => cell.parse::<i64>().is_ok_and(|n| limits["minimum"].as_i64().is_none_or(|min| n >= min)),
        "number" => cell.parse::<f64>().is_ok(),
        "boolean" => ["true", "false"].contains(&cell),
        "date" => cell.parse::<propagule_protocol::Date>().is_ok(),
        "string" => true,
        other => panic!("no such type: {other}"),
    };
    is_of_type && limits["enum"].as_array().is_none_or(|words| words.iter().any(|word| word == cell))
}

type Row = std::collections::BTreeMap<String, String>;

fn number(row: &Row, column: &str) -> i64 {
    row[column].parse().unwrap_or_else(|_| panic!("{column} of {row:?}"))
}

fn adds_up(row: &Row) {
    let sum = |columns: &[&str]| columns.iter().map(|column| number(row, column)).sum::<i64>();
    let all = ["alive", "not_known", "dead", "lost", "left_finished", "left_below"];
    assert_eq!(sum(&all), number(row, "started"), "{row:?}");
    assert_eq!(sum(&["waiting", "rooted_alive"]), number(row, "alive"), "{row:?}");
    assert!(number(row, "dead_rooted") <= number(row, "dead"), "{row:?}");
    assert!(number(row, "lost_rooted") <= number(row, "lost"), "{row:?}");
    if !row["ever_rooted"].is_empty() {
        let seen = sum(&["rooted_alive", "dead_rooted", "lost_rooted"]);
        assert!((seen..=number(row, "started")).contains(&number(row, "ever_rooted")), "{row:?}");
    }
}

/// What never falls from day to day, in the later rows of the same unit.
fn only_grows(row: &Row, later: &[Row]) {
    let is_same = |other: &&Row| ["series", "arm", "pot"].iter().all(|name| other[*name] == row[*name]);
    for other in later.iter().filter(is_same).filter(|other| other["date"] > row["date"]) {
        for column in ["ever_rooted", "left_finished", "left_below", "started"] {
            if !row[column].is_empty() && !other[column].is_empty() {
                assert!(number(other, column) >= number(row, column), "{column} falls: {other:?}");
            }
        }
    }
}
