//! The text of the specification against the code: schema, codes, limits and the tests it names.

use std::path::Path;

use propagule_protocol::vocab::{Facet, auxin_forms, withdrawal_reasons};
use propagule_protocol::{Region, Taxon, limits, record};

const SPEC: &str = include_str!("../SPEC.md");

#[test]
fn the_schema_is_the_file_that_the_validator_reads() {
    let block =
        SPEC.split("```cddl\n").nth(1).and_then(|rest| rest.split("```").next()).expect("a CDDL block");
    assert_eq!(block, include_str!("../schema.cddl"));
}

/// `path::name` in backticks must be a test function in that file.
#[test]
fn every_named_test_exists() {
    let names: Vec<(&str, &str)> = SPEC.split('`').filter_map(|text| text.split_once(".rs::")).collect();
    assert!(names.len() > 40, "only {} tests are named", names.len());
    for (path, name) in names {
        let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("{path}.rs"));
        let source =
            std::fs::read_to_string(&file).unwrap_or_else(|error| panic!("{}: {error}", file.display()));
        assert!(source.contains(&format!("fn {name}(")), "no test {name} in {path}.rs");
    }
}

/// The sections of the text, so that every MUST is held by a test of its paragraph.
#[test]
fn every_must_names_a_test() {
    for item in SPEC.split("\n- ").skip(1) {
        let item = item.split("\n\n").next().unwrap_or_default();
        assert!(
            !item.contains("MUST") || item.contains("`tests/") || item.contains("`src/"),
            "no test: {item}"
        );
    }
}

#[test]
fn code_lists_are_those_of_the_text() {
    let row = |name: &str, words: &[&str]| {
        let codes: Vec<String> =
            words.iter().zip(2..).map(|(word, code): (_, u8)| format!("{code} {word}")).collect();
        format!("| {name} | {} |", codes.join(" · "))
    };
    let mut rows: Vec<String> = Facet::ALL
        .into_iter()
        .filter(|facet| !facet.words().is_empty())
        .map(|facet| row(&facet.name().replace('_', " "), &facet.words()))
        .collect();
    rows.push(row("auxin form", &auxin_forms()));
    rows.push(row("Köppen", &koppen_words()));
    rows.push(row("rank", &["subsp.", "var.", "f."]));
    rows.push(row("withdrawal", &withdrawal_reasons()));
    let table = ["| List | Codes |".to_owned(), "| --- | --- |".to_owned()].into_iter().chain(rows);
    let table = table.collect::<Vec<_>>().join("\n");
    assert!(SPEC.contains(&table), "the text should have\n{table}");
    assert_eq!(
        Taxon::parse("Acer palmatum f. minor").expect("a name").infraspecific,
        Some((4, "minor".to_owned()))
    );
}

fn koppen_words() -> Vec<&'static str> {
    let word = |code: u8| {
        let region = Region {
            rule: record::Code(2),
            koppen: Some(record::Code(code)),
            zone: None,
            coldest: None,
            hottest: None,
            rain: None,
            extensions: record::Extensions::new(),
        };
        region.koppen_word().expect("a class")
    };
    let words = ["Af", "Am", "Aw", "BW", "BS", "Cf", "Cs", "Cw", "Df", "Dw", "D", "E"];
    let codes: Vec<String> = (2..14).map(word).collect();
    assert_eq!(codes, words);
    words.to_vec()
}

#[test]
fn limits_are_those_of_the_text() {
    let rows = [
        ("Record, envelope included", format!("{} bytes", limits::RECORD_BYTES)),
        ("Gossip message", format!("{} bytes", limits::GOSSIP_BYTES)),
        ("Nesting", format!("{} levels", limits::DEPTH)),
        ("Arms of a trial", limits::ARMS.to_string()),
        ("Pieces started in an arm", limits::STARTED_MAX.to_string()),
        ("Replicates of an arm", format!("{} to {}", limits::REPLICATES_MIN, limits::REPLICATES)),
        ("Later phases of an arm", limits::PHASES.to_string()),
        ("Components of a medium", limits::MEDIUM_COMPONENTS.to_string()),
        ("Auxins of a method", limits::AUXINS.to_string()),
        ("Strength of an auxin", limits::DOSE_MAX.to_string()),
        ("Revisions of a series", format!("0 to {}", limits::REVISION_MAX)),
        ("Weeks after starting", limits::WEEKS_MAX.to_string()),
        ("Months", format!("0 to {}, from January 1900", limits::MONTH_MAX)),
        ("Epithet", format!("{} to {} bytes", limits::EPITHET_BYTES.0, limits::EPITHET_BYTES.1)),
        ("Group or cultivar", format!("{} bytes", limits::NAME_BYTES)),
        ("First ignorable key", limits::FIRST_IGNORABLE_KEY.to_string()),
        ("First reserved kind", limits::FIRST_RESERVED_KIND.to_string()),
    ];
    let table: Vec<String> = rows.iter().map(|(what, limit)| format!("| {what} | {limit} |")).collect();
    assert!(SPEC.contains(&table.join("\n")), "the text should have\n{}", table.join("\n"));
}
