//! The page in a real browser: every room, keyboard alone, no JavaScript, a dropped connection, paper, stories A to C.

use std::fmt::Write;
use std::path::Path;

use propagule_tests::browser::Browser;
use propagule_tests::{Grower, season};

/// Runs a script over a grower's page, or says that it could not run here.
#[expect(clippy::print_stdout, reason = "a skipped test is reported by name")]
fn browse(
    script: &str,
    clock: Option<&str>,
    prepare: impl FnOnce(&Grower) -> anyhow::Result<Vec<(&'static str, String)>>,
) -> anyhow::Result<()> {
    let browser = match Browser::find() {
        Ok(browser) => browser,
        Err(missing) => {
            println!("skipped: page {script} ({missing})");
            let is_required = std::env::var_os("PROPAGULE_REQUIRE_ALL").is_some_and(|value| value == "1");
            anyhow::ensure!(!is_required, "{script} was skipped under PROPAGULE_REQUIRE_ALL=1: {missing}");
            return Ok(());
        }
    };
    let grower = Grower::new()?;
    let variables = prepare(&grower)?;
    let node = grower.serve_at(clock)?;
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

fn empty(_: &Grower) -> anyhow::Result<Vec<(&'static str, String)>> {
    Ok(Vec::new())
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
    browse("noscript", None, empty)
}

#[test]
fn entries_of_a_dropped_connection_arrive_once() -> anyhow::Result<()> {
    browse("offline", None, with_a_season)
}

#[test]
fn pages_print() -> anyhow::Result<()> {
    browse("print", None, with_a_season)
}

#[test]
fn story_a_first_year_on_a_phone() -> anyhow::Result<()> {
    browse("story-a", None, empty)
}

#[test]
fn story_b_a_nursery_with_sixty_lots() -> anyhow::Result<()> {
    browse("story-b", None, |grower| Ok(vec![("LOTS", grower.write("lots.csv", &sixty_lots())?)]))
}

#[test]
fn story_c_a_grafter() -> anyhow::Result<()> {
    browse("story-c", Some("2026-06-09T10:00:00Z"), empty)
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
