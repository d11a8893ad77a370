//! Homes, files and machines that are in the way.

use std::fs;
use std::io::{BufRead, BufReader};
use std::net::TcpListener;
use std::os::unix::fs::PermissionsExt;
use std::process::{Child, Command, Stdio};

use crate::home::{TestHome, ran, skip};

#[test]
fn without_a_home_each_command_says_how_to_make_one() {
    let home = TestHome::bare();
    for words in
        [&["trial", "list"][..], &["serve"], &["pool", "Morus nigra"], &["peers", "list"], &["publish", "M1"]]
    {
        let message = home.fails(1, words);
        assert!(message.contains("there is no data folder at"), "{message}");
        assert!(message.contains(&format!("propagule --home {} init", home.path().display())), "{message}");
    }
}

#[test]
fn a_home_of_a_newer_version_is_left_alone() {
    let home = TestHome::new();
    let file = home.path().join("home.json");
    let newer = fs::read_to_string(&file).expect("reads").replace("\"format\": 2", "\"format\": 99");
    fs::write(&file, &newer).expect("writes");
    let message = home.fails(2, &["trial", "list"]);
    assert!(message.contains("has format 99; this version knows formats up to 2"), "{message}");
    assert_eq!(fs::read_to_string(&file).expect("reads"), newer);
}

#[test]
fn a_journal_of_a_newer_version_is_left_alone() {
    let home = TestHome::new();
    let file = home.path().join("records/records-000001.journal");
    let mut bytes = fs::read(&file).expect("reads");
    bytes[9] = 99;
    fs::write(&file, &bytes).expect("writes");
    let message = home.fails(2, &["trial", "list"]);
    assert!(message.contains("has store format 99"), "{message}");
    assert_eq!(fs::read(&file).expect("reads"), bytes);
}

#[test]
fn damaged_files_of_a_home_are_named() {
    for (name, content, what) in [
        ("home.json", "{", "home.json is damaged"),
        ("config.toml", "listen = [", "config.toml cannot be understood"),
        ("peers.json", "no book", "peers.json is damaged"),
        ("keys/author.key", "short", "author.key is damaged"),
    ] {
        let home = TestHome::new();
        fs::write(home.path().join(name), content).expect("writes");
        let message = home.fails(2, &["peers", "list"]);
        assert!(message.contains(what), "{name}: {message}");
    }
}

#[test]
fn a_key_that_others_can_read_is_refused_with_the_remedy() {
    let home = TestHome::new();
    let key = home.path().join("keys/author.key");
    fs::set_permissions(&key, fs::Permissions::from_mode(0o644)).expect("sets the mode");
    let message = home.fails(2, &["trial", "list"]);
    let remedy = format!("chmod 600 {}", key.display());
    assert!(message.contains("can be read by others (mode 644)") && message.contains(&remedy), "{message}");
    let status = Command::new("sh").args(["-c", &remedy]).status().expect("a shell");
    assert!(status.success());
    home.ok(&["trial", "list"]);
}

#[test]
fn a_folder_that_cannot_be_made_is_named() {
    let home = TestHome::bare();
    fs::write(home.path(), "a file where the home should be").expect("writes");
    let message = home.fails(2, &["init"]);
    assert!(message.contains("cannot create"), "{message}");
}

/// A small file system of its own, unmounted when dropped.
struct SmallDisk(std::path::PathBuf);

impl SmallDisk {
    fn mount(at: &std::path::Path, options: &str) -> Option<Self> {
        fs::create_dir_all(at).ok()?;
        let mounted = Command::new("mount")
            .args(["-t", "tmpfs", "-o", options, "tmpfs"])
            .arg(at)
            .stderr(Stdio::null())
            .status();
        mounted.is_ok_and(|status| status.success()).then(|| Self(at.into()))
    }

    fn remount(&self, options: &str) {
        let status = Command::new("mount").args(["-o", &format!("remount,{options}")]).arg(&self.0).status();
        assert!(status.expect("mount runs").success());
    }
}

impl Drop for SmallDisk {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg("--lazy").arg(&self.0).status();
    }
}

#[test]
fn a_read_only_home_is_named_and_so_is_a_full_disk() {
    let home = TestHome::bare();
    let Some(disk) = SmallDisk::mount(&home.path(), "size=3m") else {
        skip("a_read_only_home_is_named_and_so_is_a_full_disk", "mounting a small file system needs root");
        return;
    };
    home.ok(&["init", "--network", "test"]);
    home.ok(&["place", "--zone", "8b", "--hemisphere", "north"]);
    disk.remount("ro");
    let message = home.fails(2, &["place", "--zone", "7a", "--hemisphere", "north"]);
    assert!(message.contains("Read-only file system") && message.contains("cannot be written"), "{message}");
    disk.remount("rw");
    let mut node = serve(&home);
    let filler = home.path().join("filler");
    let mut size = 3 << 20;
    while size > 0 {
        let grown = fs::OpenOptions::new().create(true).append(true).open(&filler).expect("opens");
        if std::io::Write::write_all(&mut &grown, &vec![0; size]).is_err() {
            size /= 2;
        }
    }
    let table: String = (0..40)
        .map(|i| format!("L{i},Morus nigra,24,2026-06-05,A,{}\n", "a long private note ".repeat(40)))
        .collect();
    let file = home.write("many.csv", format!("trial,species,started,started_on,arm,note\n{table}"));
    let message = home.fails(2, &["trial", "import", &file, "--yes"]);
    assert!(message.contains("the disk is full: free some space"), "{message}");
    fs::remove_file(filler).expect("removes");
    home.ok(&["trial", "import", &home.write("one.csv", crate::home::TRIAL), "--yes"]);
    assert!(home.ok(&["place"]).contains("hardiness zone 8"), "what was acknowledged is there");
    node.kill().expect("ends");
    node.wait().expect("ends");
    assert!(home.ok(&["trial", "list"]).contains("M1"), "what the running node took in after that, too");
}

#[test]
fn a_port_in_use_is_told() {
    let home = TestHome::new();
    let taken = TcpListener::bind("127.0.0.1:0").expect("a port");
    let port = taken.local_addr().expect("an address").port();
    let message = home.fails(2, &["serve", "--listen", &format!("/ip4/127.0.0.1/tcp/{port}")]);
    assert!(message.contains(&format!("cannot listen on /ip4/127.0.0.1/tcp/{port}")), "{message}");
    assert!(message.contains("propagule serve --listen /ip4/127.0.0.1/tcp/0"), "{message}");
}

fn serve(home: &TestHome) -> Child {
    let mut child = home
        .command(&["serve", "--listen", "/ip4/127.0.0.1/tcp/0"])
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("starts");
    let lines = BufReader::new(child.stdout.take().expect("piped")).lines();
    let is_ready = lines.map_while(Result::ok).any(|line| line.starts_with("ready "));
    assert!(is_ready, "the node is ready");
    child
}

#[test]
fn a_second_serve_names_the_first_and_other_commands_go_through_it() {
    let home = TestHome::with_trial();
    let mut first = serve(&home);
    let message = home.fails(2, &["serve", "--listen", "/ip4/127.0.0.1/tcp/0"]);
    assert!(message.contains(&format!("in use by process {} (propagule ", first.id())), "{message}");
    assert!(home.ok(&["trial", "list"]).contains("M1"));
    assert!(home.json(&["peers", "list"])["running"]["peer_id"].is_string(), "the running node answered");
    first.kill().expect("ends");
    first.wait().expect("ends");
    assert!(home.ok(&["trial", "list"]).contains("M1"), "a socket left behind is no obstacle");
}

#[test]
fn commands_at_the_same_time_wait_for_each_other() {
    let home = TestHome::with_trial();
    let started: Vec<Child> = (0..8)
        .map(|_| {
            let mut command = home.command(&["trial", "list"]);
            command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("starts")
        })
        .collect();
    for child in started {
        let ran = ran(&child.wait_with_output().expect("ends"));
        assert_eq!((ran.code, ran.out.contains("M1")), (0, true), "{ran:?}");
    }
}

#[test]
fn bad_bundles_are_refused_and_what_was_whole_is_kept() {
    let (home, other) = (TestHome::with_trial(), TestHome::new());
    home.ok(&["publish", "M1", "--yes", "--now"]);
    let path = home.write("all.bundle", "");
    fs::remove_file(&path).expect("removes");
    home.ok(&["bundle", "out", &path]);
    assert!(home.fails(2, &["bundle", "out", &path]).contains("never overwritten"));
    let whole = fs::read(&path).expect("reads");
    let cut = other.write("cut.bundle", &whole[..whole.len() - 40]);
    let message = other.fails(1, &["bundle", "in", &cut]);
    assert!(
        message.contains("it is cut off after 1 whole records") && message.contains("1 new result,"),
        "{message}"
    );
    let garbage = other.write("garbage.bundle", "no bundle at all, but long enough to look at");
    assert!(other.fails(1, &["bundle", "in", &garbage]).contains("not a bundle of records"));
    let stranger = TestHome::bare();
    stranger.ok(&["init", "--network", "elsewhere"]);
    assert!(stranger.fails(1, &["bundle", "in", &path]).contains("belong to another network"));
}
