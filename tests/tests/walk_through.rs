//! The walk-through of two homes, done as its page says, in network namespaces: every command, every line of output.
//!
//! In the page a command stands behind the name of the home it is typed in (`one$ propagule …`), and what it prints
//! stands below; a line `…` stands for lines that are left out. Ids of nodes and records and times of day differ each
//! time: those of the page are exchanged for the real ones.

use std::collections::HashMap;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};

use anyhow::{Context, bail, ensure};
use propagule_tests::grower::wait_until;
use propagule_tests::netns::{self, Nat, Network};

const PAGE: &str = include_str!("../../node/docs/two-homes.md");

/// Says that the test could not run here; under `PROPAGULE_REQUIRE_ALL=1` that is a failure.
#[expect(clippy::print_stdout, reason = "a skipped test is reported by name")]
fn skip(missing: &str) -> anyhow::Result<()> {
    println!("skipped: the walk-through of two homes ({missing})");
    let is_required = std::env::var_os("PROPAGULE_REQUIRE_ALL").is_some_and(|value| value == "1");
    ensure!(!is_required, "it was skipped under PROPAGULE_REQUIRE_ALL=1: {missing}");
    Ok(())
}

/// A command of the page and what it prints.
struct Step<'a> {
    home: &'a str,
    words: &'a str,
    prints: Vec<&'a str>,
}

fn steps() -> Vec<Step<'static>> {
    let mut steps: Vec<Step> = Vec::new();
    let mut is_inside = false;
    for line in PAGE.lines() {
        if line.starts_with("```") {
            is_inside = !is_inside;
        } else if let Some((home, words)) = line.split_once("$ ").filter(|_| is_inside) {
            steps.push(Step { home, words, prints: Vec::new() });
        } else if let Some(step) = steps.last_mut().filter(|_| is_inside) {
            step.prints.push(line);
        }
    }
    steps
}

/// The homes, the networks they stand in, and what differs from the page.
struct Stage {
    folder: tempfile::TempDir,
    spaces: HashMap<&'static str, String>,
    nodes: Vec<Child>,
    /// Id in the page → id here.
    ids: HashMap<String, String>,
    _net: Network,
}

impl Stage {
    fn new() -> anyhow::Result<Self> {
        let mut net = Network::new();
        let world = net.switch("world")?;
        let spaces = [
            ("friend", net.host("friend", "203.0.113.1", &world)?),
            ("one", net.home("one", Nat::Symmetric, "203.0.113.11", &world)?),
            ("two", net.home("two", Nat::Symmetric, "203.0.113.12", &world)?),
            ("three", net.space("three")?),
        ];
        let folder = tempfile::tempdir()?;
        Ok(Self { folder, spaces: spaces.into(), nodes: Vec::new(), ids: HashMap::new(), _net: net })
    }

    fn command(&self, step: &Step) -> anyhow::Result<Command> {
        let space = self.spaces.get(step.home).with_context(|| format!("a home {}", step.home))?;
        let folder = self.folder.path();
        let words =
            self.ids.iter().fold(step.words.to_owned(), |words, (page, here)| words.replace(page, here));
        let mut command = Command::new("ip");
        command.args(["netns", "exec", space, "sh", "-c"]);
        command.arg(words.replacen("propagule", "exec \"$PROGRAM\"", 1)).current_dir(folder);
        command.env("PROGRAM", propagule_tests::binary());
        command.env("PROPAGULE_HOME", folder.join(step.home)).env("XDG_RUNTIME_DIR", folder.join("runtime"));
        command.stdin(Stdio::null());
        Ok(command)
    }

    /// What a step prints is what the page says; a node that has to hear of others first is asked again.
    fn play(&mut self, step: &Step) -> anyhow::Result<()> {
        if step.words.starts_with("propagule serve") {
            return self.serve(step);
        }
        let is_asked_again = ["peers list", "pool"].iter().any(|words| step.words.contains(words));
        let mut printed = self.run(step)?;
        if is_asked_again {
            let waited = wait_until(step.words, || {
                printed = self.run(step)?;
                Ok(agrees(&step.prints, &printed))
            });
            waited.with_context(|| printed.join("\n"))?;
        }
        ensure!(agrees(&step.prints, &printed), "{}$ {}\n{}", step.home, step.words, printed.join("\n"));
        self.learn(&step.prints, &printed);
        if step.words.starts_with("propagule init") {
            quicken(&self.folder.path().join(step.home))?;
        }
        Ok(())
    }

    fn run(&self, step: &Step) -> anyhow::Result<Vec<String>> {
        let output = self.command(step)?.env("COLUMNS", "100").output()?;
        let errors = String::from_utf8_lossy(&output.stderr);
        ensure!(output.status.success(), "{}$ {}\n{errors}", step.home, step.words);
        Ok(String::from_utf8(output.stdout)?.lines().map(str::to_owned).collect())
    }

    fn serve(&mut self, step: &Step) -> anyhow::Result<()> {
        let log = std::fs::File::create(self.folder.path().join(format!("{}.log", step.home)))?;
        let mut child = self.command(step)?.stdout(Stdio::piped()).stderr(log).spawn()?;
        let lines = BufReader::new(child.stdout.take().context("stdout is piped")?).lines();
        self.nodes.push(child);
        let mut printed = Vec::new();
        for line in lines {
            printed.push(line?);
            if printed.last().is_some_and(|line| line.starts_with("ready ")) {
                ensure!(agrees(&step.prints, &printed), "{}", printed.join("\n"));
                self.learn(&step.prints, &printed);
                return Ok(());
            }
        }
        bail!("the node of {} ended early", step.home)
    }

    /// Learns which id of the page is which here, from lines that agree.
    fn learn(&mut self, prints: &[&str], printed: &[String]) {
        for line in prints {
            let Some(here) = printed.iter().find(|here| plain(here) == plain(line)) else { continue };
            for (page, here) in ids_in(line).into_iter().zip(ids_in(here)) {
                self.ids.entry(page).or_insert(here);
            }
        }
    }
}

impl Drop for Stage {
    fn drop(&mut self) {
        for node in &mut self.nodes {
            // It may have ended already.
            let _ = node.kill();
            let _ = node.wait();
        }
    }
}

/// Lets a home wait as tests do.
fn quicken(home: &Path) -> anyhow::Result<()> {
    let path = home.join("config.toml");
    let text = std::fs::read_to_string(&path)?;
    Ok(std::fs::write(&path, text.replace("pace = \"home\"", "pace = \"quick\""))?)
}

/// Whether printed lines are those of the page, with any lines where it has `…`.
fn agrees<P: AsRef<str>>(prints: &[&str], printed: &[P]) -> bool {
    match (prints.split_first(), printed.split_first()) {
        (None, rest) => rest.is_none(),
        (Some((&"…", rest)), _) => (0..=printed.len()).any(|left_out| agrees(rest, &printed[left_out..])),
        (Some((line, rest)), Some((here, others))) => {
            plain(line) == plain(here.as_ref()) && agrees(rest, others)
        }
        (Some(_), None) => false,
    }
}

/// A line without what differs each time.
fn plain(line: &str) -> String {
    let words = line.split(' ').map(|word| if is_time(word.trim_end_matches(',')) { "TIME" } else { word });
    let line = words.collect::<Vec<_>>().join(" ");
    let (mut plain, mut number) = (line.clone(), 0);
    for id in ids_in(&line) {
        plain = plain.replace(&id, &format!("ID{number}"));
        number += 1;
    }
    plain
}

fn is_time(word: &str) -> bool {
    word.len() > 19 && word.ends_with('Z') && word.as_bytes()[10] == b'T' && word.starts_with("20")
}

/// Ids of nodes and of records, in order, each once.
fn ids_in(line: &str) -> Vec<String> {
    let mut ids: Vec<String> = Vec::new();
    for word in line.split(|c: char| !c.is_ascii_alphanumeric()) {
        let is_node = word.starts_with("12D3KooW") && word.len() == 52;
        let is_record = word.len() == 64 && word.chars().all(|c| c.is_ascii_hexdigit());
        if (is_node || is_record) && !ids.iter().any(|known| known == word) {
            ids.push(word.to_owned());
        }
    }
    ids
}

#[test]
fn lines_agree_but_for_ids_times_and_what_is_left_out() {
    let one = "12D3KooWK99VoVxNE7XzyBwXEzW7xhK7Gpv85r9F3V3fyKSUKPH5";
    let other = "12D3KooWPyfeqr3HGhWRM1P23F2FDYfEPaXJ24gNq5zFZHqiQrJL";
    let line = |id: &str, time: &str| format!("  {id}  last exchanged {time}, nothing left");
    let (page, here) = (line(one, "2026-11-26T14:36:01Z"), line(other, "2027-01-01T00:00:00.25Z"));
    assert!(agrees(&[&page], &[&here]) && !agrees(&[&page], &["  nobody"]));
    assert!(agrees(&["…", &page, "…"], &["a", "b", &here]) && !agrees(&["…", &page], &[&here, "b"]));
    assert!(!agrees(&[&page], &[&here, &here]) && !agrees(&[&page, &page], &[&here]));
}

#[test]
fn the_walk_through_of_two_homes_holds_as_written() -> anyhow::Result<()> {
    let steps = steps();
    ensure!(steps.len() > 15, "the page has its commands");
    if let Some(missing) = netns::missing() {
        return skip(&missing);
    }
    let mut stage = Stage::new()?;
    for step in &steps {
        stage.play(step).with_context(|| format!("{}$ {}", step.home, step.words))?;
    }
    Ok(())
}
