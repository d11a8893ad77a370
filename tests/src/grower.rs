//! A grower: a home in a temporary folder, commands run in it, and a node that serves it.

use std::fs::Permissions;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::time::{Duration, Instant};

use anyhow::{Context, ensure};
use propagule_app::home::Home;
use propagule_app::{Reply, Request};
use serde_json::Value;
use tempfile::TempDir;

use crate::{Node, binary};

/// Name of the network of all stories.
pub const NETWORK: &str = "story";
/// The longest that a story waits for something to come true.
const PATIENCE: Duration = Duration::from_mins(1);
/// Between two looks at a node that has no way of calling back.
const LOOK_AGAIN: Duration = Duration::from_millis(25);

/// Serves on a port that the system chooses.
const SERVE: [&str; 5] = ["serve", "--listen", "/ip4/127.0.0.1/tcp/0", "--page-port", "0"];

/// A grower with a home of their own.
#[derive(Debug)]
pub struct Grower {
    folder: TempDir,
}

impl Grower {
    /// One with a place and a trial of which nothing has rooted yet, `M1`.
    ///
    /// # Errors
    /// When the home cannot be made.
    pub fn with_trial() -> anyhow::Result<Self> {
        let grower = Self::new()?;
        grower.run(&["place", "--zone", "8b", "--hemisphere", "north"])?;
        let table = grower.write("season.csv", crate::invented::GREEN_NOT_ROOTED)?;
        grower.run(&["trial", "import", &table, "--yes"])?;
        Ok(grower)
    }

    /// Makes a home on the stories' network.
    ///
    /// # Errors
    /// When `init` fails.
    pub fn new() -> anyhow::Result<Self> {
        Self::at_pace("quick")
    }

    /// Makes a home that waits as homes do on a real network, or as tests do.
    ///
    /// # Errors
    /// When `init` fails.
    pub fn at_pace(pace: &str) -> anyhow::Result<Self> {
        Self::made(NETWORK, pace)
    }

    /// Makes a home on another network.
    ///
    /// # Errors
    /// When `init` fails.
    pub fn of_network(network: &str) -> anyhow::Result<Self> {
        Self::made(network, "quick")
    }

    fn made(network: &str, pace: &str) -> anyhow::Result<Self> {
        let grower = Self { folder: TempDir::new()? };
        grower.run(&["init", "--network", network, "--pace", pace])?;
        Ok(grower)
    }

    /// A grower whose home is a copy of a folder that was kept; files are closed to others, as a home has them.
    ///
    /// # Errors
    /// When it cannot be copied.
    pub fn with_copy_of(kept: &Path) -> anyhow::Result<Self> {
        let grower = Self { folder: TempDir::new()? };
        copy_closed(kept, &grower.home()).with_context(|| format!("copying {}", kept.display()))?;
        Ok(grower)
    }

    /// The home folder.
    pub fn home(&self) -> PathBuf {
        self.folder.path().join("home")
    }

    /// A folder beside the home, for files of the grower.
    pub fn desk(&self) -> &Path {
        self.folder.path()
    }

    /// A command of the program in this home, not started.
    pub fn command(&self, words: &[&str]) -> Command {
        let mut command = Command::new(binary());
        command.arg("--home").arg(self.home()).args(words);
        command.env("XDG_RUNTIME_DIR", self.folder.path().join("runtime"));
        // A new home reads as its system does; results must not depend on the machine.
        command.env("LC_ALL", "C");
        command.env_remove("PROPAGULE_HOME").stdin(Stdio::null());
        command
    }

    /// Runs a command to its end, whatever that is.
    ///
    /// # Errors
    /// When it cannot be started.
    pub fn try_run(&self, words: &[&str]) -> anyhow::Result<Output> {
        Ok(self.command(words).output()?)
    }

    /// Runs a command that must succeed, and returns what it printed.
    ///
    /// # Errors
    /// When it fails.
    pub fn run(&self, words: &[&str]) -> anyhow::Result<String> {
        let output = self.try_run(words)?;
        let errors = String::from_utf8_lossy(&output.stderr);
        ensure!(output.status.success(), "propagule {} failed: {errors}", words.join(" "));
        Ok(String::from_utf8(output.stdout)?)
    }

    /// Runs a reading command with `--json`.
    ///
    /// # Errors
    /// When it fails or prints something else.
    pub fn json(&self, words: &[&str]) -> anyhow::Result<Value> {
        let words: Vec<&str> = words.iter().copied().chain(["--json"]).collect();
        let text = self.run(&words)?;
        crate::schema::check(&text);
        Ok(serde_json::from_str(&text)?)
    }

    /// The same without holding it against its schema: for what is looked at again and again until something has happened.
    ///
    /// # Errors
    /// When it fails or prints something else.
    pub fn look(&self, words: &[&str]) -> anyhow::Result<Value> {
        let words: Vec<&str> = words.iter().copied().chain(["--json"]).collect();
        Ok(serde_json::from_str(&self.run(&words)?)?)
    }

    /// Runs a command that must fail, and returns its exit code and what it said.
    ///
    /// # Errors
    /// When it succeeds.
    pub fn fail(&self, words: &[&str]) -> anyhow::Result<(i32, String)> {
        let output = self.try_run(words)?;
        ensure!(!output.status.success(), "propagule {} did not fail", words.join(" "));
        let code = output.status.code().context("it ended by itself")?;
        Ok((code, String::from_utf8(output.stderr)?))
    }

    /// Writes a file on the grower's desk.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write(&self, name: &str, text: &str) -> anyhow::Result<String> {
        let path = self.desk().join(name);
        std::fs::write(&path, text)?;
        Ok(path.display().to_string())
    }

    /// Starts the node and waits until it says that it is ready.
    ///
    /// # Errors
    /// When it ends before.
    pub fn serve(&self) -> anyhow::Result<Node> {
        self.serve_by(self.command(&SERVE))
    }

    /// The same with other words behind the address, and with another clock where one is given.
    ///
    /// # Errors
    /// As for [`Self::serve`].
    pub fn serve_with(&self, words: &[&str], clock: Option<&str>) -> anyhow::Result<Node> {
        let mut command = self.command(&[&SERVE[..3], words].concat());
        command.envs(clock.map(|clock| ("PROPAGULE_CLOCK", clock)));
        self.serve_by(command)
    }

    /// The same with everything logged that can be.
    ///
    /// # Errors
    /// As for [`Self::serve`].
    pub fn serve_logging_all(&self) -> anyhow::Result<Node> {
        let mut command = self.command(&SERVE);
        command.env("RUST_LOG", "trace");
        self.serve_by(command)
    }

    /// The same with files that may not grow beyond so many blocks of 512 bytes.
    ///
    /// # Errors
    /// As for [`Self::serve`].
    pub fn serve_limited(&self, blocks: u64) -> anyhow::Result<Node> {
        let whole = self.command(&SERVE);
        let mut command = Command::new("sh");
        command.arg("-c").arg(format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" \"$@\""));
        self.serve_by(around(command, &whole))
    }

    /// The same where the system lets it have so many files open, connections among them.
    ///
    /// # Errors
    /// As for [`Self::serve`].
    pub fn serve_with_open_files(&self, files: u64) -> anyhow::Result<Node> {
        let whole = self.command(&SERVE);
        let mut command = Command::new("sh");
        command.arg("-c").arg(format!("ulimit -n {files}; exec \"$0\" \"$@\""));
        self.serve_by(around(command, &whole))
    }

    /// The same inside a network namespace, on every address of it.
    ///
    /// # Errors
    /// As for [`Self::serve`].
    pub fn serve_inside(&self, space: &str, words: &[&str]) -> anyhow::Result<Node> {
        let listen = ["serve", "--listen", "/ip4/0.0.0.0/tcp/48620", "--page-port", "0"];
        let whole = self.command(&[&listen[..], words].concat());
        let mut command = Command::new("ip");
        command.args(["netns", "exec", space]);
        self.serve_by(around(command, &whole))
    }

    /// Sets a line of the home's config.toml.
    ///
    /// # Errors
    /// When the file cannot be changed.
    pub fn set(&self, name: &str, value: &str) -> anyhow::Result<()> {
        let path = self.home().join("config.toml");
        let text = std::fs::read_to_string(&path)?;
        let others = text.lines().filter(|line| !line.starts_with(&format!("{name} ")));
        let lines: Vec<String> = others.map(str::to_owned).chain([format!("{name} = {value}")]).collect();
        Ok(std::fs::write(&path, lines.join("\n"))?)
    }

    /// Runs a command, and returns its exit code and everything that it said.
    ///
    /// # Errors
    /// When it cannot be started or was ended by a signal.
    pub fn try_code(&self, words: &[&str]) -> anyhow::Result<(i32, String)> {
        let output = self.try_run(words)?;
        let said = [output.stdout, output.stderr].concat();
        let code = output.status.code().context("it ended by itself")?;
        Ok((code, String::from_utf8_lossy(&said).into_owned()))
    }

    fn serve_by(&self, command: Command) -> anyhow::Result<Node> {
        Node::start(command, &self.node_log())
    }

    /// What the node wrote to stderr since it was last started.
    pub fn node_log(&self) -> PathBuf {
        self.desk().join("node.log")
    }

    /// Asks the serving node over its socket, as a command would.
    ///
    /// # Errors
    /// When no node serves, or it fails.
    pub async fn ask(&self, request: Request) -> anyhow::Result<Reply> {
        let home = Home::open(&self.home())?;
        let socket = propagule_app::home::socket_path_below(&home, Some(self.folder.path().join("runtime")));
        propagule_node::socket::call_at(&socket, request).await?.context("a node serves the home")
    }

    /// A number of `peers list`, by its path in the JSON.
    ///
    /// # Errors
    /// When the command fails.
    pub fn count(&self, pointer: &str) -> anyhow::Result<u64> {
        let peers = self.look(&["peers", "list"])?;
        Ok(peers.pointer(pointer).and_then(Value::as_u64).unwrap_or(0))
    }

    /// Waits until that number is at least `wanted`.
    ///
    /// # Errors
    /// When it takes too long.
    pub fn wait_for(&self, pointer: &str, wanted: u64) -> anyhow::Result<()> {
        let waited =
            wait_until(&format!("{pointer} to reach {wanted}"), || Ok(self.count(pointer)? >= wanted));
        waited.with_context(|| {
            let log = std::fs::read_to_string(self.node_log()).unwrap_or_default();
            format!("{}\n{log}", self.run(&["peers", "list", "--json"]).unwrap_or_default())
        })
    }
}

/// A command that runs another one, in that one's surroundings.
fn around(mut command: Command, whole: &Command) -> Command {
    command.arg(whole.get_program()).args(whole.get_args()).stdin(Stdio::null());
    for (name, value) in whole.get_envs() {
        match value {
            Some(value) => command.env(name, value),
            None => command.env_remove(name),
        };
    }
    command
}

/// Looks again and again until `is_true`; a node offers no call back over the command line.
///
/// # Errors
/// When it takes too long, or looking fails.
pub fn wait_until(what: &str, mut is_true: impl FnMut() -> anyhow::Result<bool>) -> anyhow::Result<()> {
    let until = Instant::now() + PATIENCE;
    while !is_true()? {
        ensure!(Instant::now() < until, "waited too long for {what}");
        std::thread::sleep(LOOK_AGAIN);
    }
    Ok(())
}

/// Copies a folder so that only its owner can read it; a version control system keeps no such modes.
fn copy_closed(from: &Path, to: &Path) -> anyhow::Result<()> {
    std::fs::create_dir(to)?;
    std::fs::set_permissions(to, Permissions::from_mode(0o700))?;
    for entry in std::fs::read_dir(from)? {
        let entry = entry?;
        let (source, copy) = (entry.path(), to.join(entry.file_name()));
        if source.is_dir() {
            copy_closed(&source, &copy)?;
        } else {
            std::fs::copy(&source, &copy)?;
            std::fs::set_permissions(&copy, Permissions::from_mode(0o600))?;
        }
    }
    Ok(())
}
