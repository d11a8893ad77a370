use axum::body::{Body, Bytes};
use axum::http::{Request, StatusCode, header};
use futures::stream;
use std::convert::Infallible;
use std::time::Duration;

use super::Side;
use super::body::{Allowance, PATIENCE, Patience, Uploads, allowance, read};
use crate::web::fixtures::{HOST, LAN, Stage};

const OWN: &str = "http://127.0.0.1:48621";
/// No time but what the bytes themselves earn.
const HASTE: Patience =
    Patience { start: Duration::from_millis(10), bytes_a_second: 4 << 10, all: Duration::from_secs(30) };

/// A body that must not be touched.
fn unread() -> Body {
    Body::from_stream(stream::poll_fn(|_| -> std::task::Poll<Option<Result<Bytes, Infallible>>> {
        panic!("a body was read before its sender was let in")
    }))
}

/// A body that stays out after what came of it.
fn stalled(first: &'static [u8]) -> Body {
    use futures::StreamExt;
    let first = stream::iter([Ok::<_, Infallible>(Bytes::from_static(first))]);
    Body::from_stream(first.chain(stream::pending()))
}

fn post(path: &str, headers: &[(&str, &str)], length: Option<usize>, body: Body) -> Request<Body> {
    let mut request = Request::post(path).header("content-type", "application/x-www-form-urlencoded");
    for (name, value) in headers {
        request = request.header(*name, *value);
    }
    if let Some(length) = length {
        request = request.header(header::CONTENT_LENGTH, length);
    }
    request.body(body).expect("a request")
}

#[tokio::test]
async fn nothing_of_a_body_is_read_before_its_sender_and_its_length_are_judged() {
    let (stage, phones) = (Stage::new(Side::Loopback), Stage::new(Side::Lan));
    let cookie = stage.cookie(&stage.come_in());
    let inside = [("host", HOST), ("origin", OWN), ("cookie", cookie.as_str())];
    let outside = &inside[..2];
    let lan_origin = format!("http://{LAN}");
    let phone = [("host", LAN), ("origin", lan_origin.as_str())];
    let cases = [
        (&stage, "/bench/trial/new", outside, Some(10), StatusCode::FORBIDDEN),
        (&stage, "/bench/trial/new", &inside[..1], Some(10), StatusCode::FORBIDDEN),
        (&stage, "/bench/trial/new", &inside[..], Some((256 << 10) + 1), StatusCode::PAYLOAD_TOO_LARGE),
        (&stage, "/bench/import", &inside[..], Some((16 << 20) + 1), StatusCode::PAYLOAD_TOO_LARGE),
        (&phones, "/pair", &phone[..], Some((4 << 10) + 1), StatusCode::PAYLOAD_TOO_LARGE),
        (&phones, "/pair", &phone[..], None, StatusCode::LENGTH_REQUIRED),
    ];
    for (stage, path, headers, length, status) in cases {
        let response = stage.ask(post(path, headers, length, unread())).await;
        assert_eq!(response.status(), status, "{path} {length:?}");
        assert_eq!(response.headers()[header::CONNECTION], "close", "{path} {length:?}");
    }
}

#[tokio::test]
async fn a_body_that_is_longer_than_it_may_be_is_not_read_to_its_end() {
    let stage = Stage::new(Side::Loopback);
    let session = stage.come_in();
    let headers = axum::http::HeaderMap::new();
    let allowed =
        allowance(&headers, "/today", Some(&session), &Uploads::default()).expect("no length is stated");
    let parts = stream::repeat_with(|| Ok::<_, Infallible>(Bytes::from_static(&[b'x'; 1024])));
    let turned = read(Body::from_stream(parts), &allowed, &PATIENCE).await.expect_err("it has no end");
    assert!(format!("{turned:?}").contains("page-form-too-large"), "{turned:?}");
}

#[tokio::test]
async fn a_body_that_does_not_go_on_is_not_waited_for() {
    let stage = Stage::new(Side::Loopback);
    let session = stage.come_in();
    let allowed: Allowance =
        allowance(&axum::http::HeaderMap::new(), "/today", Some(&session), &Uploads::default())
            .expect("a form");
    let turned = read(stalled(b"code=M1"), &allowed, &HASTE).await.expect_err("it stays out");
    assert!(format!("{turned:?}").contains("page-body-too-slow"), "{turned:?}");
}

#[test]
fn two_files_are_read_at_a_time_and_one_of_a_browser() {
    let stage = Stage::new(Side::Loopback);
    let (one, other, third) = (stage.come_in(), stage.come_in(), stage.come_in());
    let (headers, uploads) = (axum::http::HeaderMap::new(), Uploads::default());
    let begin = |session| allowance(&headers, "/bench/import", Some(session), &uploads);
    let first = begin(&one).expect("nobody else");
    assert!(begin(&one).is_err(), "a browser sends one");
    let second = begin(&other).expect("a second place");
    assert!(begin(&third).is_err(), "two are read");
    assert!(allowance(&headers, "/today", Some(&one), &uploads).is_ok(), "a form is no file");
    drop(first);
    let third = begin(&third).expect("a place again");
    drop((second, third));
}
