//! Tables as spreadsheets, other systems and accidents leave them.

use crate::home::TestHome;

const HEADER: &str = "grower,trial,arm,method,medium,region,stuck,rooted";

fn refused(table: impl AsRef<[u8]>) -> String {
    let home = TestHome::bare();
    let file = home.write("odd.csv", table);
    home.fails(1, &["pool", "--from", &file])
}

fn taken(table: &str) -> serde_json::Value {
    let home = TestHome::bare();
    let file = home.write("odd.csv", table);
    home.json(&["pool", "--from", &file])
}

#[test]
fn the_row_named_is_the_line_an_editor_shows() {
    let (good, bad) = ("g1,t1,1,m,p,all,20,3", "g2,t1,1,m,p,all,x,3");
    for (end, name) in [("\n", "LF"), ("\r\n", "CR LF"), ("\r", "CR")] {
        let message = refused([HEADER, good, bad, ""].join(end));
        assert!(message.contains("row 3, column \"stuck\": \"x\""), "{name}: {message}");
        let message = refused([HEADER, "", good, "", "", bad, ""].join(end));
        assert!(message.contains("row 6, column \"stuck\": \"x\""), "{name} with blank lines: {message}");
    }
    let in_quotes = refused(format!("{HEADER}\n\"g\n1\",t1,1,m,p,all,20,3\n{bad}\n"));
    assert!(in_quotes.contains("row 4, column \"stuck\""), "{in_quotes}");
    let latin1 =
        refused([HEADER.as_bytes(), b"\r", good.as_bytes(), b"\rg\xE9,t1,1,m,p,all,20,3\r"].concat());
    assert!(latin1.contains("row 3: not UTF-8 text"), "{latin1}");
}

#[test]
fn control_characters_are_refused_by_row_and_column_and_never_shown() {
    for (cell, code) in [("m\0", "U+0000"), ("m\u{1b}[31m", "U+001B"), ("m\u{9b}31m", "U+009B")] {
        let message = refused(format!("{HEADER}\ng1,t1,1,{cell},p,all,20,3\n"));
        let place = format!("row 2, column \"method\": the cell holds a control character ({code})");
        assert!(message.contains(&place), "{message}");
        assert!(!message.contains('\u{1b}') && !message.contains('\u{9b}'), "{message:?}");
    }
    // UTF-16 of another program, without its mark: every other byte is zero.
    let wide: Vec<u8> = format!("{HEADER}\ng1,t1,1,m,p,all,20,3\n").bytes().flat_map(|b| [b, 0]).collect();
    assert!(refused(wide).contains("save the table as CSV, UTF-8"));
}

#[test]
fn a_label_that_would_turn_the_terminal_is_made_harmless() {
    let home = TestHome::bare();
    let file = home.write("odd.csv", format!("{HEADER}\ng1,t1,1,m\u{202e}x,p,all,20,3\n"));
    assert!(home.ok(&["pool", "--from", &file]).contains("m\u{fffd}x"));
}

#[test]
fn a_quote_that_is_not_closed_is_found() {
    let message = refused(format!("{HEADER}\n\"g1,t1,1,m,p,all,20,3\ng2,t1,1,m,p,all,20,3\n"));
    assert!(message.contains("row 2: 1 cell where the header has 8"), "{message}");
    assert!(message.contains("hint: a double quote opens in this row and is not closed"), "{message}");
    assert_eq!(message.matches("cannot read the results").count(), 1, "nothing beside it: {message}");
}

#[test]
fn a_cell_as_long_as_a_book_is_named() {
    let message = refused(format!("{HEADER}\ng1,t1,1,{},p,all,20,3\n", "é".repeat(30_000)));
    assert!(message.contains("row 2, column \"method\": the cell has 30000 characters"), "{message}");
}

#[test]
fn columns_without_a_name_at_the_end_are_left_alone() {
    let answer = taken(&format!("{HEADER},,\ng1,t1,1,m,p,all,20,3,,\n"));
    assert_eq!(answer["methods"][0]["rooted"], 3);
    assert_eq!(answer["warnings"].as_array().map(Vec::len), Some(0), "{answer}");
    let twice = refused(format!("{HEADER},Stuck\ng1,t1,1,m,p,all,20,3,4\n"));
    assert!(twice.contains("column \"Stuck\": two columns have this name"), "{twice}");
}

#[test]
fn a_label_in_two_lines_is_one_label() {
    let answer =
        taken(&format!("{HEADER}\ng1,t1,1,\"under\n mist\",p,all,20,3\ng2,t1,1,under mist,p,all,20,3\n"));
    assert_eq!(answer["methods"].as_array().map(Vec::len), Some(1), "{answer}");
    assert_eq!(answer["methods"][0]["growers"], 2);
}

#[test]
fn only_plain_digits_are_a_count() {
    // ASCII digits, not those of other scripts, and no exponent or decimals.
    for cell in ["٢٠", "２０", "2e1", "20.0", "0x14", "twenty", "20 pcs"] {
        let message = refused(format!("{HEADER}\ng1,t1,1,m,p,all,{cell},3\n"));
        assert!(
            message.contains("column \"stuck\"") && message.contains("is not a whole number"),
            "{message}"
        );
    }
    let minus = refused(format!("{HEADER}\ng1,t1,1,m,p,all,\u{2212}20,3\n"));
    assert!(minus.contains("is negative"), "{minus}");
}

#[test]
fn a_number_that_can_be_read_two_ways_is_asked_about() {
    let home = TestHome::bare();
    let evidence = home.write("e.csv", format!("{HEADER}\ng1,t1,1,m,p,all,20,0\n"));
    for (rain, why) in [
        ("\"1,200\"", "\"1,200\" can be read two ways"),
        ("1200000", "nowhere has 1200000 mm a year"),
        ("0", "nowhere has 0 mm a year"),
        ("inf", "\"inf\" is not a number"),
    ] {
        let sites = home.write("s.csv", format!("grower,temp,rain\ng1,10,{rain}\n"));
        let message = home.fails(1, &["compare", "g1/t1", "--from", &evidence, "--sites", &sites]);
        assert!(message.contains("s.csv, row 2, column \"rain\"") && message.contains(why), "{message}");
    }
}

#[test]
fn a_comparison_in_a_table_finds_its_trial_or_says_which_there_are() {
    let home = TestHome::bare();
    let rows = "g1,t1,1,m,p,all,20,3,Lumetta rosea\ng/2,t1,1,m,p,all,20,4,Lumetta rosea\n\
                g3,t1,1,m,p,all,20,5,Ostrava tarda\ng4,t1,1,m,p,all,20,6,Ostrava tarda\n";
    let evidence = home.write("e.csv", format!("{HEADER},species\n{rows}"));
    let sites = home.write("s.csv", "grower,temp,rain\ng1,10,800\ng/2,10,900\n");
    let ask =
        |trial: &'static str| ["compare", trial, "--from", &evidence, "--sites", &sites].map(str::to_owned);
    let words = |trial| ask(trial).to_vec();
    let run = |trial| home.json(&words(trial).iter().map(String::as_str).collect::<Vec<_>>());
    assert_eq!(
        (&run("g1/t1")["species"], &run("g3/t1")["species"]),
        (&"Lumetta rosea".into(), &"Ostrava tarda".into())
    );
    assert_eq!(run("g/2/t1")["arms"][0]["own_rooted"], 4, "a label may hold a slash");
    let message = home.fails(1, &words("g1/t2").iter().map(String::as_str).collect::<Vec<_>>());
    assert!(message.contains("has no such trial") && message.contains("did you mean g1/t1"), "{message}");
    let mut spring = words("g1/t1");
    spring.extend(["--stage".to_owned(), "spring".to_owned()]);
    let message = home.fails(1, &spring.iter().map(String::as_str).collect::<Vec<_>>());
    assert!(message.contains("no row of it counted as rooted at spring"), "{message}");
}

#[test]
fn what_is_no_table_at_all_is_told_apart() {
    let home = TestHome::bare();
    let folder = home.fails(2, &["pool", "--from", "."]);
    assert!(folder.contains("that is a folder: name a file"), "{folder}");
    let missing = home.fails(2, &["pool", "--from", "nowhere.csv"]);
    assert!(missing.contains("cannot read nowhere.csv"), "{missing}");
    let endless = home.fails(1, &["pool", "--from", "/dev/zero"]);
    assert!(endless.contains("/dev/zero has more than 32 MiB"), "{endless}");
}
