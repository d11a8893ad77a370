//! Workbooks as spreadsheets save them, made here part by part after ECMA-376 and ODF 1.3.

use std::io::{Cursor, Write};

use zip::ZipWriter;
use zip::write::SimpleFileOptions;

use crate::home::TestHome;

fn archive(parts: &[(String, String)]) -> Vec<u8> {
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, text) in parts {
        writer.start_file(name.as_str(), SimpleFileOptions::default()).expect("a part");
        writer.write_all(text.as_bytes()).expect("writes");
    }
    writer.finish().expect("closes").into_inner()
}

/// A cell of a test sheet: text, number, day serial, share, formula without a value.
enum Cell {
    Blank,
    Text(&'static str),
    Number(f64),
    Day(u32),
    Share(f64),
    Formula(&'static str),
}

use Cell::{Blank, Day, Formula, Number, Share, Text};

/// Serials of 1900: 46067 is 14 February 2026, 46277 is 12 September 2026.
fn lots() -> Vec<Vec<Cell>> {
    vec![
        vec![Text("Season 2026")],
        vec![Text("Plant"), Text("Lot"), Text("n"), Text("Date"), Text("% rooted"), Text("Lifted")],
        vec![Text("Ribes nigrum"), Text("N1"), Number(55.0), Day(46067), Share(0.4), Day(46277)],
        vec![Blank, Text("N2"), Number(63.0), Day(46067), Share(0.302), Day(46277)],
    ]
}

fn sheet(rows: &[Vec<Cell>]) -> String {
    let mut out = String::new();
    for (row, cells) in (1..).zip(rows) {
        out.push_str("<row r=\"");
        out.push_str(&row.to_string());
        out.push_str("\">");
        for (column, cell) in ('A'..).zip(cells) {
            let at = format!("{column}{row}");
            let written = match cell {
                Blank => String::new(),
                Text(text) => format!("<c r=\"{at}\" t=\"inlineStr\"><is><t>{text}</t></is></c>"),
                Number(number) => format!("<c r=\"{at}\"><v>{number}</v></c>"),
                Day(serial) => format!("<c r=\"{at}\" s=\"1\"><v>{serial}</v></c>"),
                Share(share) => format!("<c r=\"{at}\" s=\"2\"><v>{share}</v></c>"),
                Formula(formula) => format!("<c r=\"{at}\"><f>{formula}</f></c>"),
            };
            out.push_str(&written);
        }
        out.push_str("</row>");
    }
    worksheet(&format!(
        "<sheetData>{out}</sheetData><mergeCells count=\"1\"><mergeCell ref=\"A3:A4\"/></mergeCells>"
    ))
}

const MAIN: &str = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
const OFFICE: &str = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
const PACKAGE: &str = "http://schemas.openxmlformats.org/package/2006/relationships";

fn worksheet(inner: &str) -> String {
    format!("<?xml version=\"1.0\"?><worksheet xmlns=\"{MAIN}\">{inner}</worksheet>")
}

/// A workbook of sheets: name, hidden or not, content.
fn xlsx(sheets: &[(&str, bool, String)]) -> Vec<u8> {
    let numbered = || (1..).zip(sheets);
    let named: String = numbered()
        .map(|(at, (name, hidden, _))| {
            let state = if *hidden { " state=\"hidden\"" } else { "" };
            format!("<sheet name=\"{name}\" sheetId=\"{at}\" r:id=\"r{at}\"{state}/>")
        })
        .collect();
    let related: String = numbered()
        .map(|(at, _)| {
            format!(
                "<Relationship Id=\"r{at}\" Type=\"{OFFICE}/worksheet\" Target=\"worksheets/sheet{at}.xml\"/>"
            )
        })
        .collect();
    let mut parts = vec![
        ("[Content_Types].xml".to_owned(), "<?xml version=\"1.0\"?><Types xmlns=\"http://schemas.openxmlformats.org/package/2006/content-types\"/>".to_owned()),
        ("xl/workbook.xml".to_owned(), format!("<?xml version=\"1.0\"?><workbook xmlns=\"{MAIN}\" xmlns:r=\"{OFFICE}\"><sheets>{named}</sheets></workbook>")),
        ("xl/_rels/workbook.xml.rels".to_owned(), format!("<?xml version=\"1.0\"?><Relationships xmlns=\"{PACKAGE}\">{related}<Relationship Id=\"s\" Type=\"{OFFICE}/styles\" Target=\"styles.xml\"/></Relationships>")),
        ("xl/styles.xml".to_owned(), format!("<?xml version=\"1.0\"?><styleSheet xmlns=\"{MAIN}\"><cellXfs count=\"3\"><xf numFmtId=\"0\"/><xf numFmtId=\"14\"/><xf numFmtId=\"9\"/></cellXfs></styleSheet>")),
    ];
    let root =
        format!("<Relationship Id=\"w\" Type=\"{OFFICE}/officeDocument\" Target=\"xl/workbook.xml\"/>");
    let root = format!("<?xml version=\"1.0\"?><Relationships xmlns=\"{PACKAGE}\">{root}</Relationships>");
    parts.push(("_rels/.rels".to_owned(), root));
    parts.extend(
        numbered().map(|(at, (_, _, content))| (format!("xl/worksheets/sheet{at}.xml"), content.clone())),
    );
    archive(&parts)
}

/// The same lots as an ODS workbook.
fn ods() -> Vec<u8> {
    let cell = |cell: &Cell| match cell {
        Blank | Formula(_) => "<table:table-cell/>".to_owned(),
        Text(text) => format!(
            "<table:table-cell office:value-type=\"string\"><text:p>{text}</text:p></table:table-cell>"
        ),
        Number(number) => format!(
            "<table:table-cell office:value-type=\"float\" office:value=\"{number}\"><text:p>{number}</text:p></table:table-cell>"
        ),
        Share(share) => format!(
            "<table:table-cell office:value-type=\"percentage\" office:value=\"{share}\"><text:p>{share}</text:p></table:table-cell>"
        ),
        Day(serial) => {
            let day = if *serial == 46067 { "2026-02-14" } else { "2026-09-12" };
            format!(
                "<table:table-cell office:value-type=\"date\" office:date-value=\"{day}\"><text:p>{day}</text:p></table:table-cell>"
            )
        }
    };
    let rows: String = lots()
        .iter()
        .map(|row| format!("<table:table-row>{}</table:table-row>", row.iter().map(cell).collect::<String>()))
        .collect();
    let of = "urn:oasis:names:tc:opendocument:xmlns";
    let content = format!(
        "<?xml version=\"1.0\"?><office:document-content xmlns:office=\"{of}:office:1.0\" xmlns:table=\"{of}:table:1.0\" \
         xmlns:text=\"{of}:text:1.0\"><office:body><office:spreadsheet><table:table table:name=\"Lots\">{rows}</table:table>\
         </office:spreadsheet></office:body></office:document-content>"
    );
    let manifest =
        format!("<?xml version=\"1.0\"?><manifest:manifest xmlns:manifest=\"{of}:manifest:1.0\"/>");
    archive(&[
        ("mimetype".to_owned(), "application/vnd.oasis.opendocument.spreadsheet".to_owned()),
        ("META-INF/manifest.xml".to_owned(), manifest),
        ("content.xml".to_owned(), content),
    ])
}

/// Days, shares as fractions, a merged cell and a title, whichever program saved them.
#[test]
fn workbooks_are_read_as_the_tables_that_they_are() {
    let hidden = ("notes", true, sheet(&[vec![Text("secret")]]));
    for (name, bytes) in
        [("lots.xlsx", xlsx(&[("Lots", false, sheet(&lots())), hidden])), ("lots.ods", ods())]
    {
        let home = TestHome::new();
        let file = home.write(name, bytes);
        let asked = home.fails(1, &["trial", "import", &file, "--yes"]);
        assert!(asked.contains("line 4 has no Plant: the same as line 3?"), "{name}: {asked}");
        let answer = home.json(&["trial", "import", &file, "--fill", "Plant", "--yes"]);
        let rooted: Vec<&serde_json::Value> = answer["lines"]
            .as_array()
            .expect("lines")
            .iter()
            .filter(|line| line["outcome"] == "ready")
            .map(|line| &line["lift"]["rooted"])
            .collect();
        // 40 % of 55 and 30.2 % of 63.
        assert_eq!(rooted, [22, 19], "{name}: {answer:#}");
        let shown = home.json(&["trial", "show", "N2"]);
        assert_eq!(
            (&shown["trial"]["species"], &shown["trial"]["started_on"], &shown["trial"]["lift_on"]),
            (&"Ribes nigrum".into(), &"2026-02-14".into(), &"2026-09-12".into()),
            "{name}"
        );
        assert_eq!(shown["trial"]["note"], "Season 2026", "{name}");
        let again = home.ok(&["trial", "import", &file, "--fill", "Plant", "--yes"]);
        assert!(again.contains("Nothing new"), "{name}: {again}");
    }
}

#[test]
fn what_a_workbook_leaves_open_is_said() {
    let home = TestHome::new();
    let mut rows = lots();
    rows[3][2] = Formula("60+3");
    let two = [("Lots", false, sheet(&rows)), ("Other", false, sheet(&[vec![Text("x")]]))];
    let file = home.write("two.xlsx", xlsx(&two));
    let which = home.fails(1, &["trial", "import", &file]);
    assert!(
        which.contains("2 sheets hold something: \"Lots\", \"Other\"") && which.contains("--sheet Lots"),
        "{which}"
    );
    let formula = home.fails(1, &["trial", "import", &file, "--sheet", "lots", "--fill", "Plant", "--yes"]);
    assert!(
        formula.contains("row 4, column \"n\": the cell holds a formula of which no value is stored"),
        "{formula}"
    );
    // A cell in the last corner of a sheet asks for no memory.
    let far = worksheet(
        "<sheetData><row r=\"1\"><c r=\"A1\"><v>1</v></c></row><row r=\"1048576\"><c r=\"XFD1048576\"><v>1</v></c></row></sheetData>",
    );
    let far = home.write("far.xlsx", xlsx(&[("Lots", false, far)]));
    assert!(home.fails(1, &["trial", "import", &far]).contains("row 1048576, column 16384: too far off"));
    let twice = home.write("twice.csv", "Lot,Plant,n,n,Date\nA,Morus nigra,3,4,2026-01-02\n");
    assert!(home.fails(1, &["trial", "import", &twice]).contains("column \"n\": two columns have this name"));
}
