//! Words of faults.

use super::{FaultWords, words};

pub(super) const WORDS: &[FaultWords] = &[
    words(
        "bundle-record-malformed",
        "the command that reads the bundle handed over a result that cannot be read",
        &["it may be of another version: stop Propagule with Ctrl-C and start it again: propagule serve"],
    ),
    words("place-unknown", "there is no site \"{name}\"", &[])
        .otherwise("describe it first: propagule site {name:paste} --zone 8b --hemisphere north"),
    words(
        "node-not-on-list",
        "{peer} is not on the list of allowed nodes",
        &["see who is: propagule peers list"],
    ),
    words("table-damaged", "the table came damaged: {e}", &["try again; nothing was saved"]),
    words("column-unknown", "{option}: there is no column \"{column}\"", &[])
        .otherwise("the columns are listed by: propagule trial import --help"),
    words(
        "word-meaning-unknown",
        "--word {word}={meaning}: \"{meaning}\" says nothing of plants",
        &["write dead, lost, alive, none, not-known, not-counted, or a number"],
    ),
    words(
        "row-meaning-unknown",
        "--row {line}={what}: a row is total or plants",
        &["write --row {line}=total or --row {line}=plants"],
    ),
    words("plant-name-malformed", "{what:doing}: \"{typed}\": {said}", &[])
        .otherwise("write genus and species, such as Morus nigra; a cultivar in single quotes"),
    words(
        "plant-name-needs-yes",
        "{what:doing}: \"{typed}\" would be taken as {taxon} ({said})",
        &["write it as it should be shown, such as {taxon}; or take it so with --yes"],
    ),
    words(
        "record-under-revoked-key",
        "trial \"{code}\" stands as signed in {signed} under a key that was cancelled later: nobody could tell a later count of it from a forged one, so it stays as it is",
        &["see which keys signed what: propagule key show"],
    ),
    words(
        "key-revoked",
        "your key is cancelled: what it signs now counts nowhere",
        &["go on with a new unlinked key: propagule key replace --unlinked"],
    ),
    words("invite-needs-node", "an invite needs the addresses of a running Propagule", &["propagule serve"]),
    words(
        "place-malformed",
        "site \"{name}\": {e}",
        &["temperatures are means in °C and rain is in mm; write 75F or 3in for other units"],
    ),
    words(
        "name-malformed",
        "\"{name}\" cannot be the name of {what:name}",
        &["use 1 to 60 characters in one line, not beginning with a hyphen or a space"],
    ),
    words("plant-not-listed", "{taxon} is not on the list of plants; it can be used all the same", &[])
        .otherwise("use its scientific name, such as: propagule names 'Morus nigra'"),
    words(
        "synonym-not-a-species",
        "`{name}` does not name one species",
        &["see which names are taken for one species: propagule names"],
    ),
    words(
        "synonym-of-itself",
        "`{name}` and itself are one species already",
        &["see which names are taken for one species: propagule names"],
    ),
    words(
        "synonym-ring",
        "`{accepted}` is already a synonym of `{synonym}`; undo that first",
        &["see which names are taken for one species: propagule names"],
    ),
    words(
        "synonym-taken",
        "`{synonym}` is already a synonym of `{accepted}`; undo that first",
        &["see which names are taken for one species: propagule names"],
    ),
    words(
        "network-stopped",
        "the network part of Propagule has stopped",
        &["stop it with Ctrl-C and start it again: propagule serve"],
    ),
    words(
        "plant-not-a-synonym",
        "{one} is not taken for another species",
        &["see which names are: propagule names"],
    ),
    words(
        "trial-not-in-schema",
        "trial \"{trial}\" does not fit what can be published: {e}",
        &["correct its table and read it again: propagule trial import FILE.csv"],
    ),
    words(
        "trial-unpublishable",
        "trial \"{trial}\" cannot be published as it stands: {e}",
        &["see its counts: propagule trial show {trial:paste}"],
    ),
    words(
        "place-not-described",
        "trial \"{trial}\" is at \"{name}\", which is not described yet",
        &["propagule site {name:paste} --zone 8b --hemisphere north"],
    ),
    words(
        "place-missing",
        "a trial needs a site before it can be published or compared",
        &["zone and hemisphere are enough: propagule site --zone 8b --hemisphere north"],
    ),
    words(
        "place-ambiguous",
        "trial \"{trial}\" does not say which of your sites it is at",
        &["add a `place` column to its table and import it again: propagule trial import FILE.csv"],
    ),
    words(
        "trial-withdrawn",
        "trial \"{code}\" was withdrawn, and that is for good",
        &["what should be known after all is entered as a trial with a code of its own"],
    ),
    words(
        "revisions-used-up",
        "trial \"{code}\" has been published {next} times, the most there can be",
        &["its last update stands; enter new ones as a new trial"],
    ),
    words(
        "trial-not-started-to-publish",
        "trial \"{trial}\" has not been started yet",
        &["propagule stick {trial:paste}"],
    ),
    words(
        "clock-before-release",
        "this computer's clock says {today}, before this program was released ({released})",
        &["set the clock; a wrong month would be signed into your result for ever"],
    ),
    words(
        "clock-ahead-of-others",
        "this computer's clock says {today}, but the newest results of others are of {newest}",
        &["set the clock; if it is right, say so: propagule settings clock right"],
    ),
    words(
        "clock-far-ahead",
        "this computer's clock says {today}, long after this program was released ({released}) or last used",
        &["set the clock; if it is right, say so: propagule settings clock right"],
    ),
    words(
        "trial-not-signed",
        "trial \"{code}\" could not be signed",
        &["correct its table and read it again: propagule trial import FILE.csv"],
    ),
    words("no-random-numbers", "the system gives no random numbers", &["try again; nothing was saved"]),
    words("trial-unknown", "there is no trial \"{code}\" on your bench", &[]),
    words("withdraw-reason-unknown", "--reason \"{reason}\": {why}", &[]).otherwise("use one of: {reasons}"),
    words(
        "trial-not-published",
        "trial \"{trial}\" has not been published",
        &["see how it stands: propagule trial show {trial:paste}"],
    ),
    words("record-not-signed", "it could not be signed", &["look at the clock of this computer"]),
    words(
        "key-unknown",
        "you have no key that begins with \"{start}\"",
        &["see its keys: propagule key show"],
    ),
    words(
        "except-unknown",
        "no one result of this key has a number that begins with \"{start}\"",
        &["write 8 digits or more of a number that is listed by: propagule key cancel --from YYYY-MM"],
    ),
    words(
        "too-many-stand",
        "{count} results of this key would stand, more than one list can name",
        &["end it wholly by its printed sheet: propagule key cancel --sheet FILE"],
    ),
    words(
        "key-ambiguous",
        "more than one of your keys begins with \"{start}\"",
        &["write more digits of it, see: propagule key show"],
    ),
    words(
        "revocation-in-future",
        "{from} is still to come, and your results are signed with that key now",
        &[
            "to go on under another key that everybody knows to be yours: propagule key replace",
            "then: propagule key cancel --key {key} --from {from}",
        ],
    ),
    words(
        "rotation-from-revoked-key",
        "the key {old} is cancelled: nobody would believe it that another key follows",
        &["go on with a new unlinked key: propagule key replace --unlinked"],
    ),
    words(
        "sheet-newer-than-clock",
        "the sheet was made in {made_in}, but this computer's clock says {month}",
        &["set the clock, then publish the sheet"],
    ),
    words(
        "sheet-not-a-revocation",
        "what is printed there is not a cancellation sheet",
        &["a sheet is made by: propagule key cancel --write-sheet FILE"],
    ),
    words(
        "sheet-of-another-network",
        "the sheet does not hold in the network \"{network_name}\"",
        &["the sheet names its network: use a data folder of that network"],
    ),
    words(
        "sheet-incomplete",
        "what is printed there is not a whole sheet: {refusal}",
        &["type every numbered line, in order"],
    ),
    words("sheet-unreadable", "the sheet cannot be read: {error}", &[]),
    words(
        "doctor-found-problem",
        "1 of {checks|check|checks} finds a problem",
        &["do what stands below each problem, then look again: propagule doctor"],
    ),
    words(
        "doctor-found-problems",
        "{problems} of {checks|check|checks} find a problem",
        &["do what stands below each problem, then look again: propagule doctor"],
    ),
    words("file-damaged", "{path} is damaged", &["correct or delete that file, then try again"]),
    words(
        "archive-exceeds-limit",
        "the archive would have {zip} MB; {most} MB is the most",
        &["stop Propagule, and keep a copy of the whole data folder instead"],
    ),
    words(
        "archive-not-sent",
        "the running Propagule sent no archive",
        &["stop it with Ctrl-C and start it again: propagule serve"],
    ),
    words(
        "archive-home-id-malformed",
        "cannot restore {file}: the id of its data folder is not 32 hex digits",
        &["take an earlier archive; nothing was written"],
    ),
    words(
        "archive-file-of-other-form",
        "cannot restore {file}: \"{name}\" is not of the form {form}",
        &["take an earlier archive; nothing was written"],
    ),
    words(
        "archive-file-not-text",
        "cannot restore {file}: \"{name}\" is not UTF-8 text",
        &["take an earlier archive; nothing was written"],
    ),
    words(
        "archive-line-no-event",
        "cannot restore {file}: line {line} of \"{name}\" is no entry",
        &["take an earlier archive; nothing was written"],
    ),
    words(
        "archive-record-unreadable",
        "cannot restore {file}: \"{name}\" is no result that this version can read",
        &["take an earlier archive; nothing was written"],
    ),
    words(
        "archive-record-misnamed",
        "cannot restore {file}: \"{name}\" holds the result {id}",
        &["take an earlier archive; nothing was written"],
    ),
    words(
        "archive-contradictory",
        "the archive holds results that contradict each other",
        &["take an earlier archive; nothing was written"],
    ),
    words("species-without-records", "nobody has reported {taxon} here yet", &[]),
    words(
        "grower-name-taken",
        "you call another grower \"{name}\" already",
        &["choose another name; that one is {key}"],
    ),
    words("grower-key-is-own", "that key is your own", &["ask the other grower for theirs"]),
    words(
        "grower-key-malformed",
        "{text} is no key that anybody could sign with: {fault}",
        &["look at its 64 letters again; they see it with: propagule trust"],
    ),
    words("grower-unknown", "\"{text}\" is no key and no grower you have named", &[])
        .otherwise("give the 64 letters of their key; they see it with: propagule trust"),
    words(
        "grower-key-unknown",
        "no key that begins with {text} is known here",
        &["give the 64 letters of their key; they see it with: propagule trust"],
    ),
    words("grower-key-ambiguous", "several keys begin with {text}", &["give more letters: {several}"]),
    words("vouch-missing", "you do not vouch for {grower}", &["see whom you vouch for: propagule trust"]),
    words(
        "vouch-changes-used-up",
        "your vouch for {subject} has changed 256 times, the most there can be",
        &["keep your trust at home from now on: propagule trust add"],
    ),
    words(
        "method-not-fitted",
        "cannot fit \"{method}\"",
        &["look at the counts of that method, or leave it out with --where"],
    ),
    words("methods-not-fitted", "cannot fit all methods together", &["ask for fewer of them with --where"]),
    words("compared-trial-missing", "cannot compare {trial}: no such trial in the table", &[])
        .otherwise("a trial is named GROWER/TRIAL, with the labels of the table"),
    words(
        "compared-trial-not-counted",
        "cannot compare {trial}: nothing was counted as {outcome:counted_as} yet",
        &["compare after the count, or ask for another stage with --stage"],
    ),
    words(
        "own-trial-not-counted",
        "cannot compare trial \"{code}\": nothing was counted as {outcome:counted_as} yet",
        &["compare after the count, or ask for another stage with --stage"],
    ),
];
