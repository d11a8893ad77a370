//! Words of faults.

use super::{FaultWords, words};

pub(super) const WORDS: &[FaultWords] = &[
    words(
        "node-did-not-answer",
        "the running Propagule did not answer",
        &["if it was just stopped, run the command again"],
    ),
    words(
        "node-of-another-version",
        "the running Propagule is version {version}, this program is version {version_2}",
        &["stop the running Propagule with Ctrl-C and start it again: propagule serve"],
    ),
    words(
        "command-of-another-version",
        "the running Propagule is version {version}, the command is version {version_2}",
        &["stop the running Propagule with Ctrl-C and start it again: propagule serve"],
    ),
    words(
        "settings-malformed",
        "the settings in {path} cannot be understood",
        &["correct that line, or delete {path} to go back to the defaults"],
    ),
    words(
        "key-file-missing",
        "{path} is missing",
        &["put this file back from a copy; a new key would not be known to be yours"],
    ),
    words(
        "key-file-readable-by-others",
        "{path} can be read by others ({mode})",
        &["chmod 600 {path:paste}"],
    ),
    words(
        "key-file-damaged",
        "{path} is damaged: a key is 64 hex digits",
        &["put this file back from a copy; a new key would not be known to be yours"],
    ),
    words(
        "no-random-key",
        "the system gives no random numbers",
        &["try again after the system has started up"],
    ),
    words(
        "data-folder-unknown",
        "cannot tell where your data should live",
        &["name a folder: propagule --home FOLDER init"],
    ),
    words("home-missing", "there is no data folder at {path}", &["make one: propagule{path_2} init"]),
    words(
        "home-file-damaged",
        "{file} is damaged",
        &["put this file back from a copy; nothing else in the folder was touched"],
    ),
    words(
        "home-id-damaged",
        "{file} is damaged: its id is not 32 hex digits",
        &["put this file back from a copy; nothing else in the folder was touched"],
    ),
    words(
        "home-newer",
        "the data folder {path} has format {found}; this version knows formats up to {format_version}",
        &["use the newer version of propagule that wrote it; nothing was changed"],
    ),
    words(
        "home-exists",
        "there is a data folder already at {place}",
        &["put the archive into a new folder: propagule --home FOLDER restore FILE.zip"],
    ),
    words(
        "folder-not-empty",
        "{place} is not empty",
        &["name a folder that is not there yet: propagule --home FOLDER restore FILE.zip"],
    ),
    words(
        "folder-unusable",
        "{place} cannot be made a data folder",
        &["name a new folder: propagule --home FOLDER restore FILE.zip"],
    ),
    words(
        "archive-key-damaged",
        "the archive's key \"{name}\" is damaged: a key is 64 hex digits",
        &["take an earlier archive, or one without keys; nothing was written"],
    ),
];
