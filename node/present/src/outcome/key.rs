//! Keys in words.

use crate::document::{Document, List, Phrase};
use propagule_files::counted::counted;
use propagule_protocol::{AuthorKey, Month};

use super::said;
use propagule_app::outcome::key::{
    KeyFacts, KeyRevoke, KeyRotate, KeySheet, Keys, RevokeStep, StandingResult, WhoseKey,
};
use propagule_app::outcome::said::Said;

/// Digits by which people tell keys apart.
const SHORT_DIGITS: usize = 16;

/// A key as people tell it from others.
fn short(key: &AuthorKey) -> String {
    key.to_string()[..SHORT_DIGITS].to_owned()
}

/// Every key of this grower.
pub(super) fn all(keys: &Keys) -> Document {
    Document::new().each(&keys.keys, |said, key| said.say(one(key))).say(
        "These keys sign your results. They lie in the folder keys/ of your data folder: copy it somewhere safe.",
    )
}

fn one(key: &KeyFacts) -> String {
    let role = if key.current { "signs now" } else { "former" };
    let results = counted(key.results, "published result", "published results");
    let follows =
        if key.author == key.key { String::new() } else { format!(", counted as {}", short(&key.author)) };
    let revoked = key.revoked_from.map(|from| match from.0 {
        0 => ", cancelled".to_owned(),
        _ => format!(", cancelled from {from} on"),
    });
    format!("{} {role}, {results}{follows}{}", short(&key.key), revoked.unwrap_or_default())
}

/// Going on with another key.
pub(super) fn rotated(rotate: &KeyRotate) -> Document {
    match rotate {
        KeyRotate::PreviewRotated { .. } => Document::new()
            .say(
                "This makes a new key for you. The old key and the new one both sign that the new one follows, and that is published. Everybody goes on counting your trials, old and new, as one grower's. Later counts of published trials are signed by the new key. The old key stays in the folder keys/, so nothing is lost.",
            )
            .say(
                "It hides nothing: anybody can see that both keys are yours. It does not stop a thief who has the old \
                 key: cancel that one from a later month, see propagule key cancel --help.",
            ),
        KeyRotate::PreviewFresh { .. } => Document::new().say(
            "Nothing links a new unlinked key to the old one: to everybody else it is another grower. Nothing is published by this. Trials that you publish from now on are signed by the new key. Trials that are out already stay with the old key, which is kept for their later counts. For you, all of them stay your own.",
        ),
        KeyRotate::Rotated { old, new, record, .. } => Document::new()
            .say(format!("Your results are signed with the key {} from now on. The entry", short(new)))
            .say(record.to_string())
            .say(format!("says that it follows {}.", short(old)))
            .say(
                "A cancellation sheet is for one key only. To print one for the new key: propagule key cancel --write-sheet FILE",
            ),
        KeyRotate::Fresh { old, new, .. } => Document::new().say(format!(
            "Your results are signed with the new unlinked key {} from now on; {} is kept for the trials published under it.",
            short(new),
            short(old)
        )),
    }
}

/// The end of a key.
pub(super) fn revoked(KeyRevoke { key, step, .. }: &KeyRevoke) -> Document {
    let short_key = short(key);
    let by_record = |said: String, record: &dyn ToString, new: Option<&AuthorKey>| {
        Document::new()
            .say(said)
            .say(record.to_string())
            .each(new, |said, new| said.say(format!("You go on with the new unlinked key {}.", short(new))))
    };
    match step {
        RevokeStep::Preview { from, stay, fall, standing, is_current, rotated_in } => {
            preview(&short_key, *from, [*stay, *fall], standing, *is_current, *rotated_in)
        }
        RevokeStep::Stands { from, .. } => Document::new()
            .say(format!("The key {short_key} is cancelled from {from} on already; nothing to do.")),
        RevokeStep::Revoked { from, record, new } => {
            let said = format!("The key {short_key} is cancelled from {from} on, by the entry");
            by_record(said, record, new.as_ref())
        }
        RevokeStep::PreviewSheet { results, own } => preview_of_sheet(&short_key, *results, own),
        RevokeStep::SheetStands { .. } => Document::new()
            .say(format!("This cancellation of the key {short_key} is published already; nothing to do.")),
        RevokeStep::SheetRevoked { record, new } => {
            by_record(format!("The key {short_key} is cancelled, by the entry"), record, new.as_ref())
        }
    }
}

fn preview(
    key: &str,
    from: Month,
    [stay, fall]: [usize; 2],
    standing: &[StandingResult],
    is_current: bool,
    rotated_in: Option<Month>,
) -> Document {
    Document::new()
        .say(format!(
            "Cancelling the key {key} from {from} on is final. Nothing that it signed in {from} or later counts any more: no result, withdrawal, vouch or step to another key. What it signed before {from} goes on counting, marked as signed by a key that was cancelled later. Your bench record stays."
        ))
        .say(format!(
            "Of its {} published results, {stay} {} and {fall} {} out.",
            stay + fall,
            if stay == 1 { "stays" } else { "stay" },
            if fall == 1 { "falls" } else { "fall" },
        ))
        .when(stay > 0, |said| {
            said.say(format!("{} yours:", if stay == 1 { "This one stays" } else { "These stay" }))
                .list(List::points(standing.iter().map(standing_line)))
                .say(
                    "If one of them is not yours, leave it out: --except with the first 8 digits of its number. A list of what stands goes out with the cancellation, so nobody can add to it by signing with an earlier month.",
                )
        })
        .when(is_current, |said| {
            said.say(
                "You go on with a new unlinked key. Trials of which every result falls out can be published again under it. A trial of which an earlier result stays keeps that one, and its later counts cannot follow.",
            )
            .say(
                "If nobody else has the key, replace it instead: propagule key replace. If somebody may have it, but has signed nothing yet, replace it first. Then cancel the old key from next month on, and all your trials go on.",
            )
        })
        .each(rotated_in, |said, signed| {
            said.say(format!(
                "The step to your next key was signed in {signed} and falls out too: what the later keys signed becomes another grower's. Cancelled from {} on, that step stays.",
                signed.plus(1)
            ))
        })
        .say("Programs older than version 0.2 go by the month alone.")
}

/// `M2, Morus nigra, signed 2026-10, number 1f2e3d4c`.
fn standing_line(result: &StandingResult) -> Phrase {
    let StandingResult { record, species, signed, trial } = result;
    let trial = trial.as_ref().map_or_else(|| "no trial of this bench".to_owned(), Clone::clone);
    let record: String = record.to_string().chars().take(8).collect();
    format!("{trial}, {species}, signed {signed}, number {record}").into()
}

fn preview_of_sheet(key: &str, results: usize, own: &Said) -> Document {
    Document::new()
        .say(format!(
            "This cancels {key}, {}, for ever. Nothing that it ever signed counts any more, anywhere; {} of it {} here. Its withdrawals, its vouches and its steps to other keys are undone. Nothing brings it back.",
            said::line(own),
            counted(results, "result", "results"),
            if results == 1 { "is" } else { "are" }
        ))
        .when(matches!(own, Said::WhoseKey { whose: WhoseKey::Current }), |said| {
            said.say(
                "You go on with a new unlinked key, under which your trials can be published again. Your bench record stays.",
            )
        })
}

/// Whose a key is.
pub(super) fn whose(whose: WhoseKey) -> &'static str {
    match whose {
        WhoseKey::Current => "your key",
        WhoseKey::Former => "a former key of yours",
        WhoseKey::Other => "a key that is not yours",
    }
}

/// The sheet that cancels a key, to be printed; its lines are laid out as they stand.
pub(super) fn sheet(key: &AuthorKey, network: &str, made_in: Month, lines: &str) -> String {
    format!(
        "Propagule: cancellation sheet of a key. Keep this sheet with your papers.\n\nKey: {key}\nNetwork: \
         {network}\nMade in: {made_in}\n\nPublishing what stands here takes every result that this key signed, early or \
         late, out of\neverybody's figures for ever, and undoes its withdrawals, its vouches and its steps to\nother \
         keys. Use it when the key is lost or stolen and nothing of it should count any more.\nWhoever has this sheet \
         can do that. It needs no key: type the numbered lines into a file, and\non any computer with data of this \
         network run\n\n  propagule key cancel --sheet FILE\n\n{lines}"
    )
}

/// A sheet was written into a file.
pub fn sheet_in_file(file: &str) -> String {
    format!("Print {file}, keep the page with your papers, then delete the file.\n")
}

/// The sheet in lines.
pub(super) fn sheet_in_lines(sheet: &KeySheet) -> Document {
    Document::new().each(said::line(&sheet.sheet).lines(), |said, line| said.say(Phrase::new().code(line)))
}
