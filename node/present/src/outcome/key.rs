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

/// Every key of this home.
pub(super) fn all(keys: &Keys) -> Document {
    Document::new().each(&keys.keys, |said, key| said.say(one(key))).say(
        "These keys sign your records. The folder keys/ of your home holds them: copy it to a safe place.",
    )
}

fn one(key: &KeyFacts) -> String {
    let role = if key.current { "signs now" } else { "former" };
    let results = counted(key.results, "published result", "published results");
    let follows =
        if key.author == key.key { String::new() } else { format!(", counted as {}", short(&key.author)) };
    let revoked = key.revoked_from.map(|from| match from.0 {
        0 => ", revoked".to_owned(),
        _ => format!(", revoked from {from} on"),
    });
    format!("{} {role}, {results}{follows}{}", short(&key.key), revoked.unwrap_or_default())
}

/// Going on with another key.
pub(super) fn rotated(rotate: &KeyRotate) -> Document {
    match rotate {
        KeyRotate::PreviewRotated { .. } => Document::new()
            .say(
                "Rotating makes a new key for this home. The old key and the new one both sign that the new one follows, \
                 and that is published: everybody's node goes on counting your trials, old and new, as one grower's. \
                 Later counts of published trials are signed by the new key. The old key stays in the folder keys/, so \
                 that nothing is lost.",
            )
            .say(
                "It hides nothing: anybody can see that both keys are yours. It does not stop a thief who has the old \
                 key: revoke that from a later month, see propagule key cancel --help.",
            ),
        KeyRotate::PreviewFresh { .. } => Document::new().say(
            "A fresh key is not linked to the old one by anything: to everybody else it is another grower. Nothing is \
             published. What is published first from now on is signed by the fresh key; trials published already stay \
             with the old key, which this home keeps for their later counts. To you all of them stay your own.",
        ),
        KeyRotate::Rotated { old, new, record, .. } => Document::new()
            .say(format!("This home signs with the key {} from now on. Record", short(new)))
            .say(record.to_string())
            .say(format!("says that it follows {}.", short(old)))
            .say(
                "A printed revocation is of one key only: propagule key cancel --write-sheet FILE makes one for the new \
                 key.",
            ),
        KeyRotate::Fresh { old, new, .. } => Document::new().say(format!(
            "This home signs with the fresh key {} from now on; {} is kept for the trials published under it.",
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
            .each(new, |said, new| said.say(format!("This home goes on with the fresh key {}.", short(new))))
    };
    match step {
        RevokeStep::Preview { from, stay, fall, standing, is_current, rotated_in } => {
            preview(&short_key, *from, [*stay, *fall], standing, *is_current, *rotated_in)
        }
        RevokeStep::Stands { from, .. } => Document::new()
            .say(format!("The key {short_key} is revoked from {from} on already; nothing to do.")),
        RevokeStep::Revoked { from, record, new } => {
            let said = format!("The key {short_key} is revoked from {from} on by record");
            by_record(said, record, new.as_ref())
        }
        RevokeStep::PreviewSheet { results, own } => preview_of_sheet(&short_key, *results, own),
        RevokeStep::SheetStands { .. } => Document::new()
            .say(format!("This revocation of the key {short_key} is published already; nothing to do.")),
        RevokeStep::SheetRevoked { record, new } => {
            by_record(format!("The key {short_key} is revoked by record"), record, new.as_ref())
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
            "Revoking the key {key} from {from} on is final. Everybody's node leaves out what it signed in {from} or \
             later, also a withdrawal, a vouch or a rotation to another key. What it signed before {from} goes on \
             counting, marked as signed by a key that was revoked later. Your bench record stays."
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
                    "If one of them is not yours, leave it out: --except with the first 8 digits of its record. A list \
                     of what stands goes out with the revocation, so that nobody can add to it by signing with an \
                     earlier month.",
                )
        })
        .when(is_current, |said| {
            said.say(
                "This home goes on with a fresh key that nothing links to this one. Trials of which every result falls \
                 out can be published again under it; a trial of which an earlier result stays keeps that one, and its \
                 later counts cannot follow.",
            )
            .say(
                "If nobody else has the key, rotate it instead: propagule key replace. If somebody may have it, but has \
                 signed nothing yet: rotate first, then revoke the old key from next month on, and all your trials go \
                 on.",
            )
        })
        .each(rotated_in, |said, signed| {
            said.say(format!(
                "Its rotation to another key was signed in {signed} and falls out too: what the later keys signed \
                 becomes another grower's. Revoked from {} on, the rotation stays.",
                signed.plus(1)
            ))
        })
        .say("Programs older than version 0.2 go by the month alone.")
}

/// `M2, Morus nigra, signed 2026-10, record 1f2e3d4c`.
fn standing_line(result: &StandingResult) -> Phrase {
    let StandingResult { record, species, signed, trial } = result;
    let trial = trial.as_ref().map_or_else(|| "no trial of this bench".to_owned(), Clone::clone);
    let record: String = record.to_string().chars().take(8).collect();
    format!("{trial}, {species}, signed {signed}, record {record}").into()
}

fn preview_of_sheet(key: &str, results: usize, own: &Said) -> Document {
    Document::new()
        .say(format!(
            "This revokes {key}, {}, for ever: everybody's node leaves out all that it ever signed, of which this home \
             holds {}, and undoes its withdrawals, its vouches and its rotations to other keys. Nothing brings it back.",
            said::line(own),
            counted(results, "result", "results")
        ))
        .when(matches!(own, Said::WhoseKey { whose: WhoseKey::Current }), |said| {
            said.say(
                "This home goes on with a fresh key that nothing links to this one, under which your trials can be \
                 published again. Your bench record stays.",
            )
        })
}

/// Whose a key is.
pub(super) fn whose(whose: WhoseKey) -> &'static str {
    match whose {
        WhoseKey::Current => "the key of this home",
        WhoseKey::Former => "a former key of this home",
        WhoseKey::Other => "a key that is not of this home",
    }
}

/// The revocation of a key, to be printed; its lines are laid out as they stand.
pub(super) fn sheet(key: &AuthorKey, network: &str, made_in: Month, lines: &str) -> String {
    format!(
        "Propagule: revocation of an author key. Keep this sheet with your papers.\n\nKey: {key}\nNetwork: \
         {network}\nMade in: {made_in}\n\nPublishing what stands here takes every result that this key signed, early or \
         late, out of\neverybody's pools for ever, and undoes its withdrawals, its vouches and its rotations to\nother \
         keys. Use it when the key is lost or stolen and nothing of it should count any more.\nWhoever has this sheet \
         can do that. It needs no key: type the numbered lines into a file, and\nin any home of this network run\n\n  \
         propagule key cancel --sheet FILE\n\n{lines}"
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
