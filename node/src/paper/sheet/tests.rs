//! Printed pages: nothing typed can become markup, every page is whole, a blind sheet is blind.

use super::*;

/// What strangers write into labels.
const HOSTILE: &str = "<script>alert('x')</script>\"&\u{202e}gnp\u{7}";

/// Reads a page as XML would and returns its text; panics where an element is not closed in its turn.
fn text_of(page: &str) -> String {
    let mut open: Vec<String> = Vec::new();
    let mut text = String::new();
    let mut rest = page.strip_prefix("<!DOCTYPE html>\n").unwrap_or(page);
    while let Some(start) = rest.find('<') {
        text.push_str(&rest[..start]);
        let end = start + rest[start..].find('>').expect("every tag ends");
        let tag = &rest[start + 1..end];
        rest = &rest[end + 1..];
        let name: String =
            tag.trim_start_matches('/').chars().take_while(char::is_ascii_alphanumeric).collect();
        if tag.starts_with('/') {
            assert_eq!(open.pop().as_deref(), Some(name.as_str()), "closed in turn");
        } else if !tag.ends_with('/') {
            open.push(name);
        }
    }
    assert_eq!(open, Vec::<String>::new(), "all closed");
    text
}

fn label(code: &str) -> Label {
    Label {
        code: code.to_owned(),
        check: crate::paper::code::check_character(code),
        hand_copy: crate::paper::code::hand_copy(code),
        species: HOSTILE.to_owned(),
        arm: Some("dip".to_owned()),
        started: "2026-06-06".to_owned(),
        qr: true,
    }
}

fn sheet(labels: usize) -> LabelSheet {
    LabelSheet {
        title: HOSTILE.to_owned(),
        labels: (1..=labels).map(|at| label(&format!("M1-P{at}"))).collect(),
    }
}

fn score(blind: bool) -> ScoreSheet {
    let row = |at: usize| ScoreRow {
        bench_order: at,
        code: format!("M1-P{at}-K"),
        arm: Some("the secret dip".to_owned()),
        started: 4,
        last: Some(HOSTILE.to_owned()),
    };
    ScoreSheet {
        title: HOSTILE.to_owned(),
        columns: ["rooted", "dead"].map(str::to_owned).into(),
        rows: (1..=6).map(row).collect(),
        blind,
        date_line: "Date ____".to_owned(),
        cautions: vec![HOSTILE.to_owned()],
        size: PaperSize::Letter,
    }
}

fn page() -> ReportPage {
    let section = Section {
        heading: HOSTILE.to_owned(),
        paragraphs: vec![HOSTILE.to_owned()],
        table: Some((vec!["a".to_owned(), "b".to_owned()], vec![vec![HOSTILE.to_owned()]])),
        preformatted: Some("##..\n  x".to_owned()),
    };
    let (title, subtitle) = (HOSTILE.to_owned(), HOSTILE.to_owned());
    ReportPage { title, subtitle, sections: vec![section], footer: HOSTILE.to_owned(), size: PaperSize::A4 }
}

#[test]
fn whatever_is_typed_stays_text() {
    for page in [labels(&sheet(3), PaperSize::A4), score_sheet(&score(false)), report(&page())] {
        let text = text_of(&page);
        assert!(!page.contains("<script") && text.contains("&lt;script&gt;"), "{page}");
        assert!(!page.contains(['\u{202e}', '\u{7}']) && page.contains('\u{fffd}'), "{page}");
        assert!(page.contains("default-src 'none'"), "nothing is fetched");
        assert!(
            !page.contains("http://") || page.matches("http://").count() == page.matches("xmlns=").count()
        );
    }
}

#[test]
fn labels_fill_sheets_of_either_paper_and_each_has_its_code_once() {
    let pages = |count: usize, size| labels(&sheet(count), size).matches("class=\"sheet\"").count();
    assert_eq!((pages(24, PaperSize::A4), pages(25, PaperSize::A4)), (1, 2));
    assert_eq!((pages(21, PaperSize::Letter), pages(22, PaperSize::Letter)), (1, 2));
    let page = labels(&sheet(25), PaperSize::A4);
    for at in [1, 13, 25] {
        assert_eq!(page.matches(&format!(">M1-P{at}<b>")).count(), 1, "P{at}");
    }
    assert_eq!(page.matches("<svg role=\"img\" aria-label=\"QR code of M1-P").count(), 25);
    assert!(text_of(&labels(&sheet(0), PaperSize::A4)).contains("No labels."));
}

#[test]
fn a_blind_sheet_has_no_treatment() {
    assert!(score_sheet(&score(false)).contains("the secret dip"));
    let blind = score_sheet(&score(true));
    assert!(!blind.contains("the secret dip") && blind.contains("Scored blind"));
    assert!(blind.contains("@page{size:letter"));
    let empty = ScoreSheet { rows: Vec::new(), ..score(true) };
    assert!(text_of(&score_sheet(&empty)).contains("Nothing to score."));
}

#[test]
fn rows_of_a_report_have_as_many_cells_as_headings() {
    let page = report(&page());
    assert_eq!((page.matches("<th>").count(), page.matches("<td>").count()), (2, 2));
    assert!(page.contains("<pre>##..\n  x</pre>"), "blanks of a picture are kept");
}

#[test]
fn the_bench_map_is_a_picture_with_a_title_and_patterns() {
    use crate::paper::layout::{LayoutRequest, ReplicateSpec, lay_out};
    let spec = |at: u8| ReplicateSpec {
        code: format!("P{at}"),
        arm: at % 2 + 1,
        block: Some(at / 2),
        stock_plant: None,
    };
    let layout = lay_out(&LayoutRequest {
        seed: 7,
        replicates: (0..6).map(spec).collect(),
        columns: 4,
        is_blocked: true,
    });
    let names: Vec<String> =
        ["P1", "P2", "P3", "P4", "P5"].map(str::to_owned).into_iter().chain([HOSTILE.to_owned()]).collect();
    let map = bench_map(&layout, &names);
    let text = text_of(&map);
    assert!(
        text.contains("Bench map: 6 replicates on 2 rows of 4 places, 3 blocks told apart by pattern"),
        "{text}"
    );
    assert!(map.contains("url(#bench-1)") && map.contains("stroke-dasharray"), "{map}");
    assert!(text.contains("P3") && !map.contains("<script"));
}
