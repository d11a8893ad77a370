//! A change of key may end after any of its steps; the home goes on with a key that others know to be its own.

use std::fs;
use std::path::Path;
use std::time::Duration;

use propagule_protocol::record::{Extensions, Head, Rotation};
use propagule_protocol::{SecretKey, rotation_proof};
use tempfile::TempDir;

use super::*;
use crate::home::Pace;
use propagule_files::clock::Clock;
use propagule_files::lock::HomeLock;

fn open(folder: &TempDir) -> App {
    let path = folder.path().join("home");
    let home = if Home::exists(&path) { Home::open(&path) } else { Home::create(&path, "test", Pace::Quick) };
    let home = home.expect("a home");
    let lock = HomeLock::take(home.path(), "test", Duration::ZERO).expect("nobody else is here");
    App::open(home, lock, Clock::Fixed("2026-11-25T12:00:00Z".parse().expect("a time"))).expect("opens")
}

fn current(app: &App) -> AuthorKey {
    app.keys().current().author()
}

/// The first two steps of a rotation.
fn tell(app: &App) -> SecretKey {
    let (old, next) = (current(app), app.home.make_next_key().expect("a key"));
    let body = Rotation {
        head: Head::new(app.clock.month()),
        new_key: next.author(),
        proof: rotation_proof(&next, &old, &app.network),
        extensions: Extensions::new(),
    };
    keep(app, vec![signed(app, &Body::Rotation(body), &old).expect("signed")], true).expect("kept");
    next
}

fn rotate(app: &App) {
    handle(app, KeyRequest::Rotate { fresh: false, confirmed: true, at_once: true }).expect("rotates");
}

#[test]
fn before_it_is_told_the_old_key_stays_and_the_next_one_waits() {
    let folder = TempDir::new().expect("a folder");
    let app = open(&folder);
    let (old, next) = (current(&app), app.home.make_next_key().expect("a key").author());
    drop(app);
    let app = open(&folder);
    assert_eq!(current(&app), old);
    rotate(&app);
    assert_eq!(app.keys().public(), [next, old]);
}

#[test]
fn a_key_that_was_not_written_whole_is_made_anew() {
    let folder = TempDir::new().expect("a folder");
    let app = open(&folder);
    let old = current(&app);
    fs::write(app.home.path().join("keys/next.part"), "5f5f").expect("writes");
    rotate(&app);
    assert_eq!(app.keys().public()[1..], [old]);
}

#[test]
fn once_it_is_told_the_change_is_completed_at_the_next_start() {
    let folder = TempDir::new().expect("a folder");
    let app = open(&folder);
    let (old, next) = (current(&app), tell(&app).author());
    drop(app);
    let app = open(&folder);
    assert_eq!(app.keys().public(), [next, old]);
    assert!(app.home.next_key().expect("reads").is_none());
    assert_eq!(app.own().expect("reads").author_of(&next), old);
}

#[test]
fn a_crash_between_keeping_the_old_key_and_naming_the_new_one_is_completed_too() {
    let folder = TempDir::new().expect("a folder");
    let app = open(&folder);
    let (old, next) = (current(&app), tell(&app).author());
    let keys = app.home.path().join("keys");
    fs::copy(keys.join("author.key"), keys.join(format!("former-{}.key", &old.to_string()[..16])))
        .expect("copies");
    assert_eq!(app.home.author_keys().expect("reads").public(), [old], "no key is listed twice");
    drop(app);
    assert_eq!(open(&folder).keys().public(), [next, old]);
}

#[test]
fn every_key_of_three_rotations_is_kept_and_readable_by_its_owner_only() {
    let folder = TempDir::new().expect("a folder");
    let app = open(&folder);
    let mut all = vec![current(&app)];
    for _ in 0..3 {
        rotate(&app);
        all.insert(0, current(&app));
    }
    let mut kept = app.keys().public();
    assert_eq!(kept[0], all[0]);
    kept.sort_unstable();
    all.sort_unstable();
    assert_eq!(kept, all);
    assert_eq!(app.own().expect("reads").authors().len(), 1);
    let mode = |path: &Path| {
        std::os::unix::fs::PermissionsExt::mode(&fs::metadata(path).expect("there").permissions())
    };
    for entry in fs::read_dir(app.home.path().join("keys")).expect("a folder") {
        assert_eq!(mode(&entry.expect("an entry").path()) & 0o777, 0o600);
    }
}
