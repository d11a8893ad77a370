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

/// Tests that the text names, as path and function.
fn named_tests(text: &str) -> Vec<(&str, &str)> {
    text.split('`').filter_map(|code| code.split_once(".rs::")).collect()
}

/// `path::name` in backticks must be a function in that file that the test runner calls.
#[test]
fn every_named_test_exists() {
    let names = named_tests(SPEC);
    assert!(names.len() > 40, "only {} tests are named", names.len());
    for (path, name) in names {
        let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("{path}.rs"));
        let source =
            std::fs::read_to_string(&file).unwrap_or_else(|error| panic!("{}: {error}", file.display()));
        assert!(is_test(&source, name), "no test {name} in {path}.rs");
    }
}

/// Whether a function stands in the source with `#[test]` directly above it.
fn is_test(source: &str, name: &str) -> bool {
    let lines: Vec<&str> = source.lines().map(str::trim).collect();
    let head = format!("fn {name}(");
    lines.windows(2).any(|pair| pair[0] == "#[test]" && pair[1].starts_with(&head))
}

#[test]
fn a_function_without_the_attribute_is_no_test() {
    let source = "#[test]\n    fn one() {\n}\nfn two() {\n}\n";
    assert!(is_test(source, "one") && !is_test(source, "two") && !is_test(source, "on"));
}

/// Items and paragraphs of the text; code and tables apart.
fn paragraphs() -> impl Iterator<Item = &'static str> {
    let prose = SPEC.split("```").step_by(2);
    prose.flat_map(|part| part.split("\n\n")).flat_map(|part| part.split("\n- "))
}

/// A rule without a test is only a wish.
#[test]
fn every_must_names_a_test() {
    let musts: Vec<&str> =
        paragraphs().filter(|text| text.contains("MUST ") || text.contains(" MUST\n")).collect();
    assert!(musts.len() > 15, "only {} paragraphs say MUST", musts.len());
    for text in musts.into_iter().filter(|text| !text.contains("says MUST")) {
        assert!(!named_tests(text).is_empty(), "no test: {text}");
    }
}

/// The same for every item of the sections that state rules without the word.
#[test]
fn every_rule_of_counts_state_and_region_names_a_test() {
    let mut number = 0;
    for section in SPEC.split("\n## ").filter(|section| section.starts_with(['5', '6', '7'])) {
        for item in section.split("\n- ").skip(1) {
            let item = item.split("\n\n").next().unwrap_or_default();
            assert!(!named_tests(item).is_empty(), "no test: {item}");
            number += 1;
        }
    }
    assert!(number >= 15, "only {number} rules");
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

/// Each constant of `limits.rs` with its row in the text.
fn limit_rows() -> Vec<(&'static str, &'static str, String)> {
    let range = |(low, high): (i8, i8), unit: &str| format!("{low} to {high}{unit}");
    let upto = |most: u8| format!("0 to {most}");
    vec![
        ("RECORD_BYTES", "Record, envelope included", format!("{} bytes", limits::RECORD_BYTES)),
        ("GOSSIP_BYTES", "Gossip message", format!("{} bytes", limits::GOSSIP_BYTES)),
        ("DEPTH", "Nesting", format!("{} levels", limits::DEPTH)),
        ("FIRST_IGNORABLE_KEY", "First ignorable key", limits::FIRST_IGNORABLE_KEY.to_string()),
        ("FIRST_RESERVED_KIND", "First reserved kind, beside 0", limits::FIRST_RESERVED_KIND.to_string()),
        ("MAJOR", "Schema major of summaries, and the highest read", limits::MAJOR.to_string()),
        ("MINOR", "Schema minor of summaries", limits::MINOR.to_string()),
        ("OTHER_MAJOR", "Schema major of other kinds", limits::OTHER_MAJOR.to_string()),
        ("OTHER_MINOR", "Schema minor of other kinds", limits::OTHER_MINOR.to_string()),
        ("VERSION_MAX", "Majors and minors", upto(limits::VERSION_MAX)),
        ("MONTH_MAX", "Months", format!("0 to {}, from January 1900", limits::MONTH_MAX)),
        ("ARMS", "Arms of a trial", limits::ARMS.to_string()),
        ("REVISION_MAX", "Revisions of a series", upto(limits::REVISION_MAX)),
        (
            "STANDING_ENTRIES",
            "Records on a page of what stands of a revoked key",
            limits::STANDING_ENTRIES.to_string(),
        ),
        ("STANDING_PAGES", "Pages of what stands of a revoked key", limits::STANDING_PAGES.to_string()),
        ("STARTED_MAX", "Pieces started in an arm, and any count", limits::STARTED_MAX.to_string()),
        ("REPLICATES_MIN", "Fewest replicates written apart", limits::REPLICATES_MIN.to_string()),
        ("REPLICATES", "Replicates of an arm", limits::REPLICATES.to_string()),
        ("PHASES", "Later phases of an arm", limits::PHASES.to_string()),
        ("WEEKS_MAX", "Weeks after starting", format!("0 to {}", limits::WEEKS_MAX)),
        ("START_OFFSET_MAX", "Months started apart, either way", limits::START_OFFSET_MAX.to_string()),
        ("MEDIUM_COMPONENTS", "Components of a medium", limits::MEDIUM_COMPONENTS.to_string()),
        ("AUXINS", "Auxins of a method", limits::AUXINS.to_string()),
        ("DOSE_MAX", "Strength of an auxin", format!("0 to {}", limits::DOSE_MAX)),
        ("BOTTOM_HEAT", "Bottom heat", range(limits::BOTTOM_HEAT, " °C")),
        ("STRATIFICATION_MAX", "Weeks of stratification, warm or cold", upto(limits::STRATIFICATION_MAX)),
        ("BBCH_MAX", "BBCH stage", upto(limits::BBCH_MAX)),
        ("TIP_NODES_MAX", "Tip nodes removed", upto(limits::TIP_NODES_MAX)),
        (
            "EPITHET_BYTES",
            "Epithet",
            format!("{} to {} bytes", limits::EPITHET_BYTES.0, limits::EPITHET_BYTES.1),
        ),
        ("NAME_BYTES", "Group or cultivar", format!("1 to {} bytes", limits::NAME_BYTES)),
        ("DESIGN_MAX", "Design flags", format!("0 to {}", limits::DESIGN_MAX)),
        ("OLD_DESIGN_MAX", "Design flags in major 0", format!("0 to {}", limits::OLD_DESIGN_MAX)),
        ("RELATION_MAX", "Relation to an earlier trial", format!("1 to {}", limits::RELATION_MAX)),
        ("TAXON_MARKS_MAX", "Marks of a taxon", format!("1 to {}", limits::TAXON_MARKS_MAX)),
        ("STOCK_PLANTS_MAX", "Class of stock plants", format!("1 to {}", limits::STOCK_PLANTS_MAX)),
        ("ZONE", "Hardiness zone", format!("{} to {}", limits::ZONE.0, limits::ZONE.1)),
        ("COLDEST", "Bin of the coldest month", range(limits::COLDEST, "")),
        ("HOTTEST", "Bin of the hottest month", range(limits::HOTTEST, "")),
        ("RAIN_MAX", "Bin of yearly rain", upto(limits::RAIN_MAX)),
    ]
}

#[test]
fn limits_are_those_of_the_text() {
    let rows = limit_rows();
    let table: Vec<String> = rows.iter().map(|(_, what, limit)| format!("| {what} | {limit} |")).collect();
    assert!(SPEC.contains(&table.join("\n")), "the text should have\n{}", table.join("\n"));
    let constants: Vec<&str> = include_str!("../src/limits.rs")
        .lines()
        .filter_map(|line| line.strip_prefix("pub const ")?.split(':').next())
        .collect();
    assert_eq!(
        constants,
        rows.iter().map(|(name, ..)| *name).collect::<Vec<_>>(),
        "a limit is not in the text"
    );
}
