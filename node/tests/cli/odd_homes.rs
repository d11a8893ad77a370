//! Homes at awkward paths, of awkward users, with awkward settings.

use std::ffi::OsStr;
use std::fs;
use std::os::unix::ffi::OsStrExt;
use std::os::unix::fs::{PermissionsExt, chown, symlink};
use std::os::unix::process::CommandExt;
use std::path::Path;

use crate::home::{PROGRAM, TestHome, ran, skip};
use crate::serving::Serving;

#[test]
fn a_path_too_long_for_a_socket_only_keeps_the_node_from_serving() {
    let home = TestHome::bare();
    let deep = home.path().join("a".repeat(120));
    let run = |words: &[&str]| {
        let mut command = home.bare_command(PROGRAM);
        command.env_remove("XDG_RUNTIME_DIR").arg("--home").arg(&deep).args(words);
        ran(&command.output().expect("runs"))
    };
    let made = run(&["init", "--network", "test"]);
    assert_eq!(made.code, 0, "{made:?}");
    let to_paste = format!("  propagule --home {} serve\n", deep.display());
    assert!(made.out.contains(&to_paste), "a command to paste is not broken: {made:?}");
    let listed = run(&["trial", "list"]);
    assert_eq!(listed.code, 0, "{listed:?}");
    let serving = run(&["serve", "--listen", "/ip4/127.0.0.1/tcp/0"]);
    assert!(serving.code == 2 && serving.err.contains("set XDG_RUNTIME_DIR"), "{serving:?}");
}

#[test]
fn names_that_are_not_text_are_no_obstacle() {
    let home = TestHome::new();
    let odd = |name: &[u8]| home.path().join(OsStr::from_bytes(name));
    let run = |words: &[&OsStr]| {
        let mut command = home.command(&[]);
        command.args(words);
        ran(&command.output().expect("runs"))
    };
    let bundle = odd(b"\xFFall.bundle");
    let written = run(&["bundle".as_ref(), "out".as_ref(), bundle.as_os_str(), "--json".as_ref()]);
    assert_eq!(written.code, 0, "{written:?}");
    assert_eq!(serde_json::from_str::<serde_json::Value>(&written.out).expect("JSON")["records"], 0);
    let missing = run(&["pool".as_ref(), "--from".as_ref(), odd(b"\xFE.csv").as_os_str()]);
    assert!(missing.code == 2 && missing.err.contains("hint: look at the spelling"), "{missing:?}");
    let other = home.bare_command(PROGRAM).arg("--home").arg(odd(b"\xFD")).args(["init", "--json"]).output();
    assert_eq!(ran(&other.expect("runs")).code, 0);
}

#[test]
fn a_home_variable_set_to_nothing_is_like_none() {
    let folder = TestHome::bare();
    let data = folder.path().join("data");
    let mut command = folder.bare_command(PROGRAM);
    command.env("PROPAGULE_HOME", "").env("XDG_DATA_HOME", &data).args(["init", "--network", "test"]);
    assert_eq!(ran(&command.output().expect("runs")).code, 0);
    assert!(data.join("propagule/home.json").exists());
}

#[test]
fn a_home_behind_a_symbolic_link_is_the_same_home() {
    let home = TestHome::with_trial();
    let link = home.path().with_file_name("link");
    symlink(home.path(), &link).expect("links");
    let _serving = Serving::start(home.command(&["serve", "--listen", "/ip4/127.0.0.1/tcp/0"]));
    let listed = home.bare_command(PROGRAM).arg("--home").arg(&link).args(["trial", "list"]).output();
    assert!(ran(&listed.expect("runs")).out.contains("M1"), "the running node answered");
}

#[test]
fn a_runtime_folder_that_is_none_is_no_obstacle_for_short_commands() {
    let home = TestHome::with_trial();
    let listed = home.command(&["trial", "list"]).env("XDG_RUNTIME_DIR", "/dev/null").output();
    assert_eq!(ran(&listed.expect("runs")).code, 0);
}

#[test]
fn init_does_not_change_the_network_of_a_home() {
    let home = TestHome::new();
    assert!(home.ok(&["init", "--network", "test"]).contains("There is a data folder already"));
    let message = home.fails(1, &["init", "--network", "elsewhere"]);
    assert!(message.contains("belongs to the network \"test\" for ever, not to \"elsewhere\""), "{message}");
    let bare = TestHome::bare();
    let name = bare.fails(2, &["init", "--network", "My Group"]);
    assert!(name.contains("cannot be the name of a network"), "{name}");
    assert!(!bare.path().exists());
}

#[test]
fn a_setting_that_does_not_exist_is_named_and_left_alone() {
    let home = TestHome::new();
    let config = home.path().join("config.toml");
    let settings = fs::read_to_string(&config).expect("reads");
    fs::write(&config, format!("{settings}listn = []\nquota_mb_ = 1\n")).expect("writes");
    let listed = home.run(&["trial", "list", "--json"]);
    assert_eq!(listed.code, 0, "{listed:?}");
    assert!(
        listed.err.contains("there is no setting \"listn\"") && listed.err.contains("did you mean listen?")
    );
    assert!(serde_json::from_str::<serde_json::Value>(&listed.out).is_ok(), "notes stay off stdout");
    fs::write(
        &config,
        format!("{settings}quota_mb = 18446744073709551615\n").replacen("quota_mb = 2048\n", "", 1),
    )
    .expect("writes");
    assert_eq!(home.run(&["trial", "list"]).code, 2, "a number beyond what settings can hold");
}

#[test]
fn a_slip_in_the_settings_is_named_by_line() {
    let home = TestHome::new();
    let config = home.path().join("config.toml");
    for (slip, line) in [("pace = \"hasty\"\n", 1), ("# mine\n\nquota_mb = much\n", 3)] {
        fs::write(&config, slip).expect("writes");
        let message = home.fails(2, &["trial", "list"]);
        assert!(message.contains("config.toml") && message.contains(&format!("line {line},")), "{message}");
    }
}

#[test]
fn a_key_that_is_gone_is_not_made_anew() {
    let home = TestHome::new();
    let key = home.path().join("keys/author.key");
    fs::remove_file(&key).expect("removes");
    let message = home.fails(2, &["trial", "list"]);
    assert!(message.contains("author.key is missing") && message.contains("from a copy"), "{message}");
    assert!(!key.exists(), "a new key would be another author");
}

#[test]
fn homes_of_a_newer_version_are_known_by_their_number_alone() {
    let home = TestHome::new();
    fs::write(home.path().join("home.json"), r#"{"format": 100000, "name": {}}"#).expect("writes");
    let message = home.fails(2, &["trial", "list"]);
    assert!(message.contains("has format 100000; this version knows formats up to 2"), "{message}");
    let home = TestHome::with_trial();
    let file = home.path().join("bench/bench-000001.journal");
    let mut bytes = fs::read(&file).expect("reads");
    bytes[9] = 99;
    fs::write(&file, &bytes).expect("writes");
    let message = home.fails(2, &["trial", "list"]);
    assert!(message.contains("has store format 99"), "{message}");
    assert_eq!(fs::read(&file).expect("reads"), bytes, "left alone");
}

/// Nobody's user and group number, by convention.
const NOBODY: u32 = 65534;

fn for_each_below(path: &Path, act: &impl Fn(&Path)) {
    act(path);
    if path.is_dir() {
        for entry in fs::read_dir(path).expect("reads") {
            for_each_below(&entry.expect("reads").path(), act);
        }
    }
}

fn set_mode(path: &Path, file: u32, folder: u32) {
    let mode = if path.is_dir() { folder } else { file };
    fs::set_permissions(path, fs::Permissions::from_mode(mode)).expect("sets the mode");
}

#[test]
fn a_home_without_the_right_to_write_is_told_with_the_remedy() {
    const NAME: &str = "a_home_without_the_right_to_write_is_told_with_the_remedy";
    let home = TestHome::with_trial();
    let is_root = chown(home.path(), Some(NOBODY), Some(NOBODY)).is_ok();
    for_each_below(&home.path(), &|path| {
        set_mode(path, 0o400, 0o500);
        if is_root {
            chown(path, Some(NOBODY), Some(NOBODY)).expect("root gives files away");
        }
    });
    let outer = home.path().parent().expect("a parent").to_path_buf();
    set_mode(&outer, 0o755, 0o755);
    let mut command = home.command(&["trial", "list"]);
    if is_root {
        command.uid(NOBODY).gid(NOBODY);
    }
    let output = command.output();
    for_each_below(&home.path(), &|path| set_mode(path, 0o600, 0o700));
    let Ok(output) = output else {
        skip(NAME, "another user cannot start the program here");
        return;
    };
    let listed = ran(&output);
    assert_eq!(listed.code, 2, "{listed:?}");
    assert!(
        listed.err.contains("Permission denied") && listed.err.contains("cannot be written"),
        "{listed:?}"
    );
}
