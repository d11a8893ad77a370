//! Words of faults.

use super::{FaultWords, words};

pub(super) const WORDS: &[FaultWords] = &[
    words("demo-cannot-run", "cannot run propagule", &[]),
    words("demo-program-not-found", "cannot find this program", &[]),
    words("demo-node-cannot-start", "cannot start an invented grower's Propagule", &[]),
    words("demo-node-stopped", "an invented grower's Propagule has stopped", &["its log is {home}"]),
    words("demo-node-did-not-end", "an invented grower's Propagule did not end by itself; it was ended", &[]),
    words("demo-broke", "the demonstration broke at: propagule {words}", &[]),
    words("demo-scenario-broken", "the scenario is broken", &[]),
    words("demo-method-missing", "the scenario holds no such method", &[]),
    words("demo-pool-without-json", "pool printed no JSON", &[]),
    words("demo-folder", "cannot make a folder for the demonstration", &[]),
    words("demo-stopped", "the demonstration was stopped", &[]),
    words("demo-cannot-write", "cannot write {path}", &[]),
    words(
        "demo-revision-changed-count",
        "the update changed the number of trials from {trials} to {after}",
        &[],
    ),
    words(
        "demo-waited-too-long",
        "waited {as_secs} seconds for {what}",
        &["this computer may be very busy; try again: propagule demo"],
    ),
];
