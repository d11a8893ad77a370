use std::path::{Path, PathBuf};
use std::process::Command;

use proptest::prelude::*;

use super::*;
use crate::paper::skip;
use propagule_bench::code::{check_character, hand_copy, with_check};
use propagule_bench::layout::{LayoutRequest, ReplicateSpec, lay_out};

const HOSTILE: &str = "<script>alert('1')</script> \"x\" & y \u{202e}gnp.exe\u{2066} \u{7} --> ]]>";

fn label(code: &str, arm: Option<&str>, qr: bool) -> Label {
    Label {
        code: code.to_owned(),
        check: check_character(code),
        hand_copy: hand_copy(code),
        species: "Morus nigra".to_owned(),
        arm: arm.map(str::to_owned),
        started: "2026-06-05".to_owned(),
        qr,
    }
}

fn label_sheet(count: usize) -> LabelSheet {
    let labels = (1..=count).map(|pot| {
        let code = if pot % 5 == 0 { format!("MORUS26-AB-P{pot}") } else { format!("M1-P{pot}") };
        let arm = ["no auxin", "IBA quick dip 3000 mg/L, heavy wound", "IBA powder 8000 mg/kg"][pot % 3];
        label(&code, (pot % 4 != 0).then_some(arm), pot % 7 != 0)
    });
    LabelSheet { title: "Morus nigra, semi-ripe, dip or not".to_owned(), labels: labels.collect() }
}

fn scores(rows: usize, boxes: &[&str], blind: bool, size: PaperSize) -> ScoreSheet {
    let row = |at: usize| ScoreRow {
        bench_order: at,
        code: with_check(&format!("M1-P{at}")),
        arm: Some("IBA quick dip 3000 mg/L".to_owned()),
        started: 12,
        last: (!at.is_multiple_of(3)).then(|| "alive 11, dead 1".to_owned()),
    };
    ScoreSheet {
        title: "Check of M1, Morus nigra".to_owned(),
        columns: boxes.iter().map(|text| (*text).to_owned()).collect(),
        rows: (1..=rows).map(row).collect(),
        blind,
        date_line: "Date: ____________    Scored by: ____________".to_owned(),
        cautions: vec!["Knives: cut away from yourself. For a deep cut see a medic.".to_owned()],
        size,
    }
}

fn report_page(size: PaperSize) -> ReportPage {
    let row = |cells: [&str; 4]| cells.map(str::to_owned).to_vec();
    let counts = Section {
        heading: "Counts at lift, 2026-08-29".to_owned(),
        paragraphs: vec!["Each share is of the pieces put in; a lost pot counts as not rooted.".to_owned()],
        table: Some((
            row(["Arm", "Put in", "Rooted", "Share"]),
            (1..=30).map(|arm| row([&format!("arm {arm}"), "12", "9", "75 % (43 to 95)"])).collect(),
        )),
        preformatted: None,
    };
    let picture = Section {
        heading: "Dot for each piece".to_owned(),
        preformatted: Some("no auxin  ●●●●●●○○○○○○  6 of 12\n3000 mg/L ●●●●●●●●●○○○  9 of 12".to_owned()),
        ..Section::default()
    };
    let plan = Section {
        heading: "Protocol".to_owned(),
        paragraphs: vec!["Tips of 12 cm with two halved leaves in peat and perlite, under mist. ".repeat(6)],
        ..Section::default()
    };
    ReportPage {
        title: "M1: does Morus nigra root better after a dip?".to_owned(),
        subtitle: "Semi-ripe cuttings, 2026".to_owned(),
        sections: vec![plan, counts, picture],
        footer: "Propagule 0.1.0 · printed 2026-08-30".to_owned(),
        size,
    }
}

fn bench() -> (LayoutRequest, Vec<String>) {
    let replicates: Vec<ReplicateSpec> = (0..12)
        .map(|at| ReplicateSpec {
            code: format!("M1-P{}", at + 1),
            arm: at % 3 + 1,
            block: None,
            stock_plant: None,
        })
        .collect();
    let labels = replicates.iter().map(|replicate| replicate.code.clone()).collect();
    (LayoutRequest { seed: 20_261_125, replicates, columns: 5, is_blocked: true }, labels)
}

/// Every kind of page with a text in all its places.
fn pages_saying(text: &str) -> Vec<String> {
    let text = || text.to_owned();
    let label = Label {
        code: text(),
        check: text().chars().next().unwrap_or('A'),
        hand_copy: Some(text()),
        species: text(),
        arm: Some(text()),
        started: text(),
        qr: true,
    };
    let row = ScoreRow { bench_order: 1, code: text(), arm: Some(text()), started: 1, last: Some(text()) };
    let scores = ScoreSheet {
        title: text(),
        columns: vec![text()],
        rows: vec![row],
        blind: false,
        date_line: text(),
        cautions: vec![text()],
        size: PaperSize::A4,
    };
    let section = Section {
        heading: text(),
        paragraphs: vec![text()],
        table: Some((vec![text()], vec![vec![text()]])),
        preformatted: Some(text()),
    };
    let report_page = ReportPage {
        title: text(),
        subtitle: text(),
        sections: vec![section],
        footer: text(),
        size: PaperSize::Letter,
    };
    let (request, _) = bench();
    vec![
        labels(&LabelSheet { title: text(), labels: vec![label] }, PaperSize::A4),
        score_sheet(&scores),
        report(&report_page),
        bench_map(&lay_out(&request), &vec![text(); 12]),
    ]
}

/// The texts of a well-formed document, or what is wrong with it. Knows elements, attributes, the five named
/// characters and decimal references; nothing else may stand in our pages.
fn texts_of(document: &str) -> Result<Vec<String>, String> {
    let mut rest = document.trim_start().strip_prefix("<!DOCTYPE html>").unwrap_or(document);
    let (mut open, mut texts): (Vec<String>, Vec<String>) = (Vec::new(), Vec::new());
    while let Some(start) = rest.find('<') {
        texts.push(unescaped(&rest[..start])?);
        let end = start + rest[start..].find('>').ok_or("a tag does not end")?;
        let tag = &rest[start + 1..end];
        if let Some(name) = tag.strip_prefix('/') {
            if open.pop().as_deref() != Some(name) {
                return Err(format!("</{name}> closes nothing"));
            }
        } else {
            let is_empty = tag.ends_with('/');
            let name = attributes_of(tag.trim_end_matches('/'))?;
            if !is_empty {
                open.push(name);
            }
        }
        rest = &rest[end + 1..];
    }
    if open.is_empty() { Ok(texts) } else { Err(format!("{open:?} stay open")) }
}

/// The element's name, once its attributes are `name="value"`.
fn attributes_of(tag: &str) -> Result<String, String> {
    let is_name =
        |text: &str| !text.is_empty() && text.chars().all(|c| c.is_ascii_alphanumeric() || "-:".contains(c));
    let (name, mut rest) = tag.split_once(char::is_whitespace).unwrap_or((tag, ""));
    if !is_name(name) || name == "script" {
        return Err(format!("<{name}>"));
    }
    while !rest.trim().is_empty() {
        let (attribute, value) = rest.trim_start().split_once("=\"").ok_or(format!("{rest} in <{name}>"))?;
        let (value, after) = value.split_once('"').ok_or(format!("{attribute} does not end"))?;
        let loads = ["src", "href"].contains(&attribute) || attribute.starts_with("on");
        if !is_name(attribute) || loads {
            return Err(format!("{attribute} in <{name}>"));
        }
        unescaped(value)?;
        rest = after;
    }
    Ok(name.to_owned())
}

fn unescaped(text: &str) -> Result<String, String> {
    let mut plain = String::new();
    let mut rest = text;
    while let Some(at) = rest.find('&') {
        plain.push_str(&rest[..at]);
        let (name, after) = rest[at + 1..].split_once(';').ok_or("a bare &")?;
        plain.push(match name {
            "amp" => '&',
            "lt" => '<',
            "gt" => '>',
            "quot" => '"',
            "#39" => '\'',
            other => return Err(format!("&{other};")),
        });
        rest = after;
    }
    Ok(plain + rest)
}

#[test]
fn the_reader_finds_faults() {
    for wrong in
        ["<p>a", "<p>a</b>", "<p>a & b</p>", "<p a=1>x</p>", "<img src=\"x\"/>", "<script>x</script>", "<p"]
    {
        assert!(texts_of(wrong).is_err(), "{wrong}");
    }
    assert_eq!(
        texts_of("<p a=\"b\">x &lt;<br/></p>"),
        Ok(vec![String::new(), "x <".to_owned(), String::new()])
    );
}

#[test]
fn hostile_names_stay_names() {
    assert_eq!(escape("<a href='x'>\"&\"\n"), "&lt;a href=&#39;x&#39;&gt;&quot;&amp;&quot;\n");
    for page in pages_saying(HOSTILE) {
        texts_of(&page).unwrap_or_else(|fault| panic!("{fault} in {page}"));
        assert!(!page.contains("<script") && !page.contains(['\u{202e}', '\u{2066}', '\u{7}']), "{page}");
    }
}

#[test]
fn nothing_is_fetched_and_all_is_black_on_white() {
    let (request, names) = bench();
    for page in [
        labels(&label_sheet(30), PaperSize::A4),
        score_sheet(&scores(40, &["alive", "dead"], false, PaperSize::Letter)),
        report(&report_page(PaperSize::A4)),
        bench_map(&lay_out(&request), &names),
    ] {
        let without_namespace = page.replace("http://www.w3.org/2000/svg", "");
        for word in ["http:", "https:", "//", "@import", "<script", "<link", "src="] {
            assert!(!without_namespace.contains(word), "{word}");
        }
        let colours = page.match_indices('#').filter_map(|(at, _)| page.get(at..at + 4));
        let grey = |colour: &str| colour[1..2] == colour[2..3] && colour[2..3] == colour[3..4];
        for colour in colours.filter(|colour| colour[1..].chars().all(|c| c.is_ascii_hexdigit())) {
            assert!(grey(colour), "{colour}");
        }
    }
}

#[test]
fn paper_and_direction() {
    let page = |size| score_sheet(&scores(2, &["alive"], true, size));
    assert!(page(PaperSize::A4).contains("@page{size:A4;"));
    assert!(page(PaperSize::Letter).contains("@page{size:letter;"));
    let wide = ["alive", "dead", "lost", "not known", "yellow", "leaf dropped", "new shoot"];
    assert!(score_sheet(&scores(2, &wide, true, PaperSize::A4)).contains("@page{size:A4 landscape;"));
}

#[test]
fn a_blind_sheet_keeps_the_treatment_to_itself() {
    let page = |blind| score_sheet(&scores(3, &["alive"], blind, PaperSize::A4));
    assert!(page(false).contains("3000 mg/L") && page(false).contains("Treatment"));
    assert!(!page(true).contains("3000 mg/L") && page(true).contains("Scored blind"));
    let open =
        labels(&LabelSheet { title: String::new(), labels: vec![label("M1-P3", None, true)] }, PaperSize::A4);
    assert!(!open.contains("IBA"));
    assert!(open.contains("QR code of M1-P3-B\""), "the code with its check character and nothing else");
    assert!(!open.contains("by hand"), "the code itself is short enough");
}

#[test]
fn rows_have_the_boxes_and_the_order_they_should() {
    let page = score_sheet(&scores(12, &["alive", "dead", "lost"], false, PaperSize::A4));
    assert_eq!(page.matches("class=\"box\"").count(), 36);
    let texts = texts_of(&page).expect("well-formed");
    let codes: Vec<&String> = texts.iter().filter(|text| text.starts_with("M1-P")).collect();
    let expected: Vec<String> = (1..=12).map(|at| with_check(&format!("M1-P{at}"))).collect();
    assert_eq!(codes, expected.iter().collect::<Vec<_>>());
    let none = score_sheet(&scores(0, &["alive"], false, PaperSize::A4));
    assert!(none.contains("Nothing to score."));
    assert!(labels(&label_sheet(0), PaperSize::A4).contains("No labels."));
}

#[test]
fn labels_fill_sheets() {
    let sheets = |count, size| labels(&label_sheet(count), size).matches("<section").count();
    assert_eq!((sheets(24, PaperSize::A4), sheets(25, PaperSize::A4)), (1, 2));
    assert_eq!((sheets(21, PaperSize::Letter), sheets(22, PaperSize::Letter)), (1, 2));
    let page = labels(&label_sheet(30), PaperSize::A4);
    assert_eq!(page.matches("<div class=\"label\">").count(), 30);
    assert_eq!(page.matches("<svg").count(), 30 - 30 / 7);
    let long = Label { code: "A".repeat(5_000), ..label("x", None, true) };
    let page = labels(&LabelSheet { title: String::new(), labels: vec![long] }, PaperSize::A4);
    assert!(!page.contains("<svg"), "too long for any QR code");
}

#[test]
fn a_report_table_has_a_cell_for_each_heading() {
    let table =
        Some((vec!["a".to_owned(), "b".to_owned()], vec![vec!["1".to_owned()], vec!["2".to_owned(); 3]]));
    let sections = vec![Section { table, ..Section::default() }];
    let page = report(&ReportPage { sections, ..report_page(PaperSize::A4) });
    assert_eq!(page.matches("<td>").count(), 4);
}

#[test]
fn the_map_names_its_places_and_patterns() {
    let (request, names) = bench();
    let map = bench_map(&lay_out(&request), &names);
    let texts = texts_of(&map).expect("well-formed");
    assert!(
        texts.iter().any(|text| text.starts_with("Bench map: 12 replicates on 3 rows of 5 places, 4 blocks"))
    );
    assert!(names.iter().all(|name| texts.contains(name)));
    assert_eq!(map.matches("url(#bench-1)").count(), 3);
    assert_eq!(map.matches("stroke-dasharray").count(), 3, "free places");
    let empty = bench_map(&lay_out(&LayoutRequest { replicates: Vec::new(), ..request }), &[]);
    texts_of(&empty).expect("well-formed");
}

proptest! {
    #[test]
    fn any_text_gives_well_formed_pages(text in any::<String>()) {
        for page in pages_saying(&text) {
            prop_assert_eq!(texts_of(&page).err(), None);
        }
    }
}

/// A browser that prints, from `PROPAGULE_CHROMIUM` or the places where distributions put it.
fn chromium() -> Option<PathBuf> {
    let named = std::env::var_os("PROPAGULE_CHROMIUM").map(PathBuf::from);
    let usual = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];
    named.into_iter().chain(usual.map(PathBuf::from)).find(|path| path.is_file())
}

/// Pages and size in points of what the browser prints.
fn printed(browser: &Path, folder: &Path, name: &str, page: &str) -> (usize, String) {
    let (html, pdf) = (folder.join(format!("{name}.html")), folder.join(format!("{name}.pdf")));
    std::fs::write(&html, page).expect("a folder of our own");
    let output = Command::new(browser)
        .args(["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"])
        .args(["--disable-background-networking", "--disable-component-update", "--disable-sync"])
        .args(["--no-pdf-header-footer", "--disable-dev-shm-usage"])
        .arg(format!("--user-data-dir={}", folder.join("browser").display()))
        .arg(format!("--print-to-pdf={}", pdf.display()))
        .arg(format!("file://{}", html.display()))
        .output()
        .expect("the browser starts");
    let bytes = std::fs::read(&pdf)
        .unwrap_or_else(|error| panic!("{error}: {}", String::from_utf8_lossy(&output.stderr)));
    let text = String::from_utf8_lossy(&bytes);
    let pages = text.matches("/Type /Page").count() - text.matches("/Type /Pages").count();
    let size = text.split_once("/MediaBox [").and_then(|(_, rest)| rest.split_once(']'));
    (pages, size.expect("a page has a size").0.to_owned())
}

#[test]
fn a_browser_prints_the_pages_that_were_meant() {
    let Some(browser) = chromium() else {
        return skip(
            "a_browser_prints_the_pages_that_were_meant",
            "no Chromium; PROPAGULE_CHROMIUM may name one",
        );
    };
    let folder = tempfile::tempdir().expect("a folder");
    let print = |name, page: &str| {
        let (pages, size) = printed(&browser, folder.path(), name, page);
        let size: Vec<i32> =
            size.split_whitespace().map(|n| n.parse::<f64>().expect("a number").round() as i32).collect();
        (pages, size[2], size[3])
    };
    // A4 is 210 × 297 mm (ISO 216), US letter 8.5 × 11 inches; a point is 1/72 inch. The browser rounds up to its pixels.
    let is_a4 = |(_, wide, high)| (594..=596).contains(&wide) && (841..=843).contains(&high);
    let labels_a4 = print("labels-a4", &labels(&label_sheet(30), PaperSize::A4));
    assert!(labels_a4.0 == 2 && is_a4(labels_a4), "{labels_a4:?}");
    let labels_letter = print("labels-letter", &labels(&label_sheet(42), PaperSize::Letter));
    assert_eq!(labels_letter, (2, 612, 792));
    let boxes = ["alive", "dead", "lost", "yellow"];
    let scores_a4 = print("scores-a4", &score_sheet(&scores(40, &boxes, false, PaperSize::A4)));
    assert!(scores_a4.0 == 2 && is_a4(scores_a4), "{scores_a4:?}");
    let report_letter = print("report-letter", &report(&report_page(PaperSize::Letter)));
    assert_eq!(report_letter, (2, 612, 792));
    if let Some(keep) = std::env::var_os("PROPAGULE_KEEP_PAGES") {
        for name in ["labels-a4", "labels-letter", "scores-a4", "report-letter"] {
            let (from, to) =
                (folder.path().join(format!("{name}.pdf")), Path::new(&keep).join(format!("{name}.pdf")));
            std::fs::copy(from, to).expect("the folder to keep pages in");
        }
        let (request, names) = bench();
        std::fs::write(Path::new(&keep).join("map.svg"), bench_map(&lay_out(&request), &names))
            .expect("the folder");
    }
}
