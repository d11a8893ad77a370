//! The tidy table and the archive, by the commands that a grower gives.

use std::path::Path;
use std::process::Command;

use super::home::{TestHome, skip};
use super::replayed;
use super::serving::Serving;

/// The worked example of the table.
const EXAMPLE: &str = include_str!("../cases/bench-table.csv");

fn beside(home: &TestHome, name: &str) -> String {
    home.path().parent().expect("a folder").join(name).display().to_string()
}

/// A home with the trial of the example.
fn example() -> TestHome {
    replayed::home_of(EXAMPLE).expect("it is played")
}

#[test]
fn the_worked_example_is_written_byte_by_byte() {
    let home = example();
    let folder = beside(&home, "out");
    home.ok(&["export", &folder, "--table"]);
    let table = std::fs::read_to_string(format!("{folder}/bench-table.csv")).expect("a table");
    assert_eq!(table, EXAMPLE);
    let names: Vec<_> =
        std::fs::read_dir(&folder).expect("a folder").flatten().map(|e| e.file_name()).collect();
    assert_eq!(names.len(), 2, "{names:?}");
}

/// What a statistics program reads of the table at the lift day: put in, alive with roots and left, ever rooted of each
/// arm.
const HEADLINES: [&str; 2] = ["dip 6 4 4", "none 6 1 1"];

/// Runs a statistics program on the table; none where the program is not here.
fn read_by(program: &str, words: &[&str], folder: &Path) -> Option<String> {
    let output = Command::new(program).args(words).current_dir(folder).output().ok()?;
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let why = String::from_utf8_lossy(&output.stderr);
    if why.contains("No module named") {
        return None;
    }
    assert!(output.status.success(), "{program}: {why}");
    Some(text)
}

#[test]
fn r_reads_the_same_headlines() {
    let home = example();
    let folder = beside(&home, "out");
    home.ok(&["export", &folder, "--table"]);
    let script = "t <- read.csv('bench-table.csv', na.strings=''); \
        stopifnot(ncol(t) == 69, !anyNA(as.logical(t$counted)), all(t$alive + t$not_known + t$dead + t$lost + t$left_finished + \
        t$left_below == t$started)); l <- t[!is.na(t$stage) & t$stage == 'lift',]; \
        a <- aggregate(cbind(started, rooted_alive + left_finished, ever_rooted) ~ arm_label, l, sum); \
        cat(do.call(paste, a), sep='\\n')";
    match read_by("Rscript", &["-e", script], Path::new(&folder)) {
        Some(text) => assert_eq!(text.lines().collect::<Vec<_>>(), HEADLINES),
        None => skip("r_reads_the_same_headlines", "Rscript is not installed"),
    }
}

#[test]
fn python_reads_the_same_headlines() {
    let home = example();
    let folder = beside(&home, "out");
    home.ok(&["export", &folder, "--table"]);
    let script = "import pandas\nt = pandas.read_csv('bench-table.csv')\n\
        assert len(t.columns) == 69 and t.counted.dtype == bool\n\
        assert (t.alive + t.not_known + t.dead + t.lost + t.left_finished + t.left_below == t.started).all()\n\
        l = t[t.stage == 'lift']\nfor arm, g in l.groupby('arm_label'):\n  \
        print(arm, g.started.sum(), (g.rooted_alive + g.left_finished).sum(), int(g.ever_rooted.sum()))";
    let python = std::env::var("PROPAGULE_PYTHON").unwrap_or_else(|_| "python3".to_owned());
    match read_by(&python, &["-c", script], Path::new(&folder)) {
        // The arm that is called none stays a word: pandas takes only blanks and its own marks for missing.
        Some(text) => assert_eq!(text.lines().collect::<Vec<_>>(), HEADLINES),
        None => {
            skip("python_reads_the_same_headlines", "PROPAGULE_PYTHON, or python3, has no package pandas");
        }
    }
}

/// Archive of `home` as `name`; its path.
fn archived(home: &TestHome, name: &str, more: &[&str]) -> String {
    let file = beside(home, name);
    home.ok(&[&["export", &file], more].concat());
    file
}

fn restored(file: &str) -> TestHome {
    let home = TestHome::bare();
    home.ok(&["restore", file]);
    home
}

#[test]
fn with_keys_the_next_revision_is_by_the_same_grower() {
    let home = TestHome::with_trial();
    home.ok(&["publish", "M1", "--yes", "--now"]);
    let file = archived(&home, "all.zip", &["--with-keys"]);
    let again = restored(&file);
    assert_eq!(again.json(&["trial", "list"]), home.json(&["trial", "list"]));
    again.import_spring();
    let said = again.ok(&["publish", "M1", "--yes", "--now"]);
    assert!(said.contains("update 1"), "{said}");
    let key = |home: &TestHome| home.json(&["key", "show"])["keys"][0]["key"].clone();
    assert_eq!(key(&again), key(&home));
}

#[test]
fn without_keys_it_is_a_new_grower_and_says_so() {
    let home = TestHome::with_trial();
    home.ok(&["publish", "M1", "--yes", "--now"]);
    let said = home.ok(&["export", &beside(&home, "all.zip")]);
    assert!(said.contains("publishes as another grower"), "{said}");
    let again = TestHome::bare();
    let said = again.ok(&["restore", &beside(&home, "all.zip")]);
    assert!(
        said.contains("published as another grower") && said.contains("Use one of the two data folders"),
        "{said}"
    );
    again.import_spring();
    let said = again.ok(&["publish", "M1", "--yes", "--now"]);
    assert!(!said.contains("revision 1"), "{said}");
    let (own, other) = (home.json(&["key", "show"]), again.json(&["key", "show"]));
    assert_ne!(own["keys"][0]["key"], other["keys"][0]["key"]);
}

#[cfg(unix)]
#[test]
fn a_file_with_keys_is_closed_to_others_and_says_what_it_is() {
    use std::os::unix::fs::PermissionsExt;
    let home = TestHome::with_trial();
    let file = beside(&home, "all.zip");
    let said = home.ok(&["export", &file, "--with-keys"]);
    assert_eq!(said.matches("can publish as you").count(), 1, "{said}");
    let mode = std::fs::metadata(&file).expect("a file").permissions().mode();
    assert_eq!(mode & 0o777, 0o600);
    let again = home.fails(1, &["export", &file]);
    assert!(again.contains("is there already") && again.contains("--force"), "{again}");
    home.fails(2, &["export", &beside(&home, "folder"), "--with-keys"]);
    home.fails(2, &["export", &beside(&home, "b.zip"), "--table"]);
}

#[test]
fn a_home_that_is_there_and_a_file_that_is_none_are_left_alone() {
    let home = TestHome::with_trial();
    let file = archived(&home, "all.zip", &[]);
    let said = home.fails(1, &["restore", &file]);
    assert!(said.contains("there is a data folder already"), "{said}");
    let bytes = std::fs::read(&file).expect("reads");
    let cut = home.write("cut.zip", &bytes[..bytes.len() / 2]);
    let bare = TestHome::bare();
    for wrong in [cut, home.write("none.zip", "not an archive")] {
        let said = bare.fails(1, &["restore", &wrong]);
        assert!(said.contains("no ZIP file, or not whole"), "{said}");
        assert!(!bare.path().exists(), "nothing was written");
    }
    bare.fails(2, &["restore", "no-such-file.zip"]);
}

#[test]
fn what_a_broken_off_restore_left_is_thrown_away() {
    let home = TestHome::with_trial();
    let file = archived(&home, "all.zip", &[]);
    let again = TestHome::bare();
    let left = again.path().with_file_name(".home.restoring");
    std::fs::create_dir_all(left.join("bench")).expect("makes");
    std::fs::write(left.join("bench/bench-000001.journal"), "half of a journal").expect("writes");
    again.fails(1, &["trial", "list"]);
    again.ok(&["restore", &file]);
    assert!(!left.exists());
    assert_eq!(again.json(&["trial", "list"]), home.json(&["trial", "list"]));
}

#[test]
fn a_running_node_hands_its_archive_over() {
    let home = TestHome::with_trial();
    let at_rest = std::fs::read(archived(&home, "at-rest.zip", &["--with-keys"])).expect("reads");
    let node =
        Serving::start(home.command(&["serve", "--page-port", "0", "--listen", "/ip4/127.0.0.1/tcp/0"]));
    let served = std::fs::read(archived(&home, "served.zip", &["--with-keys"])).expect("reads");
    drop(node);
    assert_eq!(at_rest, served);
}

#[test]
fn the_doctor_says_when_the_last_archive_was_made() {
    let home = TestHome::with_trial();
    let says = |home: &TestHome| {
        let out = home.run(&["doctor", "--json"]).out;
        let doctor: serde_json::Value = serde_json::from_str(&out).expect("JSON");
        let checks = doctor["checks"].as_array().expect("a list").clone();
        checks.into_iter().find(|one| one["check"] == "archive").expect("the check")["says"].to_string()
    };
    assert!(says(&home).contains("not needed yet"), "{}", says(&home));
    for day in 10..20 {
        home.ok(&["note", "M1", "seen", "--on", &format!("2026-10-{day}")]);
    }
    assert!(
        says(&home).contains("no archive yet") && says(&home).contains("propagule --home"),
        "{}",
        says(&home)
    );
    archived(&home, "all.zip", &[]);
    assert!(says(&home).contains("last archive today"), "{}", says(&home));
    home.at("2026-12-26T12:00:00Z");
    assert!(says(&home).contains("last archive 31 days ago"), "{}", says(&home));
}
