use axum::http::{HeaderMap, StatusCode, header};

use super::*;
use crate::web::fixtures::{HOST, LAN, Stage, instant, text};

fn policy(headers: &HeaderMap) -> &str {
    headers.get(header::CONTENT_SECURITY_POLICY).expect("a policy").to_str().expect("text")
}

#[tokio::test]
async fn a_stranger_sees_nothing_of_any_room() {
    let stage = Stage::new(Side::Loopback);
    for path in ["/", "/today", "/bench", "/bench/trial/M1", "/share/phones", "/no/such/room"] {
        let response = stage.get(path, &[("host", HOST)]).await;
        assert_eq!(response.status(), StatusCode::FORBIDDEN, "{path}");
        let wrong = stage.get(path, &[("host", HOST), ("cookie", "propagule-48621=00")]).await;
        assert_eq!(wrong.status(), StatusCode::FORBIDDEN, "{path}");
    }
}

#[tokio::test]
async fn the_one_time_address_lets_one_browser_in() {
    let stage = Stage::new(Side::Loopback);
    let address = stage.web.doors.one_time_address(HOST.parse().expect("an address"));
    let path = address.strip_prefix("http://127.0.0.1:48621").expect("the page's own").to_owned();
    let first = stage.get(&path, &[("host", HOST)]).await;
    assert_eq!(first.status(), StatusCode::OK);
    let cookie =
        first.headers().get(header::SET_COOKIE).expect("a cookie").to_str().expect("text").to_owned();
    assert!(cookie.contains("HttpOnly") && cookie.contains("SameSite=Strict"), "{cookie}");
    let session = cookie.split(';').next().expect("a first part");
    assert_eq!(stage.get("/today", &[("host", HOST), ("cookie", session)]).await.status(), StatusCode::OK);
    assert_eq!(stage.get(&path, &[("host", HOST)]).await.status(), StatusCode::FORBIDDEN);
    assert_ne!(address, stage.web.doors.one_time_address(HOST.parse().expect("an address")));
}

#[tokio::test]
async fn a_foreign_host_is_turned_away_even_with_the_cookie() {
    let stage = Stage::new(Side::Loopback);
    let cookie = stage.cookie(&stage.come_in());
    for host in ["evil.example", "127.0.0.1", "127.0.0.1:1", "127.0.0.1:48621.evil.example", ""] {
        let response = stage.get("/today", &[("host", host), ("cookie", &cookie)]).await;
        assert_eq!(response.status(), StatusCode::MISDIRECTED_REQUEST, "{host}");
    }
    let without = stage.get("/today", &[("cookie", &cookie)]).await;
    assert_eq!(without.status(), StatusCode::MISDIRECTED_REQUEST);
}

#[tokio::test]
async fn writing_needs_origin_and_token() {
    let stage = Stage::new(Side::Loopback);
    let session = stage.come_in();
    let cookie = stage.cookie(&session);
    let token = format!("token={}", session.token);
    let own = "http://127.0.0.1:48621";
    for origin in
        ["http://evil.example", "null", "https://127.0.0.1:48621", "http://127.0.0.1:48621.evil.example"]
    {
        let headers = [("host", HOST), ("cookie", cookie.as_str()), ("origin", origin)];
        assert_eq!(
            stage.post("/share/phones/code", &headers, &token).await.status(),
            StatusCode::FORBIDDEN,
            "{origin}"
        );
    }
    let without = [("host", HOST), ("cookie", cookie.as_str())];
    assert_eq!(stage.post("/share/phones/code", &without, &token).await.status(), StatusCode::FORBIDDEN);
    let with = [("host", HOST), ("cookie", cookie.as_str()), ("origin", own)];
    for body in ["", "token=", "token=00000000000000000000000000000000", "other=1"] {
        assert_eq!(
            stage.post("/share/phones/code", &with, body).await.status(),
            StatusCode::FORBIDDEN,
            "{body}"
        );
    }
    assert!(stage.web.doors.code(stage.web.app.clock().now()).is_none(), "nothing was done");
    assert_eq!(stage.post("/share/phones/code", &with, &token).await.status(), StatusCode::SEE_OTHER);
    assert!(stage.web.doors.code(stage.web.app.clock().now()).is_some());
}

#[tokio::test]
async fn every_answer_keeps_the_browser_strict() {
    let stage = Stage::new(Side::Loopback);
    let cookie = stage.cookie(&stage.come_in());
    for (path, host) in [("/today", HOST), ("/no/such", HOST), ("/today", "evil.example")] {
        let response = stage.get(path, &[("host", host), ("cookie", &cookie)]).await;
        let policy = policy(response.headers());
        for part in ["default-src 'none'", "frame-ancestors 'none'", "base-uri 'none'", "form-action 'self'"]
        {
            assert!(policy.contains(part), "{path}: {policy}");
        }
        assert!(!policy.contains("unsafe"), "{policy}");
        assert_eq!(response.headers()[header::REFERRER_POLICY], "same-origin");
        assert_eq!(response.headers()[header::X_CONTENT_TYPE_OPTIONS], "nosniff");
    }
}

#[tokio::test]
async fn a_phone_sees_bench_and_today_only() {
    let stage = Stage::new(Side::Lan);
    let now = stage.web.app.clock().now();
    let desk = stage.come_in();
    let code = stage.web.doors.new_code(now).expect("random numbers").code;
    let phone = stage.web.doors.pair(&code, now).expect("random numbers").expect("the code is right");
    let cookie = stage.cookie(&phone);
    for (path, status) in [
        ("/today", StatusCode::OK),
        ("/bench", StatusCode::OK),
        ("/share/phones", StatusCode::NOT_FOUND),
        ("/share/publish", StatusCode::NOT_FOUND),
        ("/share/publish/place", StatusCode::NOT_FOUND),
        ("/works/many", StatusCode::NOT_FOUND),
    ] {
        assert_eq!(stage.get(path, &[("host", LAN), ("cookie", &cookie)]).await.status(), status, "{path}");
    }
    let page = text(stage.get("/today", &[("host", LAN), ("cookie", &cookie)]).await).await;
    assert!(page.contains("not encrypted") && !page.contains("/share/publish"), "{page}");
    // The computer's own cookie opens nothing here, and its one-time address does not exist.
    let desk = stage.cookie(&desk);
    assert_eq!(
        stage.get("/today", &[("host", LAN), ("cookie", &desk)]).await.status(),
        StatusCode::FORBIDDEN
    );
    stage.web.doors.shut_out(None);
    assert_eq!(
        stage.get("/today", &[("host", LAN), ("cookie", &cookie)]).await.status(),
        StatusCode::FORBIDDEN
    );
}

#[test]
fn a_code_is_good_once_for_five_minutes_and_five_tries() {
    let doors = Doors::new(None).expect("random numbers");
    let now = instant("2026-11-26T10:00:00Z");
    let pair = |typed: &str, at: &str| doors.pair(typed, instant(at)).expect("random numbers").is_some();
    let code = || doors.new_code(now).expect("random numbers").code;
    let once = code();
    assert_eq!(once.len(), 8);
    let as_typed = format!("{}-{}", &once[..4].to_lowercase(), &once[4..].to_lowercase());
    assert!(pair(&as_typed, "2026-11-26T10:04:59Z"), "spelt as people type");
    assert!(!pair(&once, "2026-11-26T10:04:59Z"), "used");
    let old = code();
    assert!(!pair(&old, "2026-11-26T10:05:00Z"), "too old");
    let tried = code();
    for _ in 0..4 {
        assert!(!pair("WRONGONE", "2026-11-26T10:00:01Z"));
    }
    assert!(pair(&tried, "2026-11-26T10:00:02Z"), "the fifth try");
    let spent = code();
    for _ in 0..5 {
        assert!(!pair("WRONGONE", "2026-11-26T10:00:01Z"));
    }
    assert!(!pair(&spent, "2026-11-26T10:00:02Z"), "tried too often");
    let replaced = code();
    let _ = code();
    assert!(!pair(&replaced, "2026-11-26T10:00:02Z"), "another code was made");
}

#[test]
fn one_phone_can_be_shut_out() {
    let doors = Doors::new(None).expect("random numbers");
    let now = instant("2026-11-26T10:00:00Z");
    let phone = || {
        let code = doors.new_code(now).expect("random numbers").code;
        doors.pair(&code, now).expect("random numbers").expect("the code is right")
    };
    let (one, other) = (phone(), phone());
    let numbers: Vec<u32> = doors.phones().iter().map(|phone| phone.number).collect();
    doors.shut_out(Some(numbers[0]));
    assert!(doors.session(&one.id).is_none() && doors.session(&other.id).is_some());
}
