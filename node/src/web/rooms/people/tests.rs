//! The room: before there is anything, with growers enough for a circle, and a vouch that is asked for twice.

use axum::http::StatusCode;

use crate::fixtures::key;
use crate::web::reader::{Reader, trial};

#[tokio::test]
async fn a_node_at_rest_says_what_it_holds_and_hides_vouching() {
    let reader = Reader::new();
    reader.hold([trial(1, 1, &[(24, 6)], |_| {})]);
    let page = reader.page("/share/people").await;
    assert!(page.contains("Not on the network"), "{page}");
    assert!(page.contains("Results of 1 grower are held here, and all count alike."), "{page}");
    assert!(!page.contains("Trust at home") && !page.contains("Vouch"), "{page}");
    assert!(page.contains("Refused since the start") && page.contains("of at most 2.1 GB"), "{page}");
    assert!(page.contains("Ignore a grower"), "{page}");
}

#[tokio::test]
async fn refused_records_are_counted_with_their_reasons() {
    let reader = Reader::new();
    reader.stage.web.app.gate().refuse("a <b>reason</b>");
    let page = reader.page("/share/people").await;
    assert!(page.contains("1: a &lt;b&gt;reason&lt;/b&gt;") && !page.contains("<b>reason"), "{page}");
}

#[tokio::test]
async fn with_twenty_growers_a_vouch_says_first_what_it_publishes() {
    let reader = Reader::new();
    reader.hold((1..=20).map(|author| trial(author, u32::from(author), &[(24, 6)], |_| {})));
    let page = reader.page("/share/people").await;
    assert!(page.contains("Trust at home") && page.contains("A vouch is published"), "{page}");
    let subject = key(3).author().to_string();
    let fields = [("grower", subject.as_str()), ("name", "Vera"), ("what", "vouch")];
    let (status, asked) = reader.post("/share/people/grower", &fields).await;
    assert_eq!(status, StatusCode::OK);
    assert!(
        asked.contains("A vouch publishes a link between two people.") && asked.contains(&subject),
        "{asked}"
    );
    assert!(reader.page("/share/people").await.contains("You have not chosen any growers to trust yet"));
    let (status, _) =
        reader.post("/share/people/grower", &[fields[0], fields[1], fields[2], ("yes", "yes")]).await;
    assert_eq!(status, StatusCode::SEE_OTHER);
    let page = reader.page("/share/people").await;
    assert!(page.contains("You vouch for this grower") && page.contains("Vera"), "{page}");
    let (status, _) = reader.post("/share/people/grower", &[("grower", &subject), ("what", "unvouch")]).await;
    assert_eq!(status, StatusCode::SEE_OTHER);
    assert!(!reader.page("/share/people").await.contains("You vouch for this grower"));
}

#[tokio::test]
async fn muted_growers_are_named_and_can_be_heard_again() {
    let reader = Reader::new();
    reader.hold([trial(1, 1, &[(24, 6)], |_| {}), trial(2, 2, &[(24, 9)], |_| {})]);
    let subject = key(2).author().to_string();
    reader.post("/share/people/grower", &[("grower", &subject), ("what", "mute")]).await;
    assert!(reader.page("/share/people").await.contains("none of their results count here"));
    assert!(reader.page("/works?species=Morus+nigra").await.contains("6 of 24"));
    reader.post("/share/people/grower", &[("grower", &subject), ("what", "unmute")]).await;
    assert!(reader.page("/works?species=Morus+nigra").await.contains("15 of 48"));
}

#[tokio::test]
async fn what_cannot_be_done_is_said_at_its_field() {
    let reader = Reader::new();
    let (status, page) = reader.post("/share/people/peer", &[("address", "<script>")]).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.contains("id=\"peer-address-wrong\"") && page.contains("&lt;script&gt;"), "{page}");
    let (status, page) = reader.post("/share/people/grower", &[("grower", "nobody"), ("what", "mute")]).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.contains("id=\"mute-grower-wrong\""), "{page}");
    let (status, _) = reader.post("/share/people/grower", &[("grower", "nobody"), ("what", "")]).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    let (status, _) = reader.get("/share/people/invite").await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
}
