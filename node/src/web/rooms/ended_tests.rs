//! Forms for trials that are over or private, for everything on a spot, and how much Today says. All trials invented.

use std::fmt::Write;

use axum::http::StatusCode;

use super::tests::Grower;
use propagule_app::{Request, handle};

#[tokio::test]
async fn a_trial_is_closed_with_the_fate_of_its_pieces_and_reopened() {
    let grower = Grower::new();
    grower.trial().await;
    let (status, page) =
        grower.post("/bench/trial/T1/close", &[("what", "close"), ("because", "given-up")]).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.contains("20 alive"), "{page}");
    let fields = [("what", "close"), ("because", "given-up"), ("rest", "dead")];
    let shown = grower.saved("/bench/trial/T1/close", &fields).await;
    let page = grower.get(&shown).await.1;
    assert!(page.contains("closed (given up); the rest:"), "{page}");
    assert!(!grower.get("/today").await.1.contains(">T1</span>"), "nothing is due there any more");
    let shown = grower.saved("/bench/trial/T1/close", &[("what", "reopen")]).await;
    assert!(grower.get(&shown).await.1.contains("Reopened."));
}

#[tokio::test]
async fn a_private_trial_is_not_offered_for_publishing() {
    let grower = Grower::new();
    grower.trial().await;
    assert!(grower.get("/bench/trial/T1").await.1.contains("/share/publish/T1"));
    assert!(grower.get("/share/publish").await.1.contains("/share/publish/T1"));
    grower.saved("/bench/trial/T1/private", &[("private", "yes")]).await;
    assert!(!grower.get("/bench/trial/T1").await.1.contains("/share/publish/T1"));
    assert!(!grower.get("/share/publish").await.1.contains("/share/publish/T1"));
    grower.saved("/bench/trial/T1/private", &[("private", "no")]).await;
    assert!(grower.get("/share/publish").await.1.contains("/share/publish/T1"));
}

/// What stands between two texts.
fn between<'a>(text: &'a str, from: &str, to: &str) -> &'a str {
    text.split_once(from).and_then(|(_, rest)| rest.split_once(to)).map_or("", |(inner, _)| inner)
}

#[tokio::test]
async fn one_tap_says_that_all_on_a_spot_was_looked_at_and_one_takes_it_back() {
    let grower = Grower::new();
    grower.trial().await;
    let spot = grower.saved("/bench/spots", &[("name", "mist house")]).await;
    assert!(!grower.get(&spot).await.1.contains("ooked at, no change"), "nothing stands there");
    grower.saved(&format!("{spot}/stand"), &[("what", "stand"), ("lots", "T1"), ("on", "2026-06-06")]).await;
    assert!(grower.get(&spot).await.1.contains("Looked at, no change"));
    let said = grower.saved(&format!("{spot}/looked"), &[]).await;
    assert!(grower.get(&said).await.1.contains("no change. 1 entry saved."));
    assert!(grower.saved(&format!("{spot}/looked"), &[]).await.ends_with("?looked=already"));
    let looks = said.split("looked=").nth(1).expect("numbers").to_owned();
    grower.saved(&format!("{spot}/unlooked"), &[("looks", looks.as_str())]).await;
    // The button of Today looks at what is due there, and goes back to Today, which undoes it as well.
    let said = grower.saved(&format!("{spot}/looked"), &[("only", "T1 T2"), ("back", "today")]).await;
    assert!(said.starts_with("/today?looked=") && said.ends_with("&spot=mist%20house"), "{said}");
    let page = grower.get(&said).await.1;
    assert!(
        page.contains("mist house: all looked at, no change. 1 entry saved.") && page.contains("Undo"),
        "{page}"
    );
    let looks = between(&said, "looked=", "&");
    let undone = grower.saved(&format!("{spot}/unlooked"), &[("looks", looks), ("back", "today")]).await;
    assert!(grower.get(&undone).await.1.contains("Undone."));
    let (status, _) = grower.post(&format!("{spot}/looked"), &[("only", "T2"), ("back", "today")]).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "nothing of that name stands there");
    assert!(grower.get("/bench/trial/T1/history").await.1.contains("the"));
}

#[tokio::test]
async fn today_reminds_of_an_archive_from_ten_entries_on_until_one_is_made() {
    let grower = Grower::new();
    grower.trial().await;
    let command = "export bench-";
    for entry in 0..10 {
        assert!(!grower.get("/today").await.1.contains(command), "after {entry} entries");
        let text = format!("note {entry}");
        grower.saved("/bench/trial/T1/note", &[("note", text.as_str()), ("on", "2026-06-06")]).await;
    }
    let page = grower.get("/today").await.1;
    assert!(page.contains("No archive yet") && page.contains(command), "{page}");
    let app = std::sync::Arc::clone(&grower.stage.web.app);
    handle(app, Request::ArchiveWritten).await.expect("is remembered");
    assert!(!grower.get("/today").await.1.contains(command));
}

#[tokio::test]
async fn today_stays_short_where_ten_years_of_lots_were_never_touched() {
    let grower = Grower::new();
    let mut table = "trial,species,started,started_on\n".to_owned();
    for lot in 0..600 {
        // Sixty a year; those of the last year fall due around the day of these tests.
        let (year, day) = (2017 + lot / 60, 1 + lot % 24);
        let _ = writeln!(table, "L{lot},Cornus mas,12,{year}-11-{day:02}");
    }
    let options = propagule_app::tables::Options::default();
    let table = propagule_app::Table::new("lots.csv", table.as_bytes(), options, true);
    let request = Request::TrialImport(Box::new(table));
    let app = std::sync::Arc::clone(&grower.stage.web.app);
    handle(app, request).await.expect("the table is read");
    let (status, page) = grower.get("/today").await;
    assert_eq!(status, StatusCode::OK);
    assert!(page.len() <= 30 * 1024, "{} bytes", page.len());
    assert!(page.contains("of 2025"), "older years sleep: {page}");
    assert!(grower.get("/today?all=yes").await.1.len() > page.len());
}
