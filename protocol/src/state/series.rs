//! Revisions and withdrawals: what stands of each trial.

use std::collections::{BTreeMap, BTreeSet};

use super::Flags;
use super::authors::Authors;
use crate::envelope::Signed;
use crate::id::{AuthorKey, RecordId};
use crate::month::Month;
use crate::record::{Arm, Body, Code, Stage, StageCounts, Summary};

/// A trial as its highest revision tells it.
#[derive(Clone, Debug, PartialEq)]
pub struct Current<'a> {
    /// Oldest key of the chain that the signing key belongs to.
    pub author: AuthorKey,
    /// The key that signed the standing revision.
    pub signer: AuthorKey,
    /// Random name of the trial.
    pub series: [u8; 16],
    /// Record of the standing revision.
    pub id: RecordId,
    /// The standing revision.
    pub summary: &'a Summary,
    /// What a reader should know.
    pub flags: Flags,
    /// Signed month of the lowest revision.
    pub first_signed: Month,
    /// Signed month of the lowest revision that has counts.
    pub first_counts_signed: Option<Month>,
    /// Whether the lowest revision has no counts.
    pub opened: bool,
    /// Every arm of any revision.
    pub arms: Vec<ArmNow<'a>>,
}

/// An arm of a trial over all its revisions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ArmNow<'a> {
    /// As in the highest revision that has it.
    pub arm: &'a Arm,
    /// The largest number that any revision started with: the denominator.
    pub started: u16,
    /// Whether the standing revision left it out.
    pub vanished: bool,
}

/// A series that its author took back.
#[derive(Clone, Debug, PartialEq)]
pub struct Withdrawn<'a> {
    /// Oldest key of the author's chain.
    pub author: AuthorKey,
    /// Random name of the trial.
    pub series: [u8; 16],
    /// The reason of the withdrawal with the lowest id.
    pub reason: Code,
    /// What stood before, where it is held.
    pub was: Option<Current<'a>>,
}

impl Current<'_> {
    /// Whether it was opened in a month before its first counts were signed, and nothing vanished since.
    pub fn was_opened_first(&self) -> bool {
        let is_whole = !self.flags.has(Flags::SHRUNK) && !self.flags.has(Flags::ARM_VANISHED);
        let before_counts =
            self.first_counts_signed.map_or(self.opened, |counted| self.first_signed < counted);
        is_whole && before_counts
    }
}

type SeriesKey = (AuthorKey, [u8; 16]);

pub(super) struct Resolution<'a> {
    pub(super) current: Vec<Current<'a>>,
    pub(super) withdrawn: Vec<Withdrawn<'a>>,
    pub(super) revoked: Vec<Current<'a>>,
}

/// Summaries with at most the two lowest ids for each signing key, series and revision, and the other ids.
///
/// The rule looks at nothing else, so that no later record can make a dropped one matter.
pub(super) fn kept<'a>(records: impl Iterator<Item = &'a Signed>) -> (Vec<&'a Signed>, BTreeSet<RecordId>) {
    let mut seen: BTreeMap<(AuthorKey, [u8; 16], u8), u8> = BTreeMap::new();
    let (mut kept, mut surplus) = (Vec::new(), BTreeSet::new());
    for record in records {
        let Some(summary) = record.body.summary() else { continue };
        let number = seen.entry((record.author, summary.series, summary.revision)).or_default();
        if *number < 2 {
            *number += 1;
            kept.push(record);
        } else {
            surplus.insert(record.id);
        }
    }
    (kept, surplus)
}

pub(super) fn resolve<'a>(
    kept: &[&'a Signed],
    records: impl Iterator<Item = &'a Signed>,
    authors: &Authors,
) -> Resolution<'a> {
    let withdrawals = withdrawals(records, authors);
    let (void, standing): (Vec<&Signed>, Vec<&Signed>) =
        kept.iter().partition(|record| authors.is_void(record));
    let mut trials = trials(&standing, authors);
    let mut void_trials = self::trials(&void, authors);
    void_trials.retain(|key, _| !trials.contains_key(key) && !withdrawals.contains_key(key));
    let withdrawn = withdrawals.into_iter().map(|(key, reason)| {
        let was = trials.remove(&key);
        Withdrawn { author: key.0, series: key.1, reason, was }
    });
    let withdrawn = withdrawn.collect();
    Resolution {
        current: trials.into_values().collect(),
        withdrawn,
        revoked: void_trials.into_values().collect(),
    }
}

/// Withdrawals that are not void. The lowest id gives the reason.
fn withdrawals<'a>(
    records: impl Iterator<Item = &'a Signed>,
    authors: &Authors,
) -> BTreeMap<SeriesKey, Code> {
    let mut withdrawn = BTreeMap::new();
    for record in records.filter(|record| !authors.is_void(record)) {
        if let Body::Withdrawal(withdrawal) = &record.body {
            withdrawn.entry((authors.of_key(&record.author), withdrawal.series)).or_insert(withdrawal.reason);
        }
    }
    withdrawn
}

/// One revision: the records that claim it, lowest id first.
type Revisions<'a> = BTreeMap<u8, Vec<(&'a Signed, &'a Summary)>>;

fn trials<'a>(records: &[&'a Signed], authors: &Authors) -> BTreeMap<SeriesKey, Current<'a>> {
    let mut series: BTreeMap<SeriesKey, Revisions<'a>> = BTreeMap::new();
    for record in records {
        let Some(summary) = record.body.summary() else { continue };
        let key = (authors.of_key(&record.author), summary.series);
        series.entry(key).or_default().entry(summary.revision).or_default().push((record, summary));
    }
    series.into_iter().map(|(key, revisions)| (key, current(key, &revisions, authors))).collect()
}

fn current<'a>((author, series): SeriesKey, revisions: &Revisions<'a>, authors: &Authors) -> Current<'a> {
    let standing: Vec<(&Signed, &Summary)> = revisions.values().map(|claims| claims[0]).collect();
    let (record, summary) = *standing.last().expect("a series has at least one revision");
    let (_, first) = standing[0];
    let history: Vec<&Summary> = standing.iter().map(|(_, summary)| *summary).collect();
    let has_two = revisions.values().any(|claims| claims.len() > 1);
    let is_contested = standing.iter().any(|(record, _)| authors.has_rotated_twice(&record.author));
    let is_revoked = standing.iter().any(|(record, _)| authors.ended(&record.author).is_some());
    Current {
        author,
        signer: record.author,
        series,
        id: record.id,
        summary,
        flags: change_flags(&history)
            .and_if(has_two, Flags::EQUIVOCATED)
            .and_if(is_contested, Flags::ROTATED_TWICE)
            .and_if(is_revoked, Flags::KEY_REVOKED),
        first_signed: first.head.signed,
        first_counts_signed: history.iter().find(|s| s.has_counts()).map(|s| s.head.signed),
        opened: !first.has_counts(),
        arms: arms(&history),
    }
}

/// Arms over the revisions, lowest revision first.
fn arms<'a>(history: &[&'a Summary]) -> Vec<ArmNow<'a>> {
    let mut arms: BTreeMap<u8, ArmNow<'a>> = BTreeMap::new();
    for summary in history {
        for now in arms.values_mut() {
            now.vanished = true;
        }
        for arm in &summary.arms {
            let before = arms.get(&arm.number).map_or(0, |now| now.started);
            arms.insert(arm.number, ArmNow { arm, started: before.max(arm.started), vanished: false });
        }
    }
    arms.into_values().collect()
}

/// What was lost on the way from the lowest to the highest revision.
fn change_flags(history: &[&Summary]) -> Flags {
    let (mut started, mut counted): (BTreeMap<u8, u16>, BTreeSet<(u8, Stage)>) = Default::default();
    let mut flags = Flags::default();
    for summary in history {
        let now: BTreeMap<u8, &Arm> = summary.arms.iter().map(|arm| (arm.number, arm)).collect();
        let shrinks =
            now.iter().any(|(number, arm)| started.get(number).is_some_and(|most| arm.started < *most));
        let vanishes = started.keys().any(|number| !now.contains_key(number));
        let stages: BTreeSet<(u8, Stage)> =
            now.values().flat_map(|arm| stages(&arm.stages).map(|stage| (arm.number, stage))).collect();
        let drops = counted.iter().any(|stage| now.contains_key(&stage.0) && !stages.contains(stage));
        flags = flags
            .and_if(shrinks, Flags::SHRUNK)
            .and_if(vanishes, Flags::ARM_VANISHED)
            .and_if(drops, Flags::STAGE_DROPPED);
        for (number, arm) in now {
            let most = started.entry(number).or_default();
            *most = arm.started.max(*most);
        }
        counted.extend(stages);
    }
    flags
}

/// The stages that have counts.
fn stages(stages: &StageCounts) -> impl Iterator<Item = Stage> {
    stages.counted().filter(|(_, counts)| !counts.is_empty()).map(|(stage, _)| stage)
}
