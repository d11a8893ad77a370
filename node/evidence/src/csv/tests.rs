use super::*;
use crate::Question;
use crate::left_out::EvidenceNote;
use crate::row::Site;
use propagule_present::fault;

const HEADER: &str = "grower,trial,arm,method,medium,region,stuck,rooted";

fn read(text: &str) -> Result<CsvEvidence, Fault> {
    read_evidence("trials.csv", text.as_bytes())
}

fn first_error(text: &str) -> (String, String) {
    let error = read(text).expect_err("the table is wrong");
    let hint = fault::hints(&error).into_iter().next().unwrap_or_default();
    (fault::what(&error).lines().next().expect("a line").to_owned(), hint)
}

#[test]
fn comma_semicolon_and_tab_give_the_same_rows_with_and_without_byte_order_mark() {
    let comma = format!("{HEADER}\ng1,t1,1,semi-ripe,sand,north,20,3\n");
    let expected = read(&comma).expect("reads").rows;
    assert_eq!(expected.len(), 1);
    assert_eq!((expected[0].stuck, expected[0].rooted), (20, 3));
    for text in [comma.replace(',', ";"), comma.replace(',', "\t"), format!("\u{feff}{comma}")] {
        assert_eq!(read(&text).expect("reads").rows, expected);
    }
}

#[test]
fn crlf_quotes_and_blank_lines_are_ordinary() {
    let text = format!("{HEADER}\r\n\"g, one\",t1,1,\"heel, no leaves\",sand,north,20,3\r\n\r\n,,,,,,,\r\n");
    let rows = read(&text).expect("reads").rows;
    assert_eq!((rows[0].grower.as_str(), rows[0].method.as_str()), ("g, one", "heel, no leaves"));
    assert_eq!(rows.len(), 1);
}

#[test]
fn unknown_columns_are_kept_aside_and_named() {
    let text = format!("{HEADER},weather,Price a piece\ng1,t1,1,a,sand,north,20,3,wet,0.4\n");
    let evidence = read(&text).expect("reads");
    assert_eq!(evidence.unused_columns, ["weather", "Price a piece"]);
    let selected = evidence.select(None, Question::default()).expect("selects");
    let columns = ["weather", "Price a piece"].map(str::to_owned).to_vec();
    assert_eq!(selected.notes, [EvidenceNote::UnusedColumns(columns)]);
}

#[test]
fn counts_that_do_not_add_up_are_named_with_row_and_column() {
    let text = format!("{HEADER},alive,dead,lost\ng1,t1,1,a,sand,north,20,3,10,4,2\n");
    let (message, hint) = first_error(&text);
    assert_eq!(
        message,
        "cannot read the results: trials.csv, row 2, column \"stuck\": alive 10 + dead or lost 6 leaves 4 of 20"
    );
    assert_eq!(hint, "count those that nobody counted as lost, or leave the column out");
    let text = format!("{HEADER},alive,dead\ng1,t1,1,a,sand,north,20,3,18,4\n");
    assert!(first_error(&text).0.ends_with("alive 18 + dead or lost 4 is more than 20 stuck"));
    let text = format!("{HEADER},alive\ng1,t1,1,a,sand,north,20,3,2\n");
    assert!(first_error(&text).0.ends_with("column \"alive\": 2 alive but 3 rooted"));
}

#[test]
fn a_missing_number_put_in_is_named() {
    let (message, hint) = first_error(&format!("{HEADER}\ng1,t1,1,a,sand,north,,3\n"));
    assert_eq!(message, "cannot read the results: trials.csv, row 2, column \"stuck\": the cell is blank");
    assert!(hint.starts_with("a rate without the number started cannot be pooled"));
}

#[test]
fn negative_text_and_per_cent_in_a_number_column_are_named() {
    let row = |cell: &str| format!("{HEADER}\ng1,t1,1,a,sand,north,20,{cell}\n");
    assert!(first_error(&row("-3")).0.ends_with("row 2, column \"rooted\": -3 is negative"));
    assert!(first_error(&row("many")).0.ends_with("column \"rooted\": \"many\" is not a whole number"));
    assert!(first_error(&row("3.5")).0.ends_with("\"3.5\" is not a whole number"));
    let (message, hint) = first_error(&row("70 %"));
    assert!(message.ends_with("\"70 %\" is a percentage, not a count"));
    assert!(hint.starts_with("write the count; a percentage hides"));
}

#[test]
fn a_needed_column_that_is_missing_is_named_with_those_there() {
    let (message, hint) =
        first_error("grower,trial,arm,method,medium,region,number,rooted\ng,t,1,a,b,c,5,1\n");
    assert_eq!(message, "cannot read the results: trials.csv, column \"stuck\": the column is missing");
    assert!(hint.contains("\"number\""));
}

#[test]
fn a_row_of_another_length_is_named() {
    let (message, _) = first_error(&format!("{HEADER}\ng1,t1,1,a,sand,north,20\n"));
    assert!(message.ends_with("row 2: 7 cells where the header has 8"));
}

#[test]
fn an_empty_file_and_a_header_alone_are_named() {
    assert!(first_error("").0.ends_with("trials.csv: the file is empty"));
    assert!(first_error("\n\n").0.ends_with("trials.csv: the file is empty"));
    assert!(first_error(HEADER).0.ends_with("trials.csv: there is no row below the header"));
}

#[test]
fn bytes_that_are_not_utf8_are_named_by_row() {
    let mut bytes = format!("{HEADER}\ng1,t1,1,a,sand,north,20,3\n").into_bytes();
    bytes.extend(b"g2,t1,1,caf\xe9,sand,north,20,3\n");
    let error = read_evidence("trials.csv", &bytes).expect_err("latin-1");
    assert_eq!(fault::what(&error), "cannot read the results: trials.csv, row 3: not UTF-8 text");
    assert_eq!(fault::hints(&error), ["save the table as CSV, UTF-8, and try again"]);
}

#[test]
fn more_rooted_than_stuck_is_named() {
    let (message, _) = first_error(&format!("{HEADER}\ng1,t1,1,a,sand,north,20,21\n"));
    assert!(message.ends_with("row 2, column \"rooted\": 21 rooted of 20 stuck"));
}

#[test]
fn an_arm_of_nothing_or_of_more_than_a_bench_holds_is_named() {
    let row = |stuck: &str| format!("{HEADER}\ng1,t1,1,a,sand,north,{stuck},0\n");
    assert!(first_error(&row("0")).0.ends_with("column \"stuck\": nothing was started"));
    assert!(first_error(&row("100001")).0.ends_with("100001 are more than one treatment can have"));
    assert!(first_error(&row("99999999999")).0.ends_with("\"99999999999\" is not a whole number"));
}

#[test]
fn a_duplicate_arm_is_named_with_the_row_it_repeats() {
    let row = "g1,t1,1,a,sand,north,20,3";
    let (message, hint) = first_error(&format!("{HEADER}\n{row}\ng1,t1,2,a,sand,north,20,3\n{row}\n"));
    assert!(
        message.ends_with("row 4, column \"arm\": grower g1, trial t1, treatment 1 stands in row 2 already")
    );
    assert!(hint.contains("if the file holds several species, add a column \"species\""));
}

#[test]
fn the_same_arm_at_another_count_is_no_duplicate() {
    let text = format!("{HEADER},stage\ng1,t1,1,a,s,n,20,3,lift\ng1,t1,1,a,s,n,20,2,spring\n");
    assert_eq!(read(&text).expect("reads").rows.len(), 2);
}

#[test]
fn blanks_in_needed_cells_are_named_one_by_one() {
    let error =
        read(&format!("{HEADER}\n,t1,1,a,sand,north,20,3\ng1,t1,1,,sand,,20,\n")).expect_err("blanks");
    let columns: Vec<_> =
        error.problems.iter().map(|p| (p.row, p.column.as_deref().expect("a column"))).collect();
    let expected = [(Some(2), "grower"), (Some(3), "method"), (Some(3), "region"), (Some(3), "rooted")];
    assert_eq!(columns, expected);
}

#[test]
fn ten_problems_are_shown_and_the_rest_counted() {
    let rows: Vec<String> = (0..13).map(|n| format!("g{n},t1,1,a,sand,north,20,21")).collect();
    let error = read(&format!("{HEADER}\n{}\n", rows.join("\n"))).expect_err("all wrong");
    assert_eq!((error.problems.len(), error.params["more"].as_str()), (MOST_SHOWN, "3"));
    assert_eq!(fault::what(&error).lines().last(), Some("and 3 more"));
    assert_eq!(fault::hints(&error).len(), 1);
}

#[test]
fn an_exported_apostrophe_before_a_formula_is_taken_off_again() {
    let text = format!("{HEADER}\n'=g1,t1,1,'plain,sand,north,20,3\n");
    let rows = read(&text).expect("reads").rows;
    assert_eq!((rows[0].grower.as_str(), rows[0].method.as_str()), ("=g1", "'plain"));
}

#[test]
fn a_table_of_several_species_wants_one_named() {
    let text =
        format!("{HEADER},species\ng1,t1,1,a,s,n,20,3,Ostrava tarda\ng2,t1,1,a,s,n,9,1,Lumetta rosea\n");
    let evidence = read(&text).expect("reads");
    let error = evidence.select(None, Question::default()).expect_err("two species");
    assert!(fault::what(&error).ends_with("it holds Lumetta rosea, Ostrava tarda"));
    let one = evidence.select(Some("ostrava TARDA"), Question::default()).expect("by key");
    assert_eq!(one.rows.len(), 1);
    let error = evidence.select(Some("Ostrava tarde"), Question::default()).expect_err("a slip");
    assert_eq!(fault::hints(&error), ["did you mean Ostrava tarda?"]);
}

#[test]
fn the_end_of_the_season_is_a_stage_of_its_own() {
    let text = format!("{HEADER},stage\ng1,t1,1,a,s,n,20,3,lift\ng1,t1,1,a,s,n,20,2,season\n");
    let table = read(&text).expect("a table");
    let season = Question { stage: Stage::Season, outcome: Outcome::Rooted };
    let evidence = table.select(None, season).expect("rows");
    assert_eq!(evidence.rows.iter().map(|row| row.succeeded).collect::<Vec<_>>(), [2]);
    let (_, hint) = first_error(&format!("{HEADER},stage\ng1,t1,1,a,s,n,20,3,autumn\n"));
    assert!(hint.contains("lift, season, spring or final"), "{hint}");
}

#[test]
fn rows_of_another_stage_are_left_out_and_counted() {
    let text = format!("{HEADER},stage,outcome\ng1,t1,1,a,s,n,20,3,,\ng2,t1,1,a,s,n,9,1,spring,rooted\n");
    let evidence = read(&text).expect("reads").select(None, Question::default()).expect("selects");
    assert_eq!(evidence.rows.len(), 1);
    assert_eq!(evidence.left_out[0].count, 1);
}

#[test]
fn sites_are_read_and_bad_ones_named() {
    let sites = read_sites("sites.csv", b"grower;temp;rain\ng1;9,8;800\n").expect("reads");
    assert_eq!(sites["g1"], Site { temp: 9.8, rain: 800.0 });
    let error = read_sites("s.csv", b"grower,temp,rain\ng1,x,800\ng2,9,0\ng3,77,600\ng4,9,800\ng4,9,800\n")
        .expect_err("four wrong");
    let lines: Vec<String> = fault::what(&error).lines().map(str::to_owned).collect();
    assert_eq!(
        lines,
        [
            "cannot read the sites: s.csv, row 2, column \"temp\": \"x\" is not a number",
            "cannot read the sites: s.csv, row 3, column \"rain\": nowhere has 0 mm a year",
            "cannot read the sites: s.csv, row 4, column \"temp\": nowhere has a yearly mean of 77",
            "cannot read the sites: s.csv, row 6, column \"grower\": grower g4 has a site already",
        ]
    );
}
