//! The story: five growers with records, and one more whose cuttings are green and not rooted.

use std::fs::File;
use std::io::BufWriter;
use std::path::Path;
use std::time::{Duration, Instant};

use propagule_protocol::place::{Climate, Hemisphere, Place};
use propagule_protocol::{NetworkId, Signed};
use serde_json::Value;

use super::cast::{INIT, Member, NETWORK};
use super::liars;
use super::scenario::{self, ExtraGrower, ScenarioGrower};
use super::stage::Stage;
use crate::ui::Ui;
use propagule_files::fault::Fault;
use propagule_network::bundle::Writer;
use propagule_present::words::counted;

/// Growers that run a node of their own; the others' records come in a bundle.
const NODES: usize = 5;
/// The longest that the nodes may take to agree.
const PATIENCE: Duration = Duration::from_mins(1);
/// Between two looks at the nodes; they have no way of calling back.
const LOOK_AGAIN: Duration = Duration::from_millis(250);

/// How to play.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Options {
    /// Keep the homes, and say how to go on by hand.
    pub(crate) keep: bool,
    /// Some growers lie or err.
    pub(crate) bad_actors: bool,
}

/// Plays the story to its end; nothing is left running.
///
/// # Errors
/// When a step fails, named by its command.
pub(crate) async fn play(ui: Ui, options: Options) -> Result<(), Fault> {
    let begun = Instant::now();
    let folder = tempfile::Builder::new()
        .prefix("propagule-demo-")
        .tempdir()
        .map_err(|e| Fault::environment("demo-folder").because(e))?;
    let mut stage = Stage::new(ui, folder.path());
    let mut cast = Vec::new();
    let ended = tokio::select! {
        ended = act(&mut stage, &mut cast, options.bad_actors) => ended,
        _ = tokio::signal::ctrl_c() => Err(Fault::user("demo-stopped")),
    };
    for member in &mut cast {
        member.stop().await?;
    }
    ended?;
    stage.say("")?;
    stage.say(&format!(
        "All of them have stopped. The demonstration took {:.0} seconds.",
        begun.elapsed().as_secs_f64()
    ))?;
    if options.keep {
        keep(&stage, &folder.keep())?;
    } else {
        stage.say("Its folder is removed. Keep it next time with: propagule demo --keep")?;
    }
    Ok(())
}

fn keep(stage: &Stage, folder: &Path) -> Result<(), Fault> {
    stage.say("The data folders are kept. Go on by hand:")?;
    stage.output(&format!(
        "export DEMO={}\npropagule --home $DEMO/you serve\npropagule --home $DEMO/you pool \"Cornus mas\"\n\
         propagule --home $DEMO/you trial list\nrm -r $DEMO",
        folder.display()
    ))
}

async fn act(stage: &mut Stage, cast: &mut Vec<Member>, bad_actors: bool) -> Result<(), Fault> {
    stage.say("The growers and their counts are invented. Network, signatures and statistics are real.")?;
    stage.say(&format!("In the commands below, DEMO={}", stage.folder().display()))?;
    let growers = scenario::growers(&scenario::Options { bad_actors, ..scenario::Options::default() });
    open_homes(stage, cast, &growers).await?;
    publish_as_themselves(stage, cast, &growers).await?;
    bring_the_others(stage, cast, &growers[NODES..]).await?;
    let held = agree(stage, cast).await?;
    if bad_actors {
        liars::tell(stage, &cast[0]).await?;
    }
    let extra = scenario::extra_grower(scenario::SEED);
    join(stage, cast, &extra, held).await?;
    enter_the_trial(stage, cast, &extra).await?;
    publish_it(stage, cast, &extra).await?;
    ask(stage, cast, &extra).await?;
    revise_in_spring(stage, cast, &extra).await
}

async fn open_homes(
    stage: &mut Stage,
    cast: &mut Vec<Member>,
    growers: &[ScenarioGrower],
) -> Result<(), Fault> {
    stage
        .step(&format!("Five of {} invented growers make a data folder and run Propagule", growers.len()))?;
    for grower in &growers[..NODES] {
        let mut member = Member::new(stage, &grower.id);
        member.init(Some(&grower.key)).await?;
        member.run(&views(&place_words(&grower.place))).await?;
        member.serve().await?;
        cast.push(member);
    }
    stage.command(cast[0].home(), &INIT[..3])?;
    stage.command(cast[0].home(), &["serve"])?;
    // Each knows only the one before it; the records still reach all.
    for index in 1..NODES {
        cast[index].run(&["peers", "add", cast[index - 1].address()]).await?;
    }
    stage.command(cast[1].home(), &["peers", "add", cast[0].address()])?;
    stage.say("Each of them knows only the one before it. No server, no account.")
}

async fn publish_as_themselves(
    stage: &mut Stage,
    cast: &[Member],
    growers: &[ScenarioGrower],
) -> Result<(), Fault> {
    stage.step("They enter their finished trials and publish them, signed with their own keys")?;
    for (index, (member, grower)) in cast.iter().zip(growers).enumerate() {
        let table = stage.folder().join(format!("{}.csv", grower.id));
        std::fs::write(&table, grower.import_table()).map_err(|e| Fault::file("write", &table, e))?;
        let import = ["trial", "import", &table.display().to_string(), "--yes"];
        member.run(&import).await?;
        let codes = grower.codes();
        for code in &codes {
            member.run(&["publish", code, "--yes"]).await?;
        }
        if index == 0 {
            stage.command(member.home(), &import)?;
            stage.command(member.home(), &["publish", codes[0], "--yes"])?;
        }
        stage.say(&format!(
            "{} in {}: {} published",
            grower.id,
            grower.region.name,
            counted(codes.len(), "trial", "trials")
        ))?;
    }
    Ok(())
}

async fn bring_the_others(
    stage: &mut Stage,
    cast: &[Member],
    others: &[ScenarioGrower],
) -> Result<(), Fault> {
    stage
        .step(&format!("The results of the other {} growers come to one of them as a file", others.len()))?;
    let network = NetworkId::of(NETWORK);
    let mut records: Vec<Signed> = Vec::new();
    for grower in others {
        records.extend(
            grower.records(&network).map_err(|e| Fault::environment("demo-scenario-broken").because(e))?,
        );
    }
    let path = stage.folder().join("others.bundle");
    let broken = |e: &dyn std::fmt::Display| {
        Fault::environment("demo-cannot-write").with("path", path.display()).because(e)
    };
    let file = File::create_new(&path).map_err(|e| broken(&e))?;
    let mut bundle = Writer::new(BufWriter::new(file), network).map_err(|e| broken(&e))?;
    for record in &records {
        bundle.add(&record.bytes).map_err(|e| broken(&e))?;
    }
    bundle.finish().map_err(|e| broken(&e))?;
    cast[NODES / 2].perform(stage, &["bundle", "import", &path.display().to_string()]).await
}

/// Waits until all nodes hold the same records, and returns how many.
async fn agree(stage: &mut Stage, cast: &[Member]) -> Result<u64, Fault> {
    stage.step("The five exchange results until all have the same")?;
    let until = Instant::now() + PATIENCE;
    let mut shown = Vec::new();
    loop {
        let (mut counts, mut leaving) = (Vec::new(), 0);
        for member in cast {
            let status = member.status().await?;
            counts.push(number(&status, "/records"));
            leaving += number(&status, "/outbox");
        }
        if counts != shown {
            let words: Vec<String> = counts.iter().map(u64::to_string).collect();
            stage.say(&format!("published results at each of the five: {}", words.join("  ")))?;
            shown.clone_from(&counts);
        }
        if counts.iter().all(|count| *count == counts[0]) && counts[0] > 0 && leaving == 0 {
            return Ok(counts[0]);
        }
        wait(until, "the five to have the same").await?;
    }
}

async fn join(
    stage: &mut Stage,
    cast: &mut Vec<Member>,
    extra: &ExtraGrower,
    held: u64,
) -> Result<(), Fault> {
    stage.step(&format!("You are one more grower, in {}", extra.region))?;
    let mut you = Member::new(stage, "you");
    stage.command(you.home(), &INIT[..3])?;
    you.init(None).await?;
    let words = place_words(&extra.place);
    you.perform(stage, &views(&words)).await?;
    stage.command(you.home(), &["serve"])?;
    you.serve().await?;
    let friend = cast[NODES - 1].address().to_owned();
    you.perform(stage, &["peers", "add", &friend]).await?;
    let until = Instant::now() + PATIENCE;
    while number(&you.status().await?, "/records") < held {
        wait(until, "the results to arrive").await?;
    }
    stage.say(&format!("All {held} results have arrived from that one computer."))?;
    cast.push(you);
    Ok(())
}

async fn enter_the_trial(stage: &mut Stage, cast: &[Member], extra: &ExtraGrower) -> Result<(), Fault> {
    stage.step("Your trial is finished: none rooted, most still green")?;
    let path = write_table(stage, "season.csv", &extra.lift_table)?;
    you(cast).perform(stage, &["trial", "import", &path, "--yes"]).await?;
    you(cast).perform(stage, &["trial", "show", extra.code]).await
}

async fn publish_it(stage: &mut Stage, cast: &[Member], extra: &ExtraGrower) -> Result<(), Fault> {
    stage.step("Before you publish you see what leaves and what stays")?;
    you(cast).perform(stage, &["publish", extra.code, "--preview"]).await?;
    stage.step("You publish, and it arrives at the others")?;
    let before = gossiped(cast).await?;
    you(cast).perform(stage, &["publish", extra.code, "--yes"]).await?;
    arrive(stage, cast, &before).await
}

/// New records by gossip at each of the five.
async fn gossiped(cast: &[Member]) -> Result<Vec<u64>, Fault> {
    let mut counts = Vec::new();
    for member in &cast[..NODES] {
        counts.push(arrived(&member.status().await?));
    }
    Ok(counts)
}

/// Records that came from peers, whichever way was faster.
fn arrived(status: &Value) -> u64 {
    ["/counts/by_gossip", "/counts/by_stem", "/counts/by_exchange"]
        .map(|way| number(status, way))
        .iter()
        .sum()
}

async fn arrive(stage: &Stage, cast: &[Member], before: &[u64]) -> Result<(), Fault> {
    let until = Instant::now() + PATIENCE;
    let mut by_gossip = 0;
    for (member, before) in cast[..NODES].iter().zip(before) {
        loop {
            let status = member.status().await?;
            if arrived(&status) > *before {
                by_gossip += usize::from(number(&status, "/counts/by_gossip") > 0);
                break;
            }
            wait(until, "your result to arrive").await?;
        }
    }
    stage.say(&format!(
        "It has arrived at all {NODES}; {by_gossip} of them were sent it as news, the others fetched it."
    ))
}

async fn ask(stage: &mut Stage, cast: &[Member], extra: &ExtraGrower) -> Result<(), Fault> {
    stage.step("Which methods really root? Everybody's trials, pooled")?;
    you(cast).perform(stage, &["pool", extra.species]).await?;
    stage.step("How did you do against growers in a similar climate?")?;
    you(cast).perform(stage, &["compare", extra.code]).await
}

async fn revise_in_spring(stage: &mut Stage, cast: &[Member], extra: &ExtraGrower) -> Result<(), Fault> {
    stage.step("In spring some have rooted: an update, and still one trial")?;
    let trials = trials_of(&cast[0], extra).await?;
    let path = write_table(stage, "spring.csv", &extra.spring_table)?;
    you(cast).perform(stage, &["trial", "import", &path, "--yes"]).await?;
    let before = gossiped(cast).await?;
    you(cast).perform(stage, &["publish", extra.code, "--yes"]).await?;
    arrive(stage, cast, &before).await?;
    let after = trials_of(&cast[0], extra).await?;
    if trials != after {
        return Err(Fault::usage("demo-revision-changed-count").with("trials", trials).with("after", after));
    }
    stage.say(&format!("{} counts {after} trials of {} before and after.", "g01", extra.species))?;
    you(cast).perform(stage, &["pool", extra.species, "--stage", "spring"]).await
}

/// Trials of the species that a node pools at lift.
async fn trials_of(member: &Member, extra: &ExtraGrower) -> Result<u64, Fault> {
    let text = member.run(&["pool", extra.species, "--by", "none", "--json"]).await?;
    let answer: Value =
        serde_json::from_str(&text).map_err(|e| Fault::environment("demo-pool-without-json").because(e))?;
    Ok(number(&answer, "/methods/0/trials"))
}

fn you(cast: &[Member]) -> &Member {
    cast.last().expect("the extra grower joined last")
}

fn number(value: &Value, pointer: &str) -> u64 {
    value.pointer(pointer).and_then(Value::as_u64).unwrap_or(0)
}

fn write_table(stage: &Stage, name: &str, table: &str) -> Result<String, Fault> {
    let path = stage.folder().join(name);
    std::fs::write(&path, table).map_err(|e| Fault::file("write", &path, e))?;
    Ok(path.display().to_string())
}

async fn wait(until: Instant, what: &str) -> Result<(), Fault> {
    if Instant::now() >= until {
        return Err(Fault::usage("demo-waited-too-long")
            .with("as_secs", PATIENCE.as_secs())
            .with("what", what));
    }
    tokio::time::sleep(LOOK_AGAIN).await;
    Ok(())
}

/// The `place` command for a place with twelve months.
fn place_words(place: &Place) -> Vec<String> {
    let hemisphere = match place.hemisphere {
        Hemisphere::North => "north",
        Hemisphere::South => "south",
    };
    let mut words = vec!["site".to_owned(), "--hemisphere".to_owned(), hemisphere.to_owned()];
    if let Some(zone) = place.zone {
        words.extend(["--zone".to_owned(), zone.to_string()]);
    }
    if let Climate::Twelve { temperature, rain } = &place.climate {
        words.extend(["--temperature".to_owned(), list(temperature), "--rain".to_owned(), list(rain)]);
    }
    words
}

fn views(words: &[String]) -> Vec<&str> {
    words.iter().map(String::as_str).collect()
}

fn list(months: &[f64; 12]) -> String {
    months.map(|month| format!("{month:.1}")).join(",")
}
