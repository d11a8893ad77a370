//! A home in a folder of its own, and commands run in it.

use std::path::PathBuf;
use std::process::{Command, Output, Stdio};
use std::sync::Mutex;

use serde_json::Value;
use tempfile::TempDir;

use crate::schema;

/// The instant at which all these tests play, unless they say otherwise.
const NOW: &str = "2026-11-25T12:00:00Z";
/// The spring after that.
pub(crate) const IN_SPRING: &str = "2027-06-20T12:00:00Z";

/// The program under test.
pub(crate) const PROGRAM: &str = env!("CARGO_BIN_EXE_propagule");

/// A folder with a home in it, gone with the test.
pub(crate) struct TestHome {
    folder: TempDir,
    now: Mutex<&'static str>,
}

/// What a command did.
#[derive(Debug)]
pub(crate) struct Ran {
    /// Exit code.
    pub(crate) code: i32,
    /// Standard output.
    pub(crate) out: String,
    /// Standard error.
    pub(crate) err: String,
}

impl TestHome {
    /// A folder without a home.
    pub(crate) fn bare() -> Self {
        Self { folder: TempDir::new().expect("a folder"), now: Mutex::new(NOW) }
    }

    /// A folder with a home on a network of its own.
    pub(crate) fn new() -> Self {
        let home = Self::bare();
        home.ok(&["init", "--network", "test"]);
        home
    }

    /// A home with a place and one trial, none rooted and most alive.
    pub(crate) fn with_trial() -> Self {
        let home = Self::new();
        home.ok(&["place", "--zone", "8b", "--hemisphere", "north"]);
        let table = home.write("season.csv", TRIAL);
        home.ok(&["trial", "import", &table, "--yes"]);
        home
    }

    /// From here on it is that time.
    pub(crate) fn at(&self, now: &'static str) {
        *self.now.lock().expect("no test fails while it holds this") = now;
    }

    /// Takes in the spring counts of the trial, in spring; then it is the time that it was.
    pub(crate) fn import_spring(&self) {
        let table = self.write("spring.csv", SPRING);
        let output =
            self.command(&["trial", "import", &table, "--yes"]).env("PROPAGULE_CLOCK", IN_SPRING).output();
        let ran = ran(&output.expect("the program starts"));
        assert_eq!(ran.code, 0, "{}", ran.err);
    }

    /// Where the home is.
    pub(crate) fn path(&self) -> PathBuf {
        self.folder.path().join("home")
    }

    /// Writes a file beside the home and returns its path.
    pub(crate) fn write(&self, name: &str, content: impl AsRef<[u8]>) -> String {
        let path = self.folder.path().join(name);
        std::fs::write(&path, content).expect("writes");
        path.display().to_string()
    }

    /// A command in this home, not started.
    pub(crate) fn command(&self, words: &[&str]) -> Command {
        let mut command = self.bare_command(PROGRAM);
        command.arg("--home").arg(self.path()).args(words);
        command
    }

    /// A program in this folder with a clean environment.
    pub(crate) fn bare_command(&self, program: &str) -> Command {
        let now = *self.now.lock().expect("no test fails while it holds this");
        let mut command = Command::new(program);
        command.current_dir(self.folder.path()).stdin(Stdio::null());
        command.env("XDG_RUNTIME_DIR", self.folder.path().join("runtime")).env("PROPAGULE_CLOCK", now);
        command.env_remove("PROPAGULE_HOME").env_remove("RUST_LOG").env_remove("COLUMNS").env("LC_ALL", "C");
        command
    }

    /// The command in a message's hint, as a shell reads it after pasting; it acts on this home unless it
    /// names another.
    pub(crate) fn pasted(&self, message: &str) -> Command {
        let hints = message.lines().filter_map(|line| line.strip_prefix("hint: "));
        let words = hints.filter_map(|hint| hint.split_once("propagule ")).map(|(_, words)| words).next();
        let words = words.unwrap_or_else(|| panic!("a hint with a command: {message}"));
        let mut shell = self.bare_command("sh");
        shell.arg("-c").arg(format!("exec \"$0\" \"$@\" {words}")).arg(PROGRAM);
        if !words.contains("--home ") {
            shell.arg("--home").arg(self.path());
        }
        shell
    }

    /// Runs a command to its end.
    pub(crate) fn run(&self, words: &[&str]) -> Ran {
        ran(&self.command(words).output().expect("the program starts"))
    }

    /// Runs a line as it is typed into a shell, in this home.
    pub(crate) fn shell(&self, line: &str) -> Ran {
        let words = line.strip_prefix("propagule ").unwrap_or_else(|| panic!("{line}"));
        let mut shell = self.bare_command("sh");
        shell.arg("-c").arg(format!("exec \"$0\" --home \"$1\" {words}")).arg(PROGRAM).arg(self.path());
        ran(&shell.output().expect("a shell"))
    }

    /// Runs a command that succeeds.
    pub(crate) fn ok(&self, words: &[&str]) -> String {
        let ran = self.run(words);
        assert_eq!(ran.code, 0, "{words:?}: {}", ran.err);
        ran.out
    }

    /// Runs a command that fails with this code, and returns what it said; there is always a way on.
    pub(crate) fn fails(&self, code: i32, words: &[&str]) -> String {
        let ran = self.run(words);
        assert_eq!(ran.code, code, "{words:?}: {} {}", ran.out, ran.err);
        assert!(ran.err.starts_with("error: ") || ran.err.contains("\nerror: "), "{}", ran.err);
        assert!(ran.err.contains("\nhint: "), "{}", ran.err);
        ran.err
    }

    /// Runs a reading command with `--json`; nothing else may stand on stdout.
    pub(crate) fn json(&self, words: &[&str]) -> Value {
        let words: Vec<&str> = words.iter().copied().chain(["--json"]).collect();
        serde_json::from_str(&self.ok(&words)).expect("JSON and nothing else")
    }
}

/// Every command that a text names is named as it is called now.
#[track_caller]
pub(crate) fn check_names(text: &str) {
    for (at, _) in text.match_indices("propagule ") {
        let line = text[at..].lines().next().unwrap_or_default();
        let words =
            line.split_whitespace().skip(1).map(|word| word.trim_matches(|c| "`'\"(),.:;".contains(c)));
        let old = propagule_node::cli::renamed::old_names(words.map(str::to_owned).collect());
        assert_eq!(old, [], "an old name is shown: {line}");
    }
}

/// A finished run; what it printed as JSON keeps to its schema.
#[track_caller]
pub(crate) fn ran(output: &Output) -> Ran {
    let out = String::from_utf8_lossy(&output.stdout).into_owned();
    schema::check(&out);
    check_names(&out);
    check_names(&String::from_utf8_lossy(&output.stderr));
    Ran {
        code: output.status.code().expect("it ended by itself"),
        out,
        err: String::from_utf8_lossy(&output.stderr).into_owned(),
    }
}

/// Says that a test could not run here; under `PROPAGULE_REQUIRE_ALL=1` that is a failure.
#[expect(clippy::print_stdout, reason = "a skipped test is reported by name")]
pub(crate) fn skip(name: &str, why: &str) {
    println!("skipped: {name}: {why}");
    let is_required = std::env::var_os("PROPAGULE_REQUIRE_ALL").is_some_and(|value| value == "1");
    assert!(!is_required, "{name} was skipped under PROPAGULE_REQUIRE_ALL=1: {why}");
}

/// One arm of 24, none rooted, 17 alive.
pub(crate) const TRIAL: &str = "\
trial,species,started,started_on,arm,kind,wood,humidity,lift_on,lift_alive,lift_rooted,lift_dead,lift_lost
M1,Morus nigra,24,2026-06-05,A,stem cutting,semi-ripe,dome,2026-09-12,17,0,7,0
";

/// The same trial in spring.
pub(crate) const SPRING: &str = "\
trial,species,started,started_on,arm,spring_on,spring_alive,spring_rooted,spring_dead,spring_lost
M1,Morus nigra,24,2026-06-05,A,2027-04-20,5,3,19,0
";
