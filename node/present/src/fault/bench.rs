//! Words of faults.

use super::{FaultWords, words};

const COPY_AGAIN: &[&str] =
    &["copy the file again from where it was kept, or take an earlier archive; nothing was written"];
const OURS: &[&str] = &["take a file that propagule export wrote; nothing of this one was written"];

pub(super) const WORDS: &[FaultWords] = &[
    words(
        "started-malformed",
        "{what:doing}: \"{text}\": {why:put_in}",
        &["write POT=how many or TREATMENT=how many, such as P3=4"],
    ),
    words(
        "trial-closed-to-counts",
        "trial \"{code}\" is closed since {on}: nothing is counted there",
        &["if it goes on after all: propagule trial reopen {code:paste}"],
    ),
    words(
        "trial-closed",
        "trial \"{trial}\" is closed since {on}",
        &["if it goes on after all: propagule trial reopen {code}"],
    ),
    words(
        "close-with-pieces-left",
        "trial \"{trial}\" still has {left} alive or not seen that nobody has accounted for",
        &["say what became of them: propagule trial close {what} --rest not-seen (or dead, lost)"],
    ),
    words(
        "trial-not-closed",
        "trial \"{trial}\" is not closed",
        &["see how it stands: propagule trial show {trial:paste}"],
    ),
    words(
        "control-alone",
        "{what:doing}: a control needs other treatments beside it",
        &["add another --treatment, or leave --control out"],
    ),
    words(
        "control-unknown",
        "{what:doing}: there is no treatment \"{label}\" to be the control",
        &["name one of {labels}"],
    ),
    words(
        "correction-changes-nothing",
        "trial \"{trial}\": nothing would change",
        &["say what is to be corrected: propagule trial edit {trial:paste} --help"],
    ),
    words(
        "control-after-count",
        "trial \"{trial}\" has been counted: which treatment the others are compared with is chosen \
             before that",
        &["ask it again in another trial: propagule trial copy {trial:paste}"],
    ),
    words(
        "started-after-count",
        "trial \"{trial}\" has been counted: the number started stays, or rises where there were more \
             ({fewer:places_of})",
        &["propagule check {trial:paste} {fewer:miscounted}"],
    ),
    words(
        "arm-unknown-to-correct",
        "trial \"{code}\" has no treatment \"{label}\"",
        &["it has {labels}; new ones are a new trial with --replaces {code:paste}"],
    ),
    words(
        "correction-of-pots",
        "correct: pots and numbers of a treatment are not changed here",
        &["a number that was miscounted: --started P3=4 or --started A=12"],
    ),
    words(
        "pot-unknown",
        "correct: trial \"{trial}\" has no pot \"{old}\"",
        &["see them: propagule trial show {trial:paste}"],
    ),
    words(
        "pot-code-malformed",
        "correct: \"{new}\" cannot be the code of a pot",
        &["use 1 to 12 letters and digits, such as P9"],
    ),
    words(
        "pot-code-taken",
        "correct: there is a pot or treatment \"{new}\" already",
        &["choose a code that is free"],
    ),
    words(
        "day-before-start",
        "{on} is before trial \"{trial}\" was started ({started_on})",
        &["look at the year of --on"],
    ),
    words("note-empty", "there is nothing to note", &["propagule note {subject:paste} 'what you saw'"]),
    words(
        "trial-without-entries",
        "nothing has been entered for trial \"{trial}\" yet",
        &["to change its description: propagule trial edit {trial:paste} --help"],
    ),
    words(
        "last-entry-not-of-trial",
        "the last entry, number {number}, is not of a trial",
        &["undo it and enter it again: propagule undo"],
    ),
    words(
        "home-without-entries",
        "nothing has been entered yet",
        &["look at a trial and write down what you see: propagule check M1"],
    ),
    words(
        "entry-unknown",
        "trial \"{trial}\" has no entry {number}",
        &["see its entries: propagule trial history {trial:paste}"],
    ),
    words(
        "entry-stands-already",
        "entry {number} stands so already",
        &["say what is different: counts such as P6:rooted=3, or --on DAY"],
    ),
    words(
        "entry-without-counts",
        "that entry holds no counts: it says {what}",
        &["only its day can be corrected (--on), or undo it: propagule undo"],
    ),
    words("day-long-past", "{on} is {years} years ago", &[]),
    words("day-yet-to-come", "{on} is yet to come: by this computer's clock today is {today}", &[]),
    words(
        "columns-out-of-range",
        "--columns {columns}: a bench has 1 to 40",
        &["--columns is how many pots stand side by side"],
    ),
    words(
        "layout-exists",
        "trial \"{trial}\" stands on the bench already",
        &["see where: propagule trial layout {trial:paste}"],
    ),
    words("no-random-seed", "the system gives no random numbers", &["name a seed yourself: --seed 7"]),
    words(
        "spot-empty",
        "no open trial stands on {spot} on {on}",
        &["say what stands there: propagule bench {spot:paste} --trials CODE,CODE"],
    ),
    words(
        "bench-empty",
        "no open trial stands on the bench on {on}",
        &["see your trials: propagule trial list"],
    ),
    words(
        "looks-not-standing",
        "entries {range} are not all checks that stand",
        &["other entries are undone one by one: propagule undo CODE NUMBER"],
    ),
    words(
        "trial-not-started",
        "trial \"{code}\" has not been started yet",
        &["propagule {kind:start_command} {trial:paste}"],
    ),
    words("arm-unknown", "trial \"{trial}\" has no treatment \"{label}\"", &["it has {all}"]),
    words(
        "trial-private",
        "trial \"{trial}\" is private: it stays at home",
        &["if it may be published after all: propagule trial private {code} {back}"],
    ),
    words(
        "publishing-off",
        "publishing is off",
        &["if results may be published after all: propagule settings publishing on"],
    ),
    words("privacy-unchanged", "trial \"{code}\" is {state:privacy}", &[]),
    words(
        "nothing-to-replace",
        "there is nothing of {on} that it could replace",
        &["leave --instead out, or correct the day with --on"],
    ),
    words(
        "question-without-arms",
        "{what:doing}: a question needs two treatments at least",
        &["add another --treatment, or leave --question out: then it is a batch"],
    ),
    words(
        "trial-code-malformed",
        "\"{code}\" cannot be the code of a trial",
        &["use 1 to {code_characters} letters and digits that fit on a tag, such as M1"],
    ),
    words(
        "trial-exists",
        "{what:doing}: there is a trial \"{trial}\" already",
        &["choose another code; to change that one: propagule trial edit {trial:paste}"],
    ),
    words(
        "stock-plant-unknown",
        "{what:doing}: there is no stock plant \"{name}\"",
        &["describe it first: propagule stock {name:paste} --about 'origin=seedling; age=8 years'"],
    ),
    words("spot-unknown", "there is no bench \"{name}\"", &[])
        .otherwise("describe it first: propagule bench {name:paste} --about 'structure=greenhouse'"),
    words(
        "care-ends-before-it-begins",
        "log: it ends on {until}, before it begins on {on}",
        &["look at --on and --until"],
    ),
    words(
        "care-unknown",
        "log: no {what} is logged for {spot}",
        &["see what is: propagule bench {spot:paste}"],
    ),
    words(
        "entry-not-care",
        "entry {number} is not in the log of {spot}",
        &["see its entries: propagule bench {spot:paste}"],
    ),
    words(
        "spot-without-entries",
        "nothing was entered for {spot}",
        &["see what stands there: propagule bench {spot:paste}"],
    ),
    words("caution-unknown", "there is no caution \"{caution}\"", &["they are {ids}"]),
    words(
        "trial-started-already",
        "trial \"{trial}\" was started on {started_on} already",
        &["if the day is wrong: propagule trial edit {trial:paste} --started-on DAY"],
    ),
    words(
        "archive-of-damaged-bench",
        "your entries are damaged in {file}; an archive of them would not be whole",
        &["propagule store repair"],
    ),
    words(
        "archive-of-newer-events",
        "{strange} of the events on the bench were written by a newer version in a form that this one cannot copy",
        &["use the newer version of propagule that wrote them"],
    ),
    words(
        "archive-not-made",
        "cannot make the archive",
        &["propagule export FOLDER writes the same as tables; nothing was changed"],
    ),
    words("archive-not-a-zip-file", "cannot restore {file}: it is no ZIP file, or not whole", COPY_AGAIN),
    words("archive-file-unreadable", "cannot restore {file}: \"{name}\" cannot be read", COPY_AGAIN),
    words(
        "archive-unpacked-too-large",
        "cannot restore {file}: unpacked it is larger than {most} MB",
        COPY_AGAIN,
    ),
    words("archive-file-missing", "cannot restore {file}: \"{name}\" is missing", COPY_AGAIN),
    words(
        "archive-file-changed",
        "cannot restore {file}: \"{name}\" is not as it was when the archive was made",
        COPY_AGAIN,
    ),
    words(
        "archive-file-not-named",
        "cannot restore {file}: its manifest does not name \"{name}\"",
        COPY_AGAIN,
    ),
    words(
        "archive-of-too-many-files",
        "cannot restore {file}: it holds {files|file|files}; {most} is the most",
        OURS,
    ),
    words(
        "archive-with-strange-file",
        "cannot restore {file}: \"{name}\" does not belong into an archive",
        OURS,
    ),
    words("archive-with-file-twice", "cannot restore {file}: it holds \"{name}\" twice", OURS),
    words(
        "archive-directory-contradicts",
        "cannot restore {file}: its directory names {files|file|files} and {read} can be read",
        OURS,
    ),
    words(
        "archive-without-manifest",
        "cannot restore {file}: it has no manifest.json that can be read",
        OURS,
    ),
    words(
        "archive-of-another-format",
        "cannot restore {file}: it is of the form \"{format}\"; this version reads \"{known}\"",
        &["use the newer version of propagule that made it; nothing was written"],
    ),
];
