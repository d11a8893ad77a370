//! The room over records of others: nothing, one grower, all zeros, thousands, and names that mean harm.

use axum::http::StatusCode;
use propagule_protocol::Facet;

use crate::web::reader::{Reader, trial};
use propagule_answer::pool::{Beside, pool_beside};
use propagule_answer::question::{Given, PoolQuestion};

/// The longest page.
const LONGEST: usize = 100_000;

#[tokio::test]
async fn a_species_with_nothing_says_so_and_offers_names() {
    let reader = Reader::new();
    let empty = reader.page("/works").await;
    assert!(empty.contains("results here yet."), "{empty}");
    let page = reader.page("/works?species=Ostrava+tarda").await;
    assert!(page.contains("Nobody has reported Ostrava tarda here yet"), "{page}");
    assert!(page.contains("This computer holds no results at"), "{page}");
    assert!(!page.contains("class=\"figure forest\"") && !page.contains("--"), "{page}");
    let (status, page) = reader.get("/works?species=%3Cscript%3Ealert(1)%3C/script%3E").await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.contains("&lt;script&gt;alert(1)") && !page.contains("<script>alert"), "{page}");
}

#[tokio::test]
async fn a_common_name_and_a_slip_lead_to_the_species() {
    let reader = Reader::new();
    reader.hold([trial(1, 1, &[(24, 6)], |_| {})]);
    let held = reader.page("/works").await;
    assert!(
        held.contains("Plants with results here") && held.contains("href=\"/works?species=Morus%20nigra\""),
        "{held}"
    );
    let by_common = reader.page("/works?species=black+mulberry").await;
    assert!(by_common.contains("nigra</i>: rooted at the lift"), "{by_common}");
    assert!(by_common.contains("Found by \u{201c}black mulberry\u{201d}."), "{by_common}");
    let slip = reader.page("/works?species=Morsu+nigra").await;
    assert!(
        slip.contains("Nobody has reported Morsu nigra here yet")
            && slip.contains("Did you mean Morus nigra"),
        "{slip}"
    );
    assert!(slip.contains("href=\"/works?species=Morus%20nigra\""), "{slip}");
}

#[tokio::test]
async fn one_grower_is_a_count_and_no_average() {
    let reader = Reader::new();
    reader.hold([trial(1, 1, &[(24, 6)], |_| {})]);
    let page = reader.page("/works?species=Morus+nigra").await;
    assert!(page.contains("6 of 24 rooted (25%; 95% interval 12\u{2013}45%), from one grower."), "{page}");
    assert!(
        page.contains("95% interval of the count alone") && !page.contains("average across growers with its"),
        "{page}"
    );
    assert!(page.contains("class=\"ring\"") && page.contains("1 grower, 1 trial"), "{page}");
    let behind = reader.page("/works/behind?species=Morus+nigra").await;
    assert!(behind.contains("Nobody can be left out"), "{behind}");
}

#[tokio::test]
async fn all_zeros_lead_with_the_bound_and_draw_no_dot() {
    let reader = Reader::new();
    reader.hold((1..=3).map(|author| trial(author, u32::from(author), &[(14, 0)], |_| {})));
    let page = reader.page("/works?species=Morus+nigra").await;
    assert!(page.contains("of 42 rooted. The true rate could still be as high as about 7%:"), "{page}");
    assert!(page.contains("rests mostly on the model"), "{page}");
    assert!(page.contains("class=\"open\"") && !page.contains("<circle class=\"full\""), "{page}");
    assert!(page.contains("<strong>up to 6.9%</strong>"), "{page}");
}

#[tokio::test]
async fn several_growers_have_an_average_its_interval_and_a_range() {
    let reader = Reader::new();
    reader
        .hold((1..=6).map(|author| trial(author, u32::from(author), &[(24, 3 * u16::from(author))], |_| {})));
    let page = reader.page("/works?species=Morus+nigra").await;
    assert!(page.contains("On average across growers, about"), "{page}");
    let forest = page
        .split("class=\"figure forest\"")
        .nth(1)
        .and_then(|rest| rest.split("</details>").next())
        .expect("a plot");
    assert_eq!(forest.matches("<circle class=\"full\"").count(), 2, "one row and the legend: {forest}");
    assert!(
        forest.contains("63 of 144") && forest.contains("average across growers with its 95% interval"),
        "{forest}"
    );
    assert!(forest.contains("role=\"img\" aria-label=\""), "{forest}");
    let behind = reader.page("/works/behind?species=Morus+nigra").await;
    assert!(
        behind.contains("without ") && behind.contains("Typical grower by maximum likelihood"),
        "{behind}"
    );
}

#[tokio::test]
async fn names_that_mean_harm_are_shown_as_text_everywhere() {
    let reader = Reader::new();
    let harm = "<script>x()</script>\"'&=1";
    let named = |summary: &mut propagule_protocol::Summary| {
        summary.arms[0].facets.cultivar = Some(harm.to_owned());
    };
    reader.hold([trial(1, 1, &[(24, 6)], named), trial(2, 2, &[(24, 9)], |_| {})]);
    for path in [
        "/works?species=Morus+nigra&by=cultivar",
        "/works/trials?species=Morus+nigra&by=cultivar",
        "/works/behind?species=Morus+nigra&by=cultivar",
        "/works/many?species=Morus+nigra&by=cultivar",
    ] {
        let page = reader.page(path).await;
        assert!(!page.contains("<script>x()"), "{path}: {page}");
        assert!(page.contains("&lt;script&gt;x()&lt;/script&gt;"), "{path}: {page}");
    }
    let filtered = format!("/works?species=Morus+nigra&has_cultivar={}", crate::web::link::part(harm));
    let page = reader.page(&filtered).await;
    assert!(page.contains("6 of 24") && !page.contains("<script>x()"), "{page}");
    let json = reader.page("/works/answer.json?species=Morus+nigra&by=cultivar").await;
    let value: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    let methods = value["methods"].as_array().expect("methods");
    assert!(methods.iter().any(|method| method["facets"]["cultivar"] == harm), "{json}");
}

#[tokio::test]
async fn the_table_of_counts_gives_the_same_figures_when_read_back() {
    let reader = Reader::new();
    reader
        .hold((1..=4).map(|author| trial(author, u32::from(author), &[(24, 2 * u16::from(author))], |_| {})));
    let csv = reader.page("/works/evidence.csv?species=Morus+nigra").await;
    assert!(csv.starts_with("grower,trial,arm,method,medium,region,stuck,rooted,species,"), "{csv}");
    let table =
        propagule_evidence::csv::read_evidence("evidence.csv", csv.as_bytes()).expect("a table of ours");
    let evidence =
        table.select(Some("Morus nigra"), propagule_evidence::Question::default()).expect("the species");
    let beside = Beside { given: Given::file(), ..Beside::default() };
    let question = PoolQuestion::about("Morus nigra");
    let from_file = pool_beside(&evidence, &beside, &question).expect("an answer");
    let json = reader.page("/works/answer.json?species=Morus+nigra").await;
    let shown: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    assert_eq!(from_file.methods.len(), 1);
    assert_eq!(shown["methods"][0]["method"], from_file.methods[0].method.as_str());
    let close = |name: &str, value: f64| {
        let there = shown["methods"][0][name].as_f64().expect("a number");
        assert!((there - value).abs() < 1e-12, "{name}: {there} and {value}");
    };
    close("average_grower_rate_mean", from_file.methods[0].fit.average_grower_rate_mean);
    close("tau_mean", from_file.methods[0].fit.tau_mean);
}

#[tokio::test]
async fn words_of_no_form_and_pages_beyond_the_end_do_no_harm() {
    let reader = Reader::new();
    reader.hold([trial(1, 1, &[(24, 6)], |_| {})]);
    let (status, page) = reader.get("/works?species=Morus+nigra&stage=%3Cb%3E").await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.contains("&lt;b&gt;") && !page.contains("<b>"), "{page}");
    let page = reader.page("/works/trials?species=Morus+nigra&page=18446744073709551615").await;
    assert!(page.contains("1 trial"), "{page}");
}

/// The same question of each of many methods, and more of them than a plot has rows.
fn many(number: u32, author: u8) -> propagule_protocol::Signed {
    trial(author, number, &[(24, (number % 13) as u16)], |summary| {
        let humidity = ["open", "dome", "fog"][number as usize % 3];
        let facets = &mut summary.arms[0].facets;
        facets.set(Facet::Medium, "perlite").expect("a word");
        facets.set(Facet::Humidity, humidity).expect("a word");
        facets.cultivar = Some(format!("Invented cultivar number {:02}", number % 45));
    })
}

#[tokio::test]
async fn two_thousand_trials_stay_within_the_page() {
    let reader = Reader::new();
    reader.hold((0..2_000_u32).map(|number| many(number, (number % 200 + 1) as u8)));
    let query = "species=Morus+nigra&by=cultivar";
    let page = reader.page(&format!("/works?{query}")).await;
    assert!(page.len() <= LONGEST, "{} bytes", page.len());
    assert_eq!(page.matches("<div class=\"what\">").count(), 41, "40 rows and the scale");
    assert!(page.contains("in all. The methods differ, so there is no"), "{page}");
    let trials = reader.page(&format!("/works/trials?{query}&page=40")).await;
    assert!(trials.len() <= LONGEST, "{} bytes", trials.len());
    assert_eq!(trials.matches(" <span class=\"soft\">trial ").count(), 50, "{trials}");
}

#[tokio::test]
async fn what_stands_behind_many_methods_stays_within_the_page() {
    let reader = Reader::new();
    reader.hold((0..90_u32).map(|number| many(number, (number / 45 + 1) as u8)));
    let page = reader.page("/works/behind?species=Morus+nigra&by=cultivar").await;
    assert!(page.len() <= LONGEST, "{} bytes", page.len());
    assert!(page.contains("more methods in the file of the answer") && page.contains("without "), "{page}");
}

#[tokio::test]
async fn print_answers_where_nobody_reported_and_is_folded_under_a_growers_answer() {
    let reader = Reader::new();
    let alone = reader.page("/works?species=Juglans+regia").await;
    assert!(alone.contains("No grower has reported Juglans regia yet."), "{alone}");
    assert!(alone.contains("28 of 30 took, 93%") && alone.contains("Set up a trial of it"), "{alone}");
    assert!(!alone.contains("Did you mean") && !alone.contains("not counted above"), "{alone}");
    assert!(alone.contains("<summary>Sources in full</summary>") && alone.contains("Khajeali"), "{alone}");
    let walnut = |summary: &mut propagule_protocol::Summary| {
        summary.taxon = propagule_protocol::Taxon::parse("Juglans regia").expect("a name");
    };
    reader.hold([trial(1, 1, &[(24, 6)], walnut)]);
    let beside = reader.page("/works?species=Juglans+regia").await;
    assert!(beside.contains("of 24 rooted (25%;"), "{beside}");
    assert!(beside.contains("<summary>1 printed source, not counted above</summary>"), "{beside}");
    let (before, _) = beside.split_once("1 printed source, not counted above").expect("a fold");
    assert!(before.ends_with("<details><summary>"), "closed at first: {}", &before[before.len() - 80..]);
    assert!(!before.contains("28 of 30"), "{before}");
}
