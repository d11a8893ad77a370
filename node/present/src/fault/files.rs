//! Words of faults.

use super::{FaultWords, words};

const WAIT: &[&str] = &["wait for it to finish, or stop it with Ctrl-C in its own window, then try again"];

pub(super) const WORDS: &[FaultWords] = &[
    words("home-in-use", "the data folder {home} is in use by another process", WAIT),
    words(
        "home-in-use-by-process",
        "the data folder {home} is in use by process {process} (propagule {command})",
        WAIT,
    ),
    words("tables-unwritable", "cannot write the tables", &["try again; nothing was changed"]),
    words("file-refused", "cannot {what} {path}", &[]),
    words(
        "index-failed",
        "the index cannot be built",
        &["move the folder `index` out of the data folder and try again: it is built anew"],
    ),
    words(
        "journal-newer",
        "{path} has store format {found}; this version knows formats up to {known}",
        &["use the newer version of propagule that wrote it; nothing was changed"],
    ),
    words(
        "journal-of-other-home",
        "{path} belongs to another data folder",
        &["move that file out of this data folder; results travel by `propagule bundle`"],
    ),
    words(
        "journal-poisoned",
        "an earlier entry could not be written; nothing more is written until the data folder is opened again",
        &["stop this process and start again; what was acknowledged is safe"],
    ),
    words(
        "internal",
        "a fault in the program, number {reference}: {at}",
        &["tell those who make this program that line; propagule doctor says whether all is well here"],
    ),
];
