//! Measures how long ten years of 60 lots take to go into an archive and to become a home again.
//!
//! `cargo run --release -p propagule-node --example archive`
//!
//! Lots, pots and counts are invented: each lot has an arm of three pots that are counted twelve times. Ends with one line
//! of figures, and non-zero where it falls short of its bars: 2 s out, 5 s in.
#![expect(clippy::print_stdout, reason = "the figures are printed")]

use std::process::ExitCode;
use std::sync::Arc;
use std::time::{Duration, Instant};

use propagule_app::home::{Home, Pace};
use propagule_app::{App, Reply, Request, archive, handle};
use propagule_bench::dates::When;
use propagule_bench::spot::Spot;
use propagule_bench::{Arm, Bench, Entry, Event, Law, Replicate, Tally, Trial, What};
use propagule_files::clock::Clock;
use propagule_files::lock::HomeLock;

const YEARS: u16 = 10;
const LOTS: u16 = 60;
const POTS: u16 = 3;
const PIECES: u16 = 20;
const CHECKS: i32 = 12;
const BARS: (Duration, Duration) = (Duration::from_secs(2), Duration::from_secs(5));

fn lot(year: u16, number: u16) -> Vec<Event> {
    let code = format!("L{year}-{number}");
    let begun = format!("{}-06-01", 2016 + year).parse().expect("a day");
    let replicate = |pot: u16| Replicate {
        code: format!("P{pot}"),
        started: PIECES,
        pot: None,
        stock_plant: None,
        operator: None,
    };
    let facets = [("kind", "stem cutting"), ("wood", "semi-ripe"), ("auxin", "IBA 3000 mg/L quick dip")];
    let arm = Arm {
        number: 1,
        label: "A".to_owned(),
        started: PIECES * POTS,
        facets: facets.map(|(name, words)| (name.to_owned(), words.to_owned())).into(),
        replicates: (1..=POTS).map(replicate).collect(),
        spot: Some("mist house".to_owned()),
        ..Arm::default()
    };
    let series = format!("{:032x}", u32::from(year) * 1_000 + u32::from(number));
    let trial = Trial { series, arms: vec![arm], ..Trial::empty(&code, "Morus nigra", When::day(begun)) };
    let check = |step: i32| {
        let tally = |pot: u16| Tally {
            arm: 1,
            replicate: Some(format!("P{pot}")),
            rooted: Some(step as u16),
            green: Some(PIECES - step as u16),
            ..Tally::default()
        };
        let tallies = (1..=POTS).map(tally).collect();
        let what =
            What::Counted { trial: code.clone(), stage: None, tallies, is_blind: false, law: Law::Fates };
        let on = When::day(begun.plus_days(14 * step).expect("a day"));
        Event::Entered { entry: Entry { on, what, note: None, files: Vec::new(), once: None } }
    };
    std::iter::once(Event::TrialRecorded { trial }).chain((1..=CHECKS).map(check)).collect()
}

fn main() -> ExitCode {
    let folder = tempfile::tempdir().expect("a folder");
    let clock = Clock::Fixed("2026-11-25T12:00:00Z".parse().expect("a time"));
    let home = Home::create(&folder.path().join("home"), "test", Pace::Quick).expect("a home");
    let (mut bench, _) = Bench::open(home.path(), home.id(), clock).expect("opens");
    let facets = [("humidity".to_owned(), "mist".to_owned())].into();
    let spot = Spot { name: "mist house".to_owned(), facets };
    bench.record(Event::SpotSet { spot }).expect("is kept");
    let lots = (0..YEARS).flat_map(|year| (1..=LOTS).map(move |number| (year, number)));
    bench.record_all(lots.flat_map(|(year, number)| lot(year, number)).collect()).expect("is kept");
    drop(bench);
    let lock = HomeLock::take(home.path(), "measure", Duration::ZERO).expect("nobody else is here");
    let app = Arc::new(App::open(home, lock, clock).expect("opens"));
    let runtime = tokio::runtime::Builder::new_current_thread().build().expect("a runtime");
    let begun = Instant::now();
    let reply = runtime.block_on(handle(app, Request::Archive { with_keys: true })).expect("an archive");
    let Reply::Archive { zip, .. } = reply else { return ExitCode::FAILURE };
    let bytes = archive::bytes_of(&zip).expect("bytes");
    let out = begun.elapsed();
    let begun = Instant::now();
    archive::restore("all.zip", &bytes, &folder.path().join("again"), "measure").expect("restores");
    let back = begun.elapsed();
    println!(
        "archive: {} lots, {} kB, out {:.2} s, in {:.2} s",
        YEARS * LOTS,
        bytes.len() >> 10,
        out.as_secs_f64(),
        back.as_secs_f64()
    );
    if out <= BARS.0 && back <= BARS.1 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}
