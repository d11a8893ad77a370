//! Pictures of random seasons: what each says in numbers is what the sentence beside it says, and what the account of its
//! stage holds, on the page and in the report.

use std::sync::Arc;

use axum::http::StatusCode;

use super::tests::Grower;
use propagule_answer::trial::{ArmRow, TrialAnswer};
use propagule_app as app;
use propagule_app::viewed;
use propagule_app::viewed::TrialView;
use propagule_app::{BenchRequest, PaperKind, Reply, Request};
use propagule_bench::random_seasons;
use propagule_present::kind::{KindWords, capital};
use propagule_present::outcome::paper::Page;
use propagule_present::outcome::trial as words;
use propagule_present::paper::sheet::ReportPage;
use propagule_present::words::sentences::when;

/// Benches, and trials on each.
const BENCHES: u64 = 24;
const TRIALS: usize = 6;

/// What stands between two texts, as often as they do.
fn between<'a>(text: &'a str, from: &'a str, to: &'a str) -> impl Iterator<Item = &'a str> {
    text.split(from).skip(1).filter_map(move |rest| rest.split_once(to).map(|(inner, _)| inner))
}

/// `5 of 12 green` and `3 with roots`: the number and what it counts.
fn numbered(part: &str) -> Option<(u32, &str)> {
    let (number, words) = part.trim().trim_end_matches('.').split_once(' ')?;
    Some((number.parse().ok()?, words))
}

/// All that a sentence counts.
fn counts(sentence: &str) -> Vec<(u32, &str)> {
    sentence.split(": ").flat_map(|part| part.split("; ")).flat_map(states_of).filter_map(numbered).collect()
}

/// The states of a list: a comma parts two of them where a number follows, as in `3 still green, not rooted, 2 dead`.
fn states_of(list: &str) -> Vec<&str> {
    let mut parts = Vec::new();
    let mut from = 0;
    for (at, _) in list.match_indices(", ") {
        if list[at + 2..].starts_with(|c: char| c.is_ascii_digit()) {
            parts.push(&list[from..at]);
            from = at + 2;
        }
    }
    parts.push(&list[from..]);
    parts
}

/// A sentence never counts anything of a picture differently.
fn check_agrees(picture: &[(u32, String)], sentence: &str, at: &str) {
    let said = counts(sentence);
    for (count, words) in picture {
        let other = said.iter().find(|(_, said)| said == words).map_or(*count, |(number, _)| *number);
        assert_eq!(*count, other, "{at}: {words}: {sentence}");
    }
}

/// How an arm stands now: a mark for each piece beside the sentence.
fn check_dots(page: &str, view: &TrialView, answer: &TrialAnswer, at: &str) -> usize {
    let mut seen = 0;
    for ((arm, shown), now) in view.trial.arms.iter().zip(&view.shown.now).zip(&answer.now) {
        let head = format!("<h2>{} <span class=\"soft\">", capital(&arm.label));
        let (_, chunk) = page.split_once(&head).expect("a tray for each treatment");
        let chunk = chunk.split("<h2>").next().unwrap_or_default();
        let label = between(chunk, "role=\"img\" aria-label=\"", "\"").next().expect("a picture");
        let spoken: Vec<(u32, String)> =
            counts(label).iter().map(|(n, words)| (*n, (*words).to_owned())).collect();
        let legend: Vec<String> = between(chunk, "</svg>", "</span>").map(str::to_owned).collect();
        let legend: Vec<(u32, String)> =
            legend.iter().filter_map(|text| numbered(text)).map(|(n, words)| (n, words.to_owned())).collect();
        assert_eq!(spoken, legend, "{at}");
        assert_eq!(legend.iter().map(|(n, _)| n).sum::<u32>(), now.started, "{at}: {legend:?}");
        if !shown.is_entered {
            continue;
        }
        let sentence = &words::now(shown, view.shown.kind);
        assert!(page.contains(&format!("<li>{sentence}</li>")), "{at}: {sentence}");
        let said = counts(sentence);
        for (count, words) in &legend {
            let words = if words == "alive" { format!("of {} alive", now.started) } else { words.clone() };
            assert!(said.contains(&(*count, &words)), "{at}: {count} {words}: {sentence}");
        }
        seen += 1;
    }
    seen
}

/// The sentence of an arm at a stage begins with the count of its bar.
fn check_funnel(page: &str, view: &TrialView, answer: &TrialAnswer, at: &str) -> usize {
    let mut seen = 0;
    let funnel = words::funnel_rows(&view.shown);
    for stage in &answer.stages {
        for arm in &stage.arms {
            let said = KindWords::of(view.shown.kind);
            let bar = format!("{} {} at {}", arm.label, said.outcome(stage.stage), said.at(stage.stage));
            let drawn = funnel.iter().find(|(words, ..)| *words == bar).map(|(_, count, of)| (*count, *of));
            assert_eq!(drawn, arm.rate.as_ref().map(|rate| (rate.count, rate.of)), "{at}: {bar}");
            let Some((count, of)) = drawn else { continue };
            let lines = view.shown.stages.iter().filter(|found| found.counts.stage == stage.stage);
            let mut lines = lines.flat_map(|found| words::stage_lines(found, view.shown.kind));
            let begins = counted(count, of, said.outcome(stage.stage));
            assert!(lines.any(|line| line.contains(&begins) && line.contains(&arm.label)), "{at}: {begins}");
            if funnel.len() > view.trial.arms.len() {
                let row = format!("<th scope=\"row\">{bar}<svg");
                let cell = page
                    .split_once(&row)
                    .and_then(|(_, rest)| between(rest, "<td class=\"n\">", "</td>").next());
                assert_eq!(cell, Some(format!("{count} of {of}").as_str()), "{at}: {bar}");
            }
            seen += 1;
        }
    }
    seen
}

/// The line of the living at the day of a stage is that of the stage's account.
fn check_curve(page: &str, view: &TrialView, answer: &TrialAnswer, at: &str) -> usize {
    let mut seen = 0;
    let tables: Vec<&str> = between(page, "Alive, by days since the start</caption>", "</table>").collect();
    for (arm, row) in answer.stages.iter().flat_map(|stage| &stage.arms).map(|row| (&row.label, row)) {
        let mut days = view.shown.curve.iter().filter(|day| day.row.arm == *arm).map(|day| &day.row.point);
        let point = days.find(|point| point.on == row.on).expect("the stage's day");
        assert_eq!((point.row.alive(), point.row.dead), (row.alive, row.dead), "{at}: {arm}");
        let heads = |table: &str| -> Vec<String> {
            let head = table.split("</thead>").next().unwrap_or_default();
            between(head, "<th", "</th>").filter_map(|th| Some(th.split_once('>')?.1.to_owned())).collect()
        };
        let column = |table: &str| heads(table).iter().position(|head| head == arm);
        let found = tables.iter().find_map(|table| Some((*table, column(table)?)));
        let (table, column) = found.expect("a treatment that was counted has a line");
        let line = between(table, "<tr>", "</tr>").map(|line| -> Vec<&str> {
            between(line, "<t", "</t").filter_map(|cell| Some(cell.split_once('>')?.1)).collect()
        });
        let on_the_day = line.filter(|cells| cells.first() == Some(&point.days.to_string().as_str())).last();
        let later = view.shown.curve.iter().any(|day| {
            day.row.arm == *arm
                && day.row.point.days == point.days
                && day.row.point.on.middle() > row.on.middle()
        });
        if !later {
            assert_eq!(on_the_day.expect("the stage's day")[column], row.alive.to_string(), "{at}: {arm}");
        }
        seen += 1;
    }
    seen
}

/// How a sentence begins to count: all of several, some of them, or the only one.
fn counted(count: u32, of: u32, outcome: &str) -> String {
    match count {
        _ if of == 1 => "The only ".to_owned(),
        all if all == of && outcome != "finished" => format!("all {of} {outcome}"),
        all if all == of => format!("{of} {outcome}"),
        some => format!("{some} of {of} {outcome}"),
    }
}

/// The picture of an arm in the report, taken apart: the day it is of, and its legend.
fn figure<'a>(figure: &'a str, arm: &ArmRow) -> (&'a str, Vec<(u32, String)>) {
    let head = format!("{}, ", arm.label);
    let start = figure.lines().position(|line| line.starts_with(&head)).expect("the arm has a picture");
    let mut lines = figure.lines().skip(start);
    let day = lines.next().and_then(|line| line.strip_prefix(&head)).unwrap_or_default();
    let rest: Vec<&str> = lines.take_while(|line| !line.is_empty()).collect();
    // The legend comes behind the marks, and begins with one of them and a space.
    let at = rest.iter().position(|line| line.contains(|c: char| c.is_ascii_digit())).expect("a legend");
    let legend = rest[at..].join(" ");
    let states = legend.split(", ").fold(Vec::<String>::new(), |mut all, part| {
        // A comma within a state's own words parts nothing: a state begins with its mark.
        match all.last_mut() {
            Some(last) if part.chars().nth(1) != Some(' ') => last.extend([", ", part]),
            _ => all.push(part.to_owned()),
        }
        all
    });
    let states = states.iter().map(|state| {
        let (words, count) = state[2..].rsplit_once(' ').expect("words and their number");
        (count.parse().expect("a number"), words.to_owned())
    });
    (day, states.collect())
}

/// Each picture of the report stands with the sentences of its own stage.
fn check_report(report: &ReportPage, answer: &TrialAnswer, at: &str) -> usize {
    let said = KindWords::of(answer.kind);
    let mut seen = 0;
    let pictures: Vec<_> = report.sections.iter().filter(|section| section.preformatted.is_some()).collect();
    assert_eq!(pictures.len(), answer.stages.len(), "{at}");
    for (section, stage) in pictures.into_iter().zip(&answer.stages) {
        assert_eq!(
            section.heading,
            format!("What {}, {} shows", said.at(stage.stage), when(&said, &stage.on)),
            "{at}"
        );
        for (arm, sentence) in stage.arms.iter().zip(&section.paragraphs) {
            assert!(sentence.contains(&arm.label), "{at}: {sentence}");
            let (day, legend) = figure(section.preformatted.as_deref().unwrap_or_default(), arm);
            assert_eq!(day, when(&said, &arm.on), "{at}");
            assert_eq!(legend.iter().map(|(n, _)| n).sum::<u32>(), arm.started, "{at}: {legend:?}");
            check_agrees(&legend, sentence, at);
            let of = |words: &str| legend.iter().find(|(_, said)| said == words).map_or(0, |(n, _)| *n);
            if let Some(rate) = &arm.rate {
                let outcome = said.outcome(stage.stage);
                let here = if outcome == "finished" { of(outcome) } else { of(said.ok) };
                assert_eq!(here + of("gone as finished"), rate.count, "{at}: {legend:?}: {sentence}");
                assert!(sentence.contains(&counted(rate.count, rate.of, outcome)), "{at}: {sentence}");
            }
            assert_eq!((of("dead"), of("lost")), (arm.dead, arm.lost), "{at}");
            seen += 1;
        }
    }
    seen
}

async fn report(grower: &Grower, code: &str) -> ReportPage {
    let (trial, what) = (code.to_owned(), PaperKind::Report);
    let request = BenchRequest::Paper { trial, what, is_blind: false, is_letter: false };
    let reply = app::handle(Arc::clone(&grower.stage.web.app), Request::Bench(Box::new(request))).await;
    let Ok(Reply::Page { page, .. }) = reply else { panic!("a report of {code}") };
    let Page::Report(report) = Page::of(&page) else { panic!("a report of {code}") };
    report
}

#[tokio::test]
async fn a_picture_says_what_its_sentence_and_its_account_say() {
    let mut seen = [0; 4];
    for seed in 0..BENCHES {
        let grower = Grower::new();
        let app = Arc::clone(&grower.stage.web.app);
        viewed::bench(&app).record_all(random_seasons::events(seed, TRIALS)).expect("the events can be kept");
        let codes: Vec<String> = viewed::bench(&app).trials().map(|trial| trial.code.clone()).collect();
        for code in codes {
            let at = format!("bench {seed}, {code}");
            let view = viewed::trial(&app, &code).expect("a trial");
            let answer = {
                let bench = viewed::bench(&app);
                let trial = bench.trial(&code).expect("a trial");
                TrialAnswer::of(&bench, &bench.season(trial), &bench.as_it_stands(trial))
            };
            let (status, page) = grower.get(&format!("/bench/trial/{}", crate::web::link::part(&code))).await;
            assert_eq!(status, StatusCode::OK, "{at}");
            seen[0] += check_dots(&page, &view, &answer, &at);
            seen[1] += check_funnel(&page, &view, &answer, &at);
            seen[2] += check_curve(&page, &view, &answer, &at);
            seen[3] += check_report(&report(&grower, &code).await, &answer, &at);
        }
    }
    assert!(seen.iter().all(|seen| *seen > 20), "each kind of picture was met: {seen:?}");
}
