//! A bench with something of everything on it, as commands make it: the invented scenario's plants, no real grower.

use crate::grower::Grower;

/// A trial on its lift day, one that waits for a check, a lot, grafts, a spot with care, a note and a correction.
///
/// # Errors
/// When a command fails.
pub fn on_the_bench(grower: &Grower) -> anyhow::Result<()> {
    let run = |words: &[&str]| grower.run(words).map(drop);
    run(&["place", "--zone", "8b", "--hemisphere", "north"])?;
    run(&["spot", "mist house", "--with", "growing place=glass; watering=kept moist"])?;
    run(&["care", "mist house", "--mist", "8 s every 4 min 07:00-20:00", "--on", "2026-06-05"])?;
    let arms = ["--arm", "dip: auxin=IBA 3000 mg/L quick dip", "--arm", "none: auxin=none"];
    let size = ["--pots", "3", "--pieces", "4", "--lift", "2026-08-29", "--on", "2026-06-06"];
    let with = ["--with", "kind=stem cutting; wood=semi-ripe; humidity=dome"];
    run(&[&["trial", "new", "M2", "Morus nigra"][..], &with, &arms, &size].concat())?;
    run(&["trial", "layout", "M2", "--seed", "7"])?;
    run(&["stick", "M2", "--on", "2026-06-06", "--spot", "mist house"])?;
    run(&["check", "M2", "--on", "2026-06-20"])?;
    run(&["check", "M2", "--on", "2026-07-04", "P2:dead=1,cause=basal rot"])?;
    run(&["check", "M2", "--on", "2026-07-20", "P5:lost=4,cause=tipped"])?;
    let lift = [
        "P1:rooted=4",
        "P2:rooted=3",
        "P3:rooted=2,green=2",
        "P4:rooted=3,green=1",
        "P6:rooted=2,green=1,dead=1",
    ];
    run(&[&["lift", "M2", "--on", "2026-08-29"][..], &lift].concat())?;
    run(&["trial", "correct", "M2", "--entry", &last_entry(grower, "M2")?, "P6:rooted=3,dead=1"])?;
    run(&["note", "M2", "--on", "2026-09-02", "--note", "P1 has flowered; pinched out"])?;
    run(&[
        &["trial", "new", "M3", "Morus nigra"][..],
        &with,
        &arms,
        &["--pots", "4", "--pieces", "6", "--on", "2026-11-10"],
    ]
    .concat())?;
    run(&["stick", "M3", "--on", "2026-11-10"])?;
    run(&[
        &["trial", "new", "M4", "Morus nigra"][..],
        &with,
        &arms,
        &["--pots", "3", "--pieces", "8", "--on", "2026-12-01"],
    ]
    .concat())?;
    run(&["trial", "layout", "M4", "--seed", "11"])?;
    run(&[
        "trial",
        "new",
        "N1",
        "Ribes nigrum",
        "--pieces",
        "30",
        "--with",
        "kind=stem cutting; wood=hardwood",
    ])?;
    run(&["stick", "N1", "--on", "2026-11-02"])?;
    run(&[
        "trial",
        "new",
        "J1",
        "Juglans regia",
        "--pieces",
        "16",
        "--on",
        "2026-07-28",
        "--with",
        "kind=bud; form=chip",
    ])?;
    run(&["stick", "J1", "--on", "2026-07-28"])
}

/// Number of the last entry of a trial.
fn last_entry(grower: &Grower, trial: &str) -> anyhow::Result<String> {
    let history = grower.json(&["trial", "history", trial])?;
    let entries = history["entries"].as_array().map(Vec::as_slice).unwrap_or_default();
    Ok(entries.last().map(|entry| entry["entry"].to_string()).unwrap_or_default())
}
