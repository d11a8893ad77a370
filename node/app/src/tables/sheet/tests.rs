//! Tables as programs and accidents leave them.

use super::*;

fn cells(bytes: &[u8]) -> Vec<Vec<String>> {
    let sheet = read("t.csv", bytes, None).expect("a table");
    sheet.lines.iter().map(|line| line.cells.iter().map(|cell| cell.text.clone()).collect()).collect()
}

fn refused(bytes: &[u8]) -> (Option<u64>, String) {
    let refused = read("t.csv", bytes, None).expect_err("refused");
    let [problem] = &refused.problems[..] else { panic!("one problem: {refused}") };
    (problem.row, problem.fault.code.to_string())
}

#[track_caller]
fn check_refused(bytes: &[u8], row: Option<u64>, code: &str) {
    assert_eq!(refused(bytes), (row, code.to_owned()));
}

#[test]
fn what_parts_the_cells_is_told_by_all_lines() {
    let expected = [["a", "b", "c"], ["1", "30,2", "x"]];
    assert_eq!(cells(b"a;b;c\n1;30,2;x\n"), expected);
    assert_eq!(cells(b"\xEF\xBB\xBFa\tb\tc\r1\t30,2\tx"), expected);
    assert_eq!(cells(b"a,b,c\r\n1,\"30,2\",x\r\n"), expected);
}

#[test]
fn an_open_quote_spoils_its_own_line_only() {
    let table = b"Lot,n,Note\nJ1,2,\"late frost\nJ2,3,\"two\nlines\"\nJ3,4,\"he said \"\"no\"\"\"\n";
    let sheet = read("t.csv", table, None).expect("a table");
    let faults: Vec<_> = sheet.lines.iter().map(|line| (line.number, line.fault)).collect();
    assert_eq!(faults, [(1, None), (2, Some(LineFault::OpenQuote(2))), (3, None), (5, None)]);
    assert_eq!(sheet.lines[2].cells[2].text, "two\nlines");
    assert_eq!(sheet.lines[3].cells[2].text, "he said \"no\"");
}

#[test]
fn what_is_no_table_is_said_to_be_none() {
    check_refused(b"", None, "trials-table-empty");
    check_refused(b" \n\n,,\n", None, "trials-table-empty");
    check_refused(b"\xFF\xFEa\0,\0b\0", None, "table-utf16");
    let wide: Vec<u8> = "trial,species,started,started_on".bytes().flat_map(|b| [b, 0]).collect();
    check_refused(&wide, None, "table-with-zero-bytes");
    check_refused(b"a,b\n1,\xE9\n", Some(2), "table-not-utf8");
    check_refused(b"PK\x03\x04nothing", None, "archive-without-workbook");
    check_refused(b"PK\x03\x04 xl/workbook.xml", None, "workbook-unreadable");
    let sheet = read("t.csv", b"a,b\n1,\0\n", None).expect("the other lines can be read");
    assert_eq!(sheet.lines[1].fault, Some(LineFault::Control(1, 0)));
}
