//! The page in a real browser: every room, keyboard alone, no JavaScript, a dropped connection, paper, stories A to C.

use std::fmt::Write;
use std::path::Path;

use anyhow::Context;
use propagule_tests::browser::Browser;
use propagule_tests::http::Visitor;
use propagule_tests::{Grower, season};

/// Says that a test could not run here; under `PROPAGULE_REQUIRE_ALL=1` that is a failure.
#[expect(clippy::print_stdout, reason = "a skipped test is reported by name")]
fn skip(name: &str, missing: &str) -> anyhow::Result<()> {
    println!("skipped: page {name} ({missing})");
    let is_required = std::env::var_os("PROPAGULE_REQUIRE_ALL").is_some_and(|value| value == "1");
    anyhow::ensure!(!is_required, "{name} was skipped under PROPAGULE_REQUIRE_ALL=1: {missing}");
    Ok(())
}

/// Runs a script over a grower's page, or says that it could not run here.
fn browse(
    script: &str,
    clock: Option<&str>,
    prepare: impl FnOnce(&Grower) -> anyhow::Result<Vec<(&'static str, String)>>,
) -> anyhow::Result<()> {
    let browser = match Browser::find() {
        Ok(browser) => browser,
        Err(missing) => return skip(script, &missing),
    };
    let grower = Grower::new()?;
    let variables = prepare(&grower)?;
    // Where there is a network, the room Phone is there too.
    let lan = propagule_node::web::lan_address().map(|_| "--lan");
    let words: Vec<&str> = ["--page-port", "0"].into_iter().chain(lan).collect();
    let node = grower.serve_with(&words, clock)?;
    let variables: Vec<(&str, &Path)> =
        variables.iter().map(|(name, value)| (*name, Path::new(value.as_str()))).collect();
    let said = browser.run(script, node.page(), &variables)?;
    anyhow::ensure!(said.contains(&format!("ok {script}")), "{said}");
    Ok(())
}

fn with_a_season(grower: &Grower) -> anyhow::Result<Vec<(&'static str, String)>> {
    season::on_the_bench(grower)?;
    Ok(Vec::new())
}

#[test]
fn a_busy_port_gives_the_next_free_one_and_an_address_is_good_once() -> anyhow::Result<()> {
    let (one, other) = (Grower::new()?, Grower::new()?);
    let first = one.serve()?;
    let port = |page: &str| page.split(['/', ':']).nth(4).unwrap_or_default().to_owned();
    let taken = port(first.page());
    let second = other.serve_with(&["--page-port", &taken], None)?;
    anyhow::ensure!(port(second.page()) != taken, "{} and {}", first.page(), second.page());
    for node in [&first, &second] {
        anyhow::ensure!(Visitor::enter(node.page())?.get("/today")?.status == 200);
        anyhow::ensure!(Visitor::enter(node.page()).is_err(), "the address lets one browser in");
    }
    Ok(())
}

#[test]
fn a_phone_comes_in_by_its_code_sees_the_bench_and_is_shut_out() -> anyhow::Result<()> {
    if propagule_node::web::lan_address().is_err() {
        return skip("a_phone_comes_in_by_its_code", "this machine is in no network");
    }
    let grower = Grower::new()?;
    season::on_the_bench(&grower)?;
    let node = grower.serve_with(&["--page-port", "0", "--lan"], None)?;
    let pair = node.phones().context("phones are let in")?;
    let desk = Visitor::enter(node.page())?;
    let token = format!("token={}", desk.token()?);
    anyhow::ensure!(Visitor::pair(pair, "AAAAAAAA").is_err(), "there is no code yet");
    anyhow::ensure!(desk.post("/share/phones/code", &token)?.status == 303);
    let room = desk.get("/share/phones")?.body;
    let code = room.split("/pair?code=").nth(1).and_then(|rest| rest.get(..8)).context("a code")?;
    anyhow::ensure!(room.contains("not encrypted") && room.contains("<svg"), "{room}");
    let phone = Visitor::pair(pair, code)?;
    let bench = phone.get("/bench/trial/M2")?;
    anyhow::ensure!(bench.status == 200 && bench.body.contains("not encrypted"), "{}", bench.body);
    for path in
        ["/share/publish", "/share/publish/M2", "/share/publish/place", "/works/many", "/share/phones"]
    {
        anyhow::ensure!(phone.get(path)?.status == 404, "{path}");
    }
    let count = format!("token={}&place=P1&alive=5&dead=1&on=2026-11-20", phone.token()?);
    anyhow::ensure!(phone.post("/bench/trial/M3/count/check", &count)?.status == 303);
    anyhow::ensure!(grower.run(&["trial", "history", "M3"])?.contains("P1 5 alive, 1 dead"));
    anyhow::ensure!(Visitor::pair(pair, code).is_err(), "a code is good once");
    anyhow::ensure!(desk.post("/share/phones/out", &token)?.status == 303);
    anyhow::ensure!(phone.get("/today")?.status == 403, "shut out");
    Ok(())
}

#[test]
fn every_room_is_fit_for_phones_readers_and_screens() -> anyhow::Result<()> {
    browse("rooms", None, with_a_season)
}

#[test]
fn the_keyboard_is_enough() -> anyhow::Result<()> {
    browse("keyboard", None, with_a_season)
}

#[test]
fn a_season_needs_no_javascript() -> anyhow::Result<()> {
    browse("noscript", None, |_| Ok(Vec::new()))
}

#[test]
fn entries_of_a_dropped_connection_arrive_once() -> anyhow::Result<()> {
    browse("offline", None, with_a_season)
}

/// Twelve lots on two benches, two weeks after they were started, in their tag order.
#[test]
fn a_round_of_twelve_lots_takes_fourteen_taps_at_most() -> anyhow::Result<()> {
    browse("round", Some("2026-06-20T10:00:00Z"), |grower| {
        let run = |words: &[&str]| grower.run(words).map(drop);
        for bench in ["cold frame", "mist house"] {
            run(&["spot", bench, "--with", "growing place=glass"])?;
        }
        for lot in 1..=12 {
            let code = format!("N{lot:02}");
            let with = "kind=stem cutting; wood=softwood";
            run(&["trial", "new", &code, "Corymbella pallida", "--pieces", "30", "--with", with])?;
            let bench = if lot <= 5 { "cold frame" } else { "mist house" };
            run(&["stick", &code, "--on", "2026-06-05", "--spot", bench])?;
        }
        Ok(Vec::new())
    })
}

#[test]
fn pages_print() -> anyhow::Result<()> {
    browse("print", None, with_a_season)
}

#[test]
fn story_a_first_year_on_a_phone() -> anyhow::Result<()> {
    browse("story-a", None, |_| Ok(Vec::new()))
}

#[test]
fn story_b_a_nursery_with_sixty_lots() -> anyhow::Result<()> {
    browse("story-b", Some("2027-06-20T10:00:00Z"), |grower| {
        Ok(vec![("LOTS", grower.write("lots.csv", &sixty_lots())?)])
    })
}

#[test]
fn story_c_a_grafter() -> anyhow::Result<()> {
    browse("story-c", Some("2026-06-09T10:00:00Z"), |_| Ok(Vec::new()))
}

/// Three lots without the number put in, one with a share that does not exist.
fn sixty_lots() -> String {
    let mut table = String::from("Lot,Plant,PutIn,Date,Rooted,Lifted\n");
    for lot in 1..=60 {
        let (put_in, rooted) = match lot {
            7 | 21 | 44 => ("", "70 %"),
            33 => ("20", "71 %"),
            odd if odd % 2 == 1 => ("20", "12"),
            _ => ("30", "21"),
        };
        writeln!(table, "N{lot:02},Corymbella pallida,{put_in},05/06/2026,{rooted},09/10/2026")
            .expect("to a string");
    }
    table
}
