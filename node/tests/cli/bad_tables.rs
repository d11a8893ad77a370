//! Every way in which a table may be wrong, and what is said about it.

use crate::home::TestHome;

const HEADER: &str = "grower,trial,arm,method,medium,region,stuck,rooted,alive,dead,lost";

fn evidence_message(table: impl AsRef<[u8]>) -> String {
    let home = TestHome::bare();
    let file = home.write("evidence.csv", table);
    let message = home.fails(1, &["pool", "--from", &file]);
    assert!(message.contains("cannot read the results: ") && message.contains("evidence.csv"), "{message}");
    message
}

#[test]
fn a_bad_evidence_table_is_named_by_row_and_column() {
    let cases = [
        ("g1,t1,1,m,p,all,20,3,9,4,0", "row 2, column \"stuck\": alive 9 + dead or lost 4 leaves 7 of 20"),
        ("g1,t1,1,m,p,all,,3,,,", "row 2, column \"stuck\": the cell is blank"),
        ("g1,t1,1,m,p,all,-20,3,,,", "row 2, column \"stuck\": -20 is negative"),
        ("g1,t1,1,m,p,all,twenty,3,,,", "row 2, column \"stuck\": \"twenty\" is not a whole number"),
        ("g1,t1,1,m,p,all,20,15 %,,,", "row 2, column \"rooted\": \"15 %\" is a percentage"),
        ("g1,t1,1,m,p,all,20,21,,,", "row 2, column \"rooted\""),
        ("g1,t1,1,m,p,all,20,3", "row 2: 8 cells where the header has 11"),
        ("g1,t1,1,m,p,all,20,3,,,\ng1,t1,1,m,p,all,20,4,,,", "row 3"),
    ];
    for (rows, expected) in cases {
        let message = evidence_message(format!("{HEADER}\n{rows}\n"));
        assert!(message.contains(expected), "{rows}\n{message}");
    }
}

#[test]
fn a_table_without_what_it_needs_says_so() {
    let no_column = evidence_message("grower,trial,arm,method,medium,region,stuck\na,1,1,m,p,all,20\n");
    assert!(no_column.contains("column \"rooted\": the column is missing"), "{no_column}");
    assert!(evidence_message("").contains("the file is empty"));
    assert!(evidence_message(format!("{HEADER}\n")).contains("no row below the header"));
    let latin1 = evidence_message([HEADER.as_bytes(), b"\ng\xE9,t1,1,m,p,all,20,3,,,\n"].concat());
    assert!(
        latin1.contains("row 2: not UTF-8 text") && latin1.contains("save the table as CSV, UTF-8"),
        "{latin1}"
    );
}

#[test]
fn several_problems_are_told_at_once_up_to_ten() {
    let rows: String = (0..15).map(|i| format!("g{i},t,1,m,p,all,x,3,,,\n")).collect();
    let message = evidence_message(format!("{HEADER}\n{rows}"));
    assert_eq!(message.matches("is not a whole number").count(), 10, "{message}");
    assert!(message.contains("and 5 more"), "{message}");
}

#[test]
fn tables_of_other_programs_are_read_too() {
    let home = TestHome::bare();
    let plain =
        "grower,trial,arm,method,medium,region,stuck,rooted\ng1,t1,1,m,p,all,20,0\ng2,t1,1,m,p,all,40,0\n";
    let expected = home.json(&["pool", "--from", &home.write("plain.csv", plain)])["methods"].clone();
    for (name, table) in [
        ("mark.csv", format!("\u{FEFF}{plain}")),
        ("semicolon.csv", plain.replace(',', ";")),
        ("tab.csv", plain.replace(',', "\t")),
        ("crlf.csv", plain.replace('\n', "\r\n")),
    ] {
        let read = home.json(&["pool", "--from", &home.write(name, table)]);
        assert_eq!(read["methods"], expected, "{name}");
    }
}

#[test]
fn a_bad_trial_table_changes_nothing() {
    let home = TestHome::with_trial();
    let header =
        "trial,species,started,started_on,arm,wood,lift_on,lift_alive,lift_rooted,lift_dead,lift_lost";
    let cases = [
        ("M2,Morus nigra,12,2026-06-05,A,semi-rip,,,,,", "column \"wood\"", "did you mean semi-ripe"),
        ("M2,12 mulberries,12,2026-06-05,A,,,,,,", "column \"species\"", "a digit in a name"),
        ("M2,Morus nigra,,2026-06-05,A,,,,,,", "column \"started\"", "the number started is missing"),
        ("M2,Morus nigra,-1,2026-06-05,A,,,,,,", "column \"started\"", "is negative"),
        ("M2,Morus nigra,12,2026-06-05,A,,2026-09-12,5,6,7,0", "column \"lift_rooted\"", "only 5 alive"),
        ("M2,Morus nigra,12,2026-06-05,A,,2026-09-12,5,0,6,0", "column \"lift_alive\"", "add up to 11"),
        ("M1,Morus nigra,20,2026-06-05,A,,,,,,", "column \"started\"", "was 24"),
        ("M2,Morus nigra,12,5 June,A,,,,,,", "column \"started_on\"", "of which year?"),
    ];
    for (row, place, why) in cases {
        let file = home.write("bad.csv", format!("{header}\n{row}\n"));
        let message = home.fails(1, &["trial", "import", &file, "--yes"]);
        assert!(message.contains("cannot import the trials: "), "{message}");
        assert!(message.contains(place) && message.contains(why), "{row}\n{message}");
    }
    assert_eq!(home.json(&["trial", "list"])["trials"].as_array().map(Vec::len), Some(1));
}

#[test]
fn bad_sites_are_named_too() {
    let home = TestHome::bare();
    let evidence =
        home.write("e.csv", "grower,trial,arm,method,medium,region,stuck,rooted\ng1,t1,1,m,p,all,20,0\n");
    let sites = home.write("sites.csv", "grower,temp,rain\ng1,warm,800\n");
    let message = home.fails(1, &["compare", "g1/t1", "--from", &evidence, "--sites", &sites]);
    assert!(message.contains("sites.csv, row 2, column \"temp\": \"warm\" is not a number"), "{message}");
}
