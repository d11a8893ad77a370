//! The cast: a home each, commands run in it by this same program, and a node that serves it.

use std::path::PathBuf;
use std::process::Stdio;
use std::time::Duration;

use propagule_protocol::SecretKey;
use serde_json::Value;
use tokio::io::{AsyncBufReadExt, BufReader};
use tokio::process::{Child, Command};

use super::stage::Stage;
use crate::socket;
use propagule_app::home::Home;
use propagule_app::{Reply, Request};
use propagule_files::fault::Fault;
use propagule_present::outcome as present;
use propagule_present::text::WIDTHS;

/// Network of the demonstration: its records cannot enter the public one.
pub(super) const NETWORK: &str = "propagule-demo";
/// How long a node may take to end after being asked.
const ENDING: Duration = Duration::from_secs(5);

/// One grower of the cast.
#[derive(Debug)]
pub(super) struct Member {
    home: PathBuf,
    columns: usize,
    node: Option<Running>,
}

#[derive(Debug)]
struct Running {
    child: Child,
    address: String,
}

impl Member {
    /// A grower with a home folder of that name, which does not exist yet.
    pub(super) fn new(stage: &Stage, name: &str) -> Self {
        Self { home: stage.folder().join(name), columns: stage.columns(), node: None }
    }

    pub(super) fn home(&self) -> &PathBuf {
        &self.home
    }

    /// Makes the home; with a key it becomes the home of that author.
    pub(super) async fn init(&self, author: Option<&SecretKey>) -> Result<(), Fault> {
        if let Some(author) = author {
            Home::prepare_author(&self.home, author)?;
        }
        self.run(&INIT).await.map(|_| ())
    }

    /// Runs a command of this program in the home and returns what it printed.
    pub(super) async fn run(&self, words: &[&str]) -> Result<String, Fault> {
        let output = self
            .command(words)?
            .output()
            .await
            .map_err(|e| Fault::environment("demo-cannot-run").because(e))?;
        if output.status.success() {
            return Ok(String::from_utf8_lossy(&output.stdout).into_owned());
        }
        Err(broken(words, &String::from_utf8_lossy(&output.stderr)))
    }

    /// Shows a command to the audience, runs it, and shows what it printed.
    pub(super) async fn perform(&self, stage: &Stage, words: &[&str]) -> Result<(), Fault> {
        stage.command(&self.home, words)?;
        stage.output(&self.run(words).await?)
    }

    fn command(&self, words: &[&str]) -> Result<Command, Fault> {
        let program =
            std::env::current_exe().map_err(|e| Fault::environment("demo-program-not-found").because(e))?;
        let mut command = Command::new(program);
        command.arg("--home").arg(&self.home).args(words);
        command.env("COLUMNS", self.columns.to_string()).stdin(Stdio::null()).kill_on_drop(true);
        Ok(command)
    }

    /// Starts the node and waits until it is ready.
    pub(super) async fn serve(&mut self) -> Result<(), Fault> {
        let log = std::fs::File::create(self.home.join("node.log"))
            .map_err(|e| Fault::file("write", &self.home.join("node.log"), e))?;
        let mut child = self
            .command(&SERVE)?
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(log)
            .spawn()
            .map_err(|e| Fault::environment("demo-node-cannot-start").because(e))?;
        let stdout = child.stdout.take().expect("stdout is piped");
        let mut lines = BufReader::new(stdout).lines();
        let mut address = String::new();
        while let Ok(Some(line)) = lines.next_line().await {
            if let Some(listening) = line.strip_prefix("listening ") {
                listening.clone_into(&mut address);
            }
            if line.starts_with("ready ") {
                self.node = Some(Running { child, address });
                return Ok(());
            }
        }
        let log = std::fs::read_to_string(self.home.join("node.log")).unwrap_or_default();
        Err(broken(&SERVE, &log))
    }

    /// Address of the running node.
    pub(super) fn address(&self) -> &str {
        self.node.as_ref().map(|node| node.address.as_str()).unwrap_or_default()
    }

    /// What `peers list --json` says, asked over the socket of the running node.
    pub(super) async fn status(&self) -> Result<Value, Fault> {
        let home = Home::open(&self.home)?;
        match socket::call(&home, Request::PeersList).await? {
            Some(Reply::Done(outcome)) => Ok(present::report(&outcome, WIDTHS.1).json),
            _ => Err(Fault::usage("demo-node-stopped").with("home", self.home.join("node.log").display())),
        }
    }

    /// Ends the node by the end of its input, which every system has, and waits for it.
    pub(super) async fn stop(&mut self) -> Result<(), Fault> {
        let Some(mut running) = self.node.take() else { return Ok(()) };
        drop(running.child.stdin.take());
        match tokio::time::timeout(ENDING, running.child.wait()).await {
            Ok(Ok(status)) if status.success() => Ok(()),
            // Dropping it ends it for certain.
            _ => Err(Fault::usage("demo-node-did-not-end")),
        }
    }
}

/// Words that make a home of the demonstration.
pub(super) const INIT: [&str; 5] = ["init", "--network", NETWORK, "--pace", "quick"];
/// Words that run a node on a free port of this machine.
pub(super) const SERVE: [&str; 5] =
    ["serve", "--listen", "/ip4/127.0.0.1/tcp/0", "--no-page", "--until-input-ends"];

fn broken(words: &[&str], message: &str) -> Fault {
    Fault::environment("demo-broke").with("words", words.join(" ")).because(message.trim())
}
