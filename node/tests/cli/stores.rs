//! `propagule store`: damage is noticed, what is whole is salvaged, and a quota is visible.

use std::fs;

use crate::home::TestHome;

fn published() -> TestHome {
    let home = TestHome::with_trial();
    home.ok(&["publish", "M1", "--yes", "--now"]);
    home
}

fn flip(path: &std::path::Path) {
    let mut bytes = fs::read(path).expect("reads");
    let at = bytes.len() - 20;
    bytes[at] ^= 1;
    fs::write(path, bytes).expect("writes");
}

#[test]
fn a_sound_home_is_well_and_compacting_keeps_it_so() {
    let home = published();
    assert!(home.ok(&["store", "verify"]).contains("All is well."));
    let verified = home.json(&["store", "verify"]);
    assert_eq!((&verified["records"]["records"], &verified["is_sound"]), (&1.into(), &true.into()));
    home.ok(&["store", "compact"]);
    assert_eq!(home.json(&["store", "compact"])["format"], "propagule.store/1");
    assert!(home.ok(&["store", "verify"]).contains("All is well."));
    assert_eq!(home.json(&["pool", "Morus nigra"])["methods"][0]["started"], 24);
}

#[test]
fn damage_to_records_is_named_by_record_and_repaired() {
    let home = published();
    let listed = home.json(&["peers", "list"])["records"].clone();
    assert_eq!(listed, 1);
    flip(&home.path().join("records/records-000001.journal"));
    home.fails(1, &["store", "verify"]);
    let repaired = home.json(&["store", "repair"]);
    let verified = home.run(&["store", "verify"]);
    assert_eq!(verified.code, i32::from(repaired["losses"] != serde_json::json!([])), "{verified:?}");
    assert!(!verified.out.contains("Damaged:"), "{verified:?}");
}

#[test]
fn damage_to_the_bench_is_named_and_the_damaged_bytes_are_kept() {
    let home = published();
    flip(&home.path().join("bench/bench-000001.journal"));
    let ran = home.run(&["store", "verify"]);
    assert!(ran.code == 1 && ran.out.contains("Damaged: bench-000001.journal"), "{ran:?}");
    let after = home.json(&["store", "verify"]);
    assert_eq!(after["is_sound"], true);
    assert!(after["kept_aside"][0].as_str().is_some_and(|file| file.starts_with("bench/")), "{after}");
}

#[test]
fn a_quota_that_is_used_up_is_said() {
    let home = published();
    let bundle = home.path().join("all.bundle").display().to_string();
    home.ok(&["bundle", "out", &bundle]);
    let small = TestHome::new();
    let config = small.path().join("config.toml");
    let text = fs::read_to_string(&config).expect("reads").replace("quota_mb = 2048", "quota_mb = 0");
    fs::write(&config, text).expect("writes");
    let taken = small.json(&["bundle", "in", &bundle]);
    assert_eq!((&taken["new"], &taken["dropped"]), (&0.into(), &1.into()));
    assert!(small.ok(&["bundle", "in", &bundle]).contains("not kept, since there is no room for them: 1"));
    assert!(small.ok(&["peers", "list"]).contains("quota of 0 MB is used up"));
}
