//! Measures every page that links lead to: its bytes, and the time from asking to the last byte, over loopback.
//!
//! `cargo run --release -p propagule-tests --bin page`; with `-- --hostile`, how it keeps while strangers are at it.
#![expect(clippy::print_stdout, reason = "the figures are printed")]

use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::fmt::Write as _;
use std::time::{Duration, Instant};

use anyhow::{Context, ensure};
use propagule_tests::http::Visitor;
use propagule_tests::{Grower, season};

/// The largest page that goes over a poor connection.
const MOST_BYTES: usize = 100 * 1024;
/// The longest that a page takes.
const MOST_TIME: Duration = Duration::from_millis(50);
/// Pages of one kind that are looked at.
const OF_A_KIND: usize = 3;
/// Times that each page is asked for; the quickest counts, as others may be at work on the machine.
const TIMES: usize = 5;

mod hostile;

fn main() -> anyhow::Result<()> {
    if std::env::args().any(|word| word == "--hostile") {
        println!("{}", hostile::measure()?);
        return Ok(());
    }
    let grower = Grower::new()?;
    season::on_the_bench(&grower)?;
    a_large_trial(&grower)?;
    sixty_lots(&grower)?;
    let node = grower.serve()?;
    let visitor = Visitor::enter(node.page())?;
    let mut found = Figures::default();
    let mut waiting = VecDeque::from(["/today".to_owned()]);
    let (mut seen, mut kinds) = (BTreeSet::new(), BTreeMap::<String, usize>::new());
    while let Some(path) = waiting.pop_front() {
        let of_kind = kinds.entry(kind(&path)).or_default();
        if *of_kind >= OF_A_KIND || !seen.insert(path.clone()) {
            continue;
        }
        *of_kind += 1;
        let (page, time) = measured(&visitor, &path)?;
        waiting.extend(links(&page));
        found.add(&path, page.len(), time);
    }
    println!("{}", found.line());
    ensure!(found.pages >= 40, "only {} pages were found", found.pages);
    let Extremes { largest, slowest } = &found.on_screen;
    ensure!(largest.0 <= MOST_BYTES && slowest.0 <= MOST_TIME, "a page is over the bar");
    Ok(())
}

/// The largest and the slowest of some pages.
#[derive(Default)]
struct Extremes {
    largest: (usize, String),
    slowest: (Duration, String),
}

/// What was measured; what is made for paper apart, as a picture of each label is on it.
#[derive(Default)]
struct Figures {
    pages: usize,
    on_screen: Extremes,
    on_paper: Extremes,
}

impl Figures {
    fn add(&mut self, path: &str, bytes: usize, time: Duration) {
        self.pages += 1;
        let of = if path.contains("/paper/") { &mut self.on_paper } else { &mut self.on_screen };
        if bytes > of.largest.0 {
            of.largest = (bytes, path.to_owned());
        }
        if time > of.slowest.0 {
            of.slowest = (time, path.to_owned());
        }
    }

    fn line(&self) -> String {
        format!(
            "page: {} pages, {}; made for paper: {}",
            self.pages,
            self.on_screen.words(),
            self.on_paper.words()
        )
    }
}

impl Extremes {
    fn words(&self) -> String {
        format!(
            "largest {:.1} KB ({}), slowest {:.1} ms ({})",
            self.largest.0 as f64 / 1024.0,
            self.largest.1,
            self.slowest.0.as_secs_f64() * 1e3,
            self.slowest.1,
        )
    }
}

fn measured(visitor: &Visitor, path: &str) -> anyhow::Result<(String, Duration)> {
    let mut best = None;
    for _ in 0..TIMES {
        let begun = Instant::now();
        let answer = visitor.get(path)?;
        let time = begun.elapsed();
        ensure!(answer.status == 200, "{path}: status {}", answer.status);
        if best.as_ref().is_none_or(|(_, quickest)| time < *quickest) {
            best = Some((answer.body, time));
        }
    }
    best.context("it was asked for")
}

/// An address without names and numbers.
fn kind(path: &str) -> String {
    let parts: Vec<&str> = path.split('/').collect();
    let named =
        |index: usize| index > 0 && matches!(parts[index - 1], "trial" | "spot" | "publish" | "entry");
    let plain = |(index, part): (usize, &&str)| {
        let part = if named(index) && *part != "place" { "X" } else { part };
        part.chars().map(|c| if c.is_ascii_digit() { '0' } else { c }).collect::<String>()
    };
    parts.iter().enumerate().map(plain).collect::<Vec<_>>().join("/")
}

fn links(page: &str) -> Vec<String> {
    let links = page.split("href=\"").skip(1).filter_map(|rest| rest.split('"').next());
    links
        .filter(|link| link.starts_with('/') && !link.starts_with("/assets/"))
        .map(|link| link.split('#').next().unwrap_or_default().replace("&amp;", "&"))
        .collect()
}

/// Eight arms in forty pots each, looked at ten times.
fn a_large_trial(grower: &Grower) -> anyhow::Result<()> {
    let mut words = vec!["trial".to_owned(), "new".to_owned(), "BIG".to_owned(), "Ribes nigrum".to_owned()];
    for (arm, strength) in ('A'..='H').zip(1..) {
        words.extend(["--arm".to_owned(), format!("{arm}: auxin=IBA {strength}000 mg/L quick dip")]);
    }
    words.extend(["--pots", "40", "--pieces", "5", "--on", "2026-05-01"].map(str::to_owned));
    grower.run(&words.iter().map(String::as_str).collect::<Vec<_>>())?;
    grower.run(&["trial", "layout", "BIG", "--seed", "3"])?;
    grower.run(&["stick", "BIG", "--on", "2026-05-01"])?;
    for week in 1..=10 {
        let counts: Vec<String> = (1..=32).map(|pot| format!("P{}:dead=1", pot * 10 - week % 5)).collect();
        let day = format!("2026-{:02}-{:02}", 5 + week / 3, 1 + week % 3 * 9);
        let words: Vec<&str> =
            ["check", "BIG", "--on", &day].into_iter().chain(counts.iter().map(String::as_str)).collect();
        grower.run(&words)?;
    }
    Ok(())
}

fn sixty_lots(grower: &Grower) -> anyhow::Result<()> {
    let mut table = String::from("trial,species,started,started_on,lift_on,lift_rooted,lift_dead\n");
    for lot in 1..=60 {
        writeln!(table, "N{lot:02},Cornus mas,30,2026-06-05,2026-10-09,21,9")?;
    }
    let file = grower.write("lots.csv", &table)?;
    grower.run(&["trial", "import", &file, "--yes"]).map(drop)
}
