//! Every page that shows a trial, for one trial of each kind, read for the words of the others.

#[path = "../../../tests/cli/kinds/lives.rs"]
#[expect(dead_code, reason = "the test of the commands reads more of a life")]
mod lives;

use std::sync::Arc;

use axum::http::StatusCode;
use lives::{LIVES, Life, foreign, visible};

use super::tests::Grower;
use crate::grammar::arm;
use crate::web::fixtures;
use propagule_app as app;
use propagule_app::viewed;
use propagule_app::{BenchRequest, Common, Enter, Hearing, NewTrial, Request, Stick};
use propagule_bench::dates::When;
use propagule_bench::doing::Doing;
use propagule_bench::locale::Dialect;
use propagule_bench::{Stage, StartedKnown};

/// A trial that is set up, in the English of the tests.
const HEARD: Hearing = Hearing { what: Doing::SettingUp, dialect: Dialect::Uk };

/// The fixed day of these pages lies behind the last of them.
const DAYS: [&str; 4] = ["2026-08-29", "2026-09-20", "2026-10-20", "2026-11-20"];

fn day(text: &str) -> When {
    When::day(text.parse().expect("a day"))
}

async fn bench(grower: &Grower, request: BenchRequest) {
    let request = Request::Bench(Box::new(request));
    app::handle(Arc::clone(&grower.stage.web.app), request).await.expect("it can be done");
}

async fn set_up(grower: &Grower, life: &Life) {
    let arms = ["A: cultivar=one; pots=2; pieces=4", "B: cultivar=two; pots=2; pieces=4"];
    let new = NewTrial {
        common: arm::facts(HEARD, &format!("kind={}; {}", life.kind, life.with)).expect("readable"),
        arms: arms.map(|text| arm::arm(HEARD, text).expect("readable")).into(),
        question: Some("Which is better?".to_owned()),
        lift_on: Some(day(DAYS[0])),
        rooted_rule: Some("as usual".to_owned()),
        ..NewTrial::lot("K1", "Lumetta rosea", day("2026-06-06"))
    };
    bench(grower, BenchRequest::New(new)).await;
}

async fn count(grower: &Grower, stage: Option<Stage>, on: &str, counts: &[&str]) {
    let enter = Enter {
        trial: "K1".to_owned(),
        stage,
        counts: fixtures::counts(&grower.stage.web.app, "K1", stage, counts).await,
        rest: None,
        is_blind: false,
        common: Common::on(day(on)),
    };
    bench(grower, BenchRequest::Enter(enter)).await;
}

/// What is on pages, with the page's name.
struct Seen<'a> {
    life: &'a Life,
    found: Vec<String>,
}

impl Seen<'_> {
    fn read(&mut self, name: &str, page: &str) {
        let text = visible(page);
        let found = foreign(&text, self.life);
        self.found.extend(found.map(|(word, line)| format!("{}, {name}: {word}: {line}", self.life.kind)));
    }

    async fn look(&mut self, grower: &Grower, paths: &[&str]) {
        for path in paths {
            let (status, page) = grower.get(path).await;
            assert_eq!(status, StatusCode::OK, "{path}: {page}");
            self.read(path, &page);
        }
    }

    async fn refused(&mut self, grower: &Grower, path: &str, fields: &[(&str, &str)]) {
        let (status, page) = grower.post(path, fields).await;
        assert!(status != StatusCode::SEE_OTHER, "{path} was taken");
        self.read(path, &page);
    }
}

const EVERYWHERE: [&str; 8] = [
    "/today",
    "/today?all=yes",
    "/bench",
    "/bench/trial/K1",
    "/bench/trial/K1/history",
    "/bench/trial/K1/describe",
    "/bench/trial/K1/private",
    "/bench/trial/K1/note",
];
const ONCE_PUT_IN: [&str; 16] = [
    "/bench/trial/K1/count/check",
    "/bench/trial/K1/count/lift",
    "/bench/trial/K1/count/season",
    "/bench/trial/K1/count/spring",
    "/bench/trial/K1/count/final",
    "/bench/trial/K1/sheet/check",
    "/bench/trial/K1/sheet/lift",
    "/bench/trial/K1/sheet/season",
    "/bench/trial/K1/sheet/spring",
    "/bench/trial/K1/sheet/final",
    "/bench/trial/K1/close",
    "/bench/trial/K1/move",
    "/bench/trial/K1/paper/labels",
    "/bench/trial/K1/paper/sheet",
    "/bench/trial/K1/paper/report",
    "/share/publish/K1",
];

/// Saved, the page that says so is read; and what stands in the way of a count.
async fn typed(seen: &mut Seen<'_>, grower: &Grower) {
    let slips: [(&str, &[(&str, &str)]); 4] = [
        ("lift", &[("place", "P1"), ("rooted", "5"), ("green", "3")]),
        ("lift", &[("place", "P1"), ("alive", "2"), ("rooted", "1")]),
        ("check", &[("place", "P1"), ("green", "1")]),
        ("check", &[("place", "P1"), ("more", "xylem=1")]),
    ];
    for (stage, fields) in slips {
        let fields = [fields, &[("on", "2026-08-01")]].concat();
        seen.refused(grower, &format!("/bench/trial/K1/count/{stage}"), &fields).await;
    }
}

async fn lived(life: &Life) -> Vec<String> {
    let grower = Grower::new();
    let place = [("name", "home"), ("hemisphere", "north"), ("zone", "8b")];
    grower.saved("/share/publish/place", &place).await;
    let mut seen = Seen { life, found: Vec::new() };
    set_up(&grower, life).await;
    seen.look(&grower, &EVERYWHERE).await;
    seen.look(&grower, &["/bench/trial/K1/stick", "/bench/trial/K1/layout"]).await;
    let on = day("2026-06-06");
    let (trial, known) = ("K1".to_owned(), StartedKnown::Counted);
    bench(
        &grower,
        BenchRequest::Stick(Stick { trial, on, counts: Vec::new(), known, spot: None, opens: None }),
    )
    .await;
    seen.look(&grower, &["/bench/trial/K1?stuck=yes"]).await;
    let asked = [("P1/alive", "1"), ("P2/alive", "4"), ("on", "2026-06-20")];
    seen.refused(&grower, "/bench/trial/K1/sheet/check", &asked).await;
    count(&grower, None, "2026-07-01", &["3", "3", "3", "3"]).await;
    typed(&mut seen, &grower).await;
    seen.look(&grower, &EVERYWHERE).await;
    count(&grower, None, "2026-08-03", &["3r1", "3r0", "3", "."]).await;
    let counts: [(Stage, [&str; 4]); 4] = [
        (Stage::Lift, ["P1:r2,g1", "P2:r1,g2", "P3:r1,g2", "P4:r3,g0"]),
        (Stage::Season, ["P1:r2,g1,established=1", "P2:r1,g1,d1", "P3:r1,g2", "P4:r3,g0"]),
        (Stage::Spring, ["P1:r2,d1", "P2:r1,g1", "P3:r1,g2", "P4:r3,g0"]),
        (
            Stage::Final,
            [
                "P1:finished=1,alive=2",
                "P2:alive=2,finished=0",
                "P3:alive=3,finished=1",
                "P4:alive=3,finished=2",
            ],
        ),
    ];
    for ((stage, counts), on) in counts.into_iter().zip(DAYS) {
        count(&grower, Some(stage), on, &counts).await;
        seen.look(&grower, &EVERYWHERE).await;
        seen.look(&grower, &ONCE_PUT_IN).await;
    }
    let entries: Vec<u64> = {
        let bench = viewed::bench(&grower.stage.web.app);
        bench.entries().map(|(number, _)| number).collect()
    };
    for number in entries {
        for path in ["/entry/", "?saved=", "?again="].map(|path| format!("/bench/trial/K1{path}{number}")) {
            seen.look(&grower, &[path.as_str()]).await;
        }
    }
    seen.look(&grower, &["/share/publish"]).await;
    if matches!(life.kind, "graft" | "bud") {
        seen.look(&grower, &["/bench/trial/K1/graft"]).await;
    }
    let (_, calendar) = grower.get("/today/bench.ics").await;
    let shown: Vec<&str> = calendar.lines().filter(|line| !line.starts_with("UID:")).collect();
    let found = foreign(&shown.join("\n"), life)
        .map(|(word, line)| format!("{}: {word}: {line}", life.kind))
        .collect::<Vec<_>>();
    seen.found.extend(found);
    seen.found
}

#[tokio::test]
async fn no_page_of_a_kind_uses_the_word_of_another() {
    let mut found = Vec::new();
    for life in &LIVES {
        found.extend(lived(life).await);
    }
    // A line that stands on many pages is told once.
    let mut told = std::collections::BTreeSet::new();
    found
        .retain(|line| told.insert(line.rsplit_once(": ").map_or(line.clone(), |(_, said)| said.to_owned())));
    assert!(found.is_empty(), "{}", found.join("\n"));
}
