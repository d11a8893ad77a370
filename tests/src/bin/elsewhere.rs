//! A season on another system: the program as it was built for it, run by whatever can run it here.
//!
//! `PROPAGULE_BIN=run-it cargo run -p propagule-tests --bin elsewhere`, where `run-it` starts the program with the words
//! that it is given. Uses nothing but commands, the page and the standard streams, so it holds for every system. It ends
//! with one line, and non-zero at the first step that does not do what it should.
#![expect(clippy::print_stdout, reason = "the figures are printed")]

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use anyhow::{Context, ensure};
use propagule_tests::grower::wait_until;
use propagule_tests::http::Visitor;
use propagule_tests::{Node, binary};
use serde_json::Value;

/// A home of its own and the folder that commands are run in.
struct Home {
    home: PathBuf,
    log: PathBuf,
}

impl Home {
    fn new(folder: &Path, name: &str) -> anyhow::Result<Self> {
        let home = Self { home: folder.join(name), log: folder.join(format!("{name}.log")) };
        home.run(&["init", "--network", "elsewhere", "--pace", "quick"])?;
        Ok(home)
    }

    fn command(&self, words: &[&str]) -> Command {
        let mut command = Command::new(binary());
        command.arg("--home").arg(&self.home).args(words);
        command.env("PROPAGULE_CLOCK", "2027-05-01T10:00:00Z").stdin(Stdio::null());
        command
    }

    fn code(&self, words: &[&str]) -> anyhow::Result<(Option<i32>, String, String)> {
        let output = self.command(words).output()?;
        let text = |bytes| String::from_utf8(bytes).context("what it prints is UTF-8");
        Ok((output.status.code(), text(output.stdout)?, text(output.stderr)?))
    }

    fn run(&self, words: &[&str]) -> anyhow::Result<String> {
        let (code, out, err) = self.code(words)?;
        ensure!(code == Some(0), "{words:?} ended with {code:?}:\n{out}{err}");
        Ok(out)
    }

    fn json(&self, words: &[&str]) -> anyhow::Result<Value> {
        Ok(serde_json::from_str(&self.run(&[words, &["--json"]].concat())?)?)
    }

    fn serve(&self) -> anyhow::Result<Node> {
        Node::start(
            self.command(&["serve", "--listen", "/ip4/127.0.0.1/tcp/0", "--page-port", "0"]),
            &self.log,
        )
    }

    fn number(&self, words: &[&str], pointer: &str) -> anyhow::Result<u64> {
        let found = self.json(words)?;
        found.pointer(pointer).and_then(Value::as_u64).with_context(|| format!("{pointer} in {found}"))
    }
}

/// Tells each step by its name once it is done.
struct Steps(usize);

impl Steps {
    fn done(&mut self, what: &str) {
        self.0 += 1;
        println!("{what}: ok");
    }
}

fn main() -> anyhow::Result<()> {
    let folder = tempfile::Builder::new().prefix("bänk och växthus ").tempdir()?;
    let mut steps = Steps(0);
    let first = Home::new(folder.path(), "första hemmet")?;
    season(&first)?;
    steps.done("a season in a home on a path with spaces and other letters");
    publish(&first)?;
    steps.done("publish, pool, plan, due");
    let served = first.serve()?;
    serving(&first, &served)?;
    steps.done("serve: the page, a command through the running node, a second node refused");
    exchange(folder.path(), &first, &served)?;
    steps.done("two homes exchange");
    killed(&first, served)?;
    steps.done("killed and opened again");
    let restored = restore(folder.path(), &first)?;
    steps.done("an archive put back");
    drop(restored);
    println!("elsewhere: ok, {} steps", steps.0);
    Ok(())
}

fn season(home: &Home) -> anyhow::Result<()> {
    home.run(&["place", "--zone", "8b", "--hemisphere", "north"])?;
    let with = "kind=stem cutting; wood=semi-ripe; humidity=dome";
    let arms = ["--arm", "dip: auxin=IBA 3000 mg/L quick dip", "--arm", "none: auxin=none"];
    let size = ["--pots", "3", "--pieces", "4", "--lift", "2026-08-29", "--on", "2026-06-06"];
    home.run(&[&["trial", "new", "M2", "Morus nigra", "--with", with][..], &arms, &size].concat())?;
    home.run(&["stick", "M2", "--on", "2026-06-06"])?;
    home.run(&["check", "M2", "--on", "2026-06-20"])?;
    home.run(&["check", "M2", "--on", "2026-07-20", "P5:lost=4,cause=tipped"])?;
    let lift =
        ["P1:rooted=4", "P2:rooted=3,dead=1", "P3:rooted=2,green=2", "P4:rooted=3,green=1", "P6:dead=4"];
    home.run(&[&["lift", "M2", "--on", "2026-08-29"][..], &lift].concat())?;
    home.run(&["spring", "M2", "--on", "2027-04-10", "P1:rooted=4", "P2:rooted=3", "--rest", "alive"])?;
    home.run(&["note", "M2", "--on", "2026-09-02", "--note", "märgen är torr – P1 blommar"])?;
    let history = home.run(&["trial", "history", "M2"])?;
    ensure!(history.contains("märgen är torr – P1 blommar"), "the note is kept:\n{history}");
    Ok(())
}

fn publish(home: &Home) -> anyhow::Result<()> {
    home.run(&["publish", "M2", "--yes", "--now"])?;
    let arms = home.number(&["pool", "Morus nigra"], "/methods/0/arms")?;
    ensure!(arms > 0, "the own result is pooled");
    home.run(&["plan", "Morus nigra", "--want", "12"])?;
    home.run(&["due"])?;
    home.run(&["doctor"])?;
    Ok(())
}

fn serving(home: &Home, node: &Node) -> anyhow::Result<()> {
    let visitor = Visitor::enter(node.page())?;
    let today = visitor.get("/today")?;
    ensure!(today.status == 200 && today.body.contains("<h1"), "the page answers: {}", today.head);
    home.run(&["check", "M2", "--on", "2027-04-20"])?;
    let (code, _, said) = home.code(&["serve"])?;
    ensure!(code == Some(2), "a second node is refused: {said}");
    ensure!(said.contains("process"), "and told who has the home: {said}");
    Ok(())
}

fn exchange(folder: &Path, first: &Home, served: &Node) -> anyhow::Result<()> {
    let second = Home::new(folder, "second")?;
    second.run(&["peers", "add", served.address()])?;
    let node = second.serve()?;
    wait_until("the record of the other home", || Ok(second.number(&["peers", "list"], "/records")? > 0))?;
    drop(node);
    let of =
        |home: &Home| home.json(&["pool", "Morus nigra"]).map(|answer| answer["methods"][0]["arms"].clone());
    ensure!(of(first)? == of(&second)?, "both count the same");
    Ok(())
}

fn killed(home: &Home, node: Node) -> anyhow::Result<()> {
    // Dropping a node kills it.
    drop(node);
    let before = home.run(&["trial", "history", "M2"])?;
    let again = home.serve()?;
    ensure!(home.run(&["trial", "history", "M2"])? == before, "every entry is there");
    drop(again);
    home.run(&["doctor"])?;
    Ok(())
}

fn restore(folder: &Path, home: &Home) -> anyhow::Result<Home> {
    let archive = folder.join("säsong.zip");
    let archive = archive.to_str().context("the path is text")?;
    home.run(&["export", archive, "--with-keys"])?;
    let again = Home { home: folder.join("again"), log: folder.join("again.log") };
    again.run(&["restore", archive])?;
    let (before, after) = (home.run(&["trial", "show", "M2"])?, again.run(&["trial", "show", "M2"])?);
    ensure!(before == after, "the trial reads as before:\n{before}\n{after}");
    Ok(again)
}
