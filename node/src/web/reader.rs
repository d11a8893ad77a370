//! Somebody at the desk who reads, with records of others held at home; for tests.

use std::sync::Arc;

use axum::http::StatusCode;
use propagule_protocol::{Arm, Body, Counts, Signed, StageCounts, Summary, sign};

use super::fixtures::{HOST, Stage, text};
use super::guard::Side;
use crate::fixtures::{key, network, summary};
use propagule_app as app;
use propagule_app::{Reply, Request};
use propagule_network::store::Arrival;

/// A browser that has come in.
pub(super) struct Reader {
    pub(super) stage: Stage,
    cookie: String,
    token: String,
}

impl Reader {
    pub(super) fn new() -> Self {
        let stage = Stage::new(Side::Loopback);
        let session = stage.come_in();
        Self { cookie: stage.cookie(&session), token: session.token.clone(), stage }
    }

    /// A page as status and text.
    pub(super) async fn get(&self, path: &str) -> (StatusCode, String) {
        let response = self.stage.get(path, &[("host", HOST), ("cookie", &self.cookie)]).await;
        (response.status(), text(response).await)
    }

    /// A page that is there.
    pub(super) async fn page(&self, path: &str) -> String {
        let (status, page) = self.get(path).await;
        assert_eq!(status, StatusCode::OK, "{path}: {page}");
        page
    }

    /// A form, with what the guard asks for.
    pub(super) async fn post(&self, path: &str, fields: &[(&str, &str)]) -> (StatusCode, String) {
        let mut body = form_urlencoded::Serializer::new(String::new());
        body.append_pair("token", &self.token).extend_pairs(fields);
        let origin = format!("http://{HOST}");
        let headers = [("host", HOST), ("cookie", self.cookie.as_str()), ("origin", origin.as_str())];
        let response = self.stage.post(path, &headers, &body.finish()).await;
        (response.status(), text(response).await)
    }

    /// Does what a command would do at this home.
    pub(super) fn app(&self) -> &Arc<app::App> {
        &self.stage.web.app
    }

    pub(super) async fn ask(&self, request: Request) -> Reply {
        app::handle(Arc::clone(&self.stage.web.app), request).await.expect("done")
    }

    /// Takes records of others in.
    pub(super) fn hold(&self, records: impl IntoIterator<Item = Signed>) {
        let arrivals: Vec<Arrival> = records
            .into_iter()
            .map(|signed| Arrival::Accepted { signed: Box::new(signed), own: None })
            .collect();
        for batch in arrivals.chunks(100) {
            self.stage.web.app.store().append(batch).expect("kept");
        }
    }
}

/// A summary of one grower with these arms as (put in, rooted at lift), signed by key `author`.
pub(super) fn trial(
    author: u8,
    series: u32,
    arms: &[(u16, u16)],
    change: impl FnOnce(&mut Summary),
) -> Signed {
    let mut body = summary(series, 0, 0);
    let usual = body.arms[0].clone();
    body.arms = arms.iter().zip(1..).map(|(counts, number)| lifted(&usual, number, *counts)).collect();
    change(&mut body);
    sign(&Body::Summary(body), &key(author), &network()).expect("a valid summary")
}

fn lifted(usual: &Arm, number: u8, (started, rooted): (u16, u16)) -> Arm {
    let lift = Counts {
        alive: Some(rooted),
        rooted: Some(rooted),
        dead: Some(started - rooted),
        lost: Some(0),
        ..Counts::default()
    };
    Arm {
        number,
        started,
        stages: StageCounts { lift: Some(lift), ..StageCounts::default() },
        ..usual.clone()
    }
}
