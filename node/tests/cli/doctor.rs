//! `propagule doctor`: each check is well, or says what is wrong and what mends it.

use std::fs;
use std::net::TcpListener;
use std::os::unix::fs::PermissionsExt;
use std::path::Path;
use std::process::Command;

use serde_json::Value;

use crate::home::{Ran, TestHome, ran};
use crate::serving::Serving;

/// A home whose ports nobody else uses.
fn home() -> TestHome {
    let home = TestHome::with_trial();
    set(&home, "/ip4/127.0.0.1/tcp/48620", "/ip4/127.0.0.1/tcp/0");
    home
}

/// Changes the settings.
fn set(home: &TestHome, from: &str, to: &str) {
    let config = home.path().join("config.toml");
    let text = fs::read_to_string(&config).expect("reads");
    assert!(text.contains(from), "{text}");
    fs::write(config, text.replace(from, to)).expect("writes");
}

fn close(path: &Path, mode: u32) {
    fs::set_permissions(path, fs::Permissions::from_mode(mode)).expect("sets the mode");
}

/// The checks as data, with the exit code that belongs to them.
fn checks(home: &TestHome, words: &[&str]) -> Value {
    let ran = home.run(&[&["doctor", "--json"], words].concat());
    let json: Value = serde_json::from_str(&ran.out).expect("JSON and nothing else");
    assert_eq!(json["format"], "propagule.doctor/1");
    assert_eq!(ran.code, i32::from(json["is_well"] == false), "{ran:?}");
    json["checks"].clone()
}

fn check<'a>(checks: &'a Value, name: &str) -> &'a Value {
    let all = checks.as_array().expect("a list");
    all.iter().find(|one| one["check"] == name).unwrap_or_else(|| panic!("{name} in {checks:#}"))
}

/// Names of the checks that found a problem.
fn problems(checks: &Value) -> Vec<&str> {
    let all = checks.as_array().expect("a list").iter();
    all.filter(|one| one["state"] == "problem").map(|one| one["check"].as_str().expect("text")).collect()
}

/// Pastes what mends the only problem into a shell, with the program on its path.
fn paste_the_fix(home: &TestHome, checks: &Value, name: &str) -> Ran {
    assert_eq!(problems(checks), [name], "{checks:#}");
    let fix = check(checks, name)["fix"][0].as_str().expect("a command").to_owned();
    let folder = Path::new(crate::home::PROGRAM).parent().expect("a folder");
    let path = format!("{}:{}", folder.display(), std::env::var("PATH").expect("a path"));
    let mut shell: Command = home.bare_command("sh");
    ran(&shell.env("PATH", path).args(["-c", &fix]).output().expect("a shell"))
}

#[test]
fn a_sound_home_is_well_line_by_line() {
    let home = home();
    let text = home.ok(&["doctor"]);
    // The digest of the printed trials is too long for one line.
    let lines: Vec<&str> = text.lines().filter(|line| !line.starts_with("  ")).collect();
    assert!(lines.len() == 15 && lines.iter().all(|line| line.starts_with("ok ")), "{text}");
    for part in ["network \"test\"", "1 trial", "not running (propagule serve)", "none known"] {
        assert!(text.contains(part), "{part}: {text}");
    }
    assert!(home.ok(&["doctor", "--full"]).contains("every signature checked again"));
}

#[test]
fn without_a_home_it_says_how_to_make_one() {
    let home = TestHome::bare();
    let found = checks(&home, &[]);
    assert_eq!(check(&found, "clock")["state"], "ok");
    let made = paste_the_fix(&home, &found, "home");
    assert_eq!((made.code, made.out.contains("Made your data folder at")), (0, true), "{made:?}");
}

#[test]
fn a_home_that_is_served_is_looked_at_through_its_node() {
    let home = home();
    let _serving = Serving::start(home.command(&["serve", "--page-port", "0"]));
    let found = checks(&home, &[]);
    assert_eq!(problems(&found), [""; 0], "{found:#}");
    let says = |name: &str| check(&found, name)["says"].as_str().expect("text").to_owned();
    assert!(says("node").starts_with("running as 12D3Koo"), "{found:#}");
    assert!(says("listen").starts_with("Propagule is running and listens on /ip4/127.0.0."), "{found:#}");
}

#[test]
fn a_peer_that_cannot_be_reached_is_told_while_the_node_runs() {
    let home = home();
    let nobody = "/ip4/127.0.0.1/tcp/1/p2p/12D3KooWK99VoVxNE7XzyBwXEzW7xhK7Gpv85r9F3V3fyKSUKPH5";
    home.ok(&["peers", "add", nobody]);
    assert!(check(&checks(&home, &[]), "peers")["says"].as_str().expect("text").contains("none met yet"));
    let _serving = Serving::start(home.command(&["serve", "--no-page"]));
    let found = checks(&home, &[]);
    let listed = paste_the_fix(&home, &found, "peers");
    assert!(listed.out.contains("Connected to 0 peers"), "{listed:?}");
}

#[test]
fn files_that_others_may_read_are_named_and_closed_by_the_command_given() {
    for (name, what) in
        [("", "home"), ("keys", "keys"), ("keys/author.key", "keys"), ("keys/network.key", "keys")]
    {
        let home = home();
        close(&home.path().join(name), 0o755);
        let found = checks(&home, &[]);
        assert!(check(&found, what)["says"].as_str().expect("text").contains("mode 755"), "{found:#}");
        assert_eq!(check(&found, "store")["state"], "not_checked");
        assert_eq!(paste_the_fix(&home, &found, what).code, 0);
        assert_eq!(problems(&checks(&home, &[])), [""; 0], "{name}");
    }
}

#[test]
fn files_that_cannot_be_understood_are_named() {
    for (name, content, what) in [
        ("home.json", "{", "home"),
        ("home.json", "{\"format\": 99}", "home"),
        ("config.toml", "listen = [", "settings"),
        ("config.toml", "qouta_mb = 5", "settings"),
        ("keys/author.key", "short", "keys"),
        ("peers.json", "no book", "store"),
    ] {
        let home = home();
        fs::write(home.path().join(name), content).expect("writes");
        let found = checks(&home, &[]);
        assert_eq!(problems(&found), [what], "{name}: {found:#}");
        assert!(check(&found, what)["fix"][0].is_string(), "{found:#}");
        home.fails(1, &["doctor"]);
    }
}

#[test]
fn a_setting_that_is_misspelt_says_what_was_meant() {
    let home = home();
    set(&home, "quota_mb", "qouta_mb");
    let found = checks(&home, &[]);
    assert!(
        check(&found, "settings")["says"].as_str().expect("text").contains("did you mean quota_mb?"),
        "{found:#}"
    );
}

#[test]
fn damaged_records_are_found_and_repaired_by_the_command_given() {
    let home = home();
    home.ok(&["publish", "M1", "--yes", "--now"]);
    assert_eq!(check(&checks(&home, &[]), "store")["state"], "ok");
    let journal = home.path().join("records/records-000001.journal");
    let mut bytes = fs::read(&journal).expect("reads");
    let middle = bytes.len() / 2;
    bytes[middle] ^= 1;
    fs::write(&journal, bytes).expect("writes");
    let found = checks(&home, &["--full"]);
    let repaired = paste_the_fix(&home, &found, "store");
    assert!(repaired.out.contains("Lost: 1 record of records-000001.journal"), "{repaired:?}");
    let after = checks(&home, &["--full"]);
    assert_eq!(problems(&after), ["store"]);
    assert!(
        check(&after, "store")["says"].as_str().expect("text").starts_with("lost and not come back"),
        "{after:#}"
    );
}

#[test]
fn a_damaged_bench_is_found() {
    let home = home();
    let journal = home.path().join("bench/bench-000001.journal");
    let mut bytes = fs::read(&journal).expect("reads");
    bytes[60] ^= 1;
    fs::write(&journal, bytes).expect("writes");
    let found = checks(&home, &["--full"]);
    assert!(problems(&found).iter().all(|name| ["store", "bench"].contains(name)), "{found:#}");
    assert!(found.to_string().contains("bench-000001.journal is damaged"), "{found:#}");
}

#[test]
fn a_clock_before_the_newest_entry_is_told() {
    let home = home();
    home.ok(&["note", "M1", "still green"]);
    let early = |time: &str| {
        let output = home.command(&["doctor", "--json"]).env("PROPAGULE_CLOCK", time).output();
        let json: Value = serde_json::from_str(&ran(&output.expect("runs")).out).expect("JSON");
        json["checks"].clone()
    };
    let before = early("2026-11-24T12:00:00Z");
    assert_eq!(problems(&before), ["clock"], "{before:#}");
    assert!(check(&before, "clock")["says"].as_str().expect("text").contains("before the newest entry here"));
    assert_eq!(problems(&early("2019-01-01T00:00:00Z")), ["clock"]);
    assert_eq!(problems(&early("2041-01-01T00:00:00Z")), ["clock"]);
}

#[test]
fn a_port_in_use_and_a_quota_used_up_are_told() {
    let home = home();
    let taken = TcpListener::bind("127.0.0.1:0").expect("a port");
    let port = taken.local_addr().expect("an address").port();
    set(&home, "/tcp/0", &format!("/tcp/{port}"));
    set(&home, "page_port = 48621", &format!("page_port = {port}"));
    let found = checks(&home, &[]);
    assert_eq!(problems(&found), ["listen"], "{found:#}");
    assert!(check(&found, "page")["says"].as_str().expect("text").contains("takes the next free one"));
    drop(taken);
    set(&home, "quota_mb = 2048", "quota_mb = 0");
    let compacted = paste_the_fix(&home, &checks(&home, &[]), "disk");
    assert_eq!(compacted.code, 0, "{compacted:?}");
}

#[test]
fn a_socket_that_others_may_reach_or_that_cannot_be_made_is_told() {
    let home = home();
    let runtime = home.path().with_file_name("runtime").join("propagule");
    fs::create_dir_all(&runtime).expect("makes");
    close(&runtime, 0o755);
    assert_eq!(paste_the_fix(&home, &checks(&home, &[]), "socket").code, 0);
    assert_eq!(problems(&checks(&home, &[])), [""; 0]);
    let deep = format!("/tmp/{}", "a".repeat(120));
    let output = home.command(&["doctor", "--json"]).env("XDG_RUNTIME_DIR", deep).output();
    let json: Value = serde_json::from_str(&ran(&output.expect("runs")).out).expect("JSON");
    assert_eq!(problems(&json["checks"]), ["socket"]);
}

#[test]
fn what_mends_a_problem_stays_in_one_piece_on_a_narrow_screen() {
    let home = home();
    let key = home.path().join("keys/author.key");
    close(&key, 0o644);
    let output = home.command(&["doctor"]).env("COLUMNS", "60").output().expect("runs");
    let hint = format!("\n  hint: chmod 600 {}\n", key.display());
    assert!(ran(&output).out.contains(&hint), "{output:?}");
}
