//! Words of faults.

use super::{FaultWords, words};

pub(super) const WORDS: &[FaultWords] = &[
    words(
        "home-in-use",
        "the home {home} is in use by {who}",
        &["wait for it to finish, or stop it with Ctrl-C in its own window, then try again"],
    ),
    words("tables-unwritable", "cannot write the tables", &["try again; nothing was changed"]),
    words("file-refused", "cannot {what} {path}", &[]),
    words(
        "index-failed",
        "{error}",
        &["move the folder `index` out of the home and try again: it is built anew from the journal"],
    ),
    words(
        "journal-newer",
        "{error}",
        &["use the newer version of propagule that wrote it; nothing was changed"],
    ),
    words(
        "journal-of-other-home",
        "{error}",
        &["move that file out of this home; records travel by `propagule bundle`"],
    ),
    words(
        "journal-poisoned",
        "{error}",
        &["stop this process and start again; what was acknowledged is safe"],
    ),
    words(
        "internal",
        "a fault in the program, number {reference}: {at}",
        &["tell those who make this program that line; propagule doctor says whether all is well here"],
    ),
];
