//! Own records on their way out, as the store remembers them over restarts.

use std::collections::BTreeMap;

use propagule_protocol::RecordId;
use serde::{Deserialize, Serialize};

use super::Dice;
use crate::limits::OUTBOX;
use crate::timing::Timing;
use propagule_files::clock::Moment;

/// How far an own record has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Stage {
    /// Hidden; leaves by stem from then on.
    Waiting(Moment),
    /// Hidden; handed to a stem, and handed on again from then on unless it is public.
    Stemmed(Handing),
    /// In the set; to be gossiped as soon as somebody listens.
    Open,
}

/// An own record that others have.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Handing {
    /// When it was due to leave.
    pub since: Moment,
    /// When it is handed on again.
    pub until: Moment,
    /// How often it was handed on.
    pub times: u8,
}

impl Stage {
    /// The stage of a record that is published now.
    pub fn begin(at_once: bool, now: Moment, timing: &Timing, dice: &mut dyn Dice) -> Self {
        if at_once {
            return Self::Open;
        }
        Self::Waiting(now.plus(dice.between((std::time::Duration::ZERO, timing.publish_delay))))
    }

    /// Whether nobody else may learn of the record here.
    pub fn is_hidden(self) -> bool {
        !matches!(self, Self::Open)
    }

    /// When a hidden record was due to leave.
    pub fn since(self) -> Option<Moment> {
        match self {
            Self::Waiting(since) => Some(since),
            Self::Stemmed(handing) => Some(handing.since),
            Self::Open => None,
        }
    }

    /// Whether a record that was due to leave is hidden for so long that its grower is asked what to do.
    pub fn is_stuck(self, now: Moment, timing: &Timing) -> bool {
        self.since().is_some_and(|since| since.plus(timing.stuck_after) <= now)
    }

    /// Nine bytes, stage and time; of a record that was handed on also since when, and how often.
    pub fn encode(self) -> Vec<u8> {
        let (code, until) = match self {
            Self::Waiting(until) => (0, until),
            Self::Stemmed(handing) => (1, handing.until),
            Self::Open => (2, Moment(0)),
        };
        let mut out = vec![code];
        out.extend(until.0.to_be_bytes());
        if let Self::Stemmed(handing) = self {
            out.extend(handing.since.0.to_be_bytes());
            out.push(handing.times);
        }
        out
    }

    /// Reads what [`Self::encode`] wrote, now or when nothing but stage and time was written.
    pub fn decode(bytes: &[u8]) -> Option<Self> {
        let (code, rest) = bytes.split_first()?;
        let (until, rest) = rest.split_first_chunk()?;
        let until = Moment(u64::from_be_bytes(*until));
        match (code, rest) {
            (0, []) => Some(Self::Waiting(until)),
            (1, []) => Some(Self::Stemmed(Handing { since: until, until, times: 1 })),
            (1, [since @ .., times]) => {
                let since = Moment(u64::from_be_bytes(since.try_into().ok()?));
                Some(Self::Stemmed(Handing { since, until, times: *times }))
            }
            (2, []) => Some(Self::Open),
            _ => None,
        }
    }
}

/// The own records that are not done with.
#[derive(Clone, Debug, Default)]
pub struct Outbox {
    records: BTreeMap<RecordId, Stage>,
}

impl Outbox {
    /// Takes over what the store remembers; what is under way here already stays as it is, unless it is open.
    ///
    /// A clock that once stood far ahead must not hold a record back for years, so no wait is longer than
    /// the longest that can be drawn. When the outbox is full, the others wait in the store.
    pub fn load(&mut self, rows: impl IntoIterator<Item = (RecordId, Stage)>, now: Moment, timing: &Timing) {
        for (id, stage) in rows {
            if self.records.len() >= OUTBOX && !self.records.contains_key(&id) {
                continue;
            }
            let stage = match stage {
                Stage::Waiting(until) => Stage::Waiting(until.min(now.plus(timing.publish_delay))),
                Stage::Stemmed(handing) => Stage::Stemmed(Handing {
                    since: handing.since.min(now),
                    until: handing.until.min(now.plus(timing.hand_again.1)),
                    ..handing
                }),
                Stage::Open => Stage::Open,
            };
            let known = self.records.entry(id).or_insert(stage);
            if stage == Stage::Open {
                *known = stage;
            }
        }
    }

    /// Sets the stage of a record.
    pub fn set(&mut self, id: RecordId, stage: Stage) {
        self.records.insert(id, stage);
    }

    /// The stage of a record that is not done with.
    pub fn stage(&self, id: &RecordId) -> Option<Stage> {
        self.records.get(id).copied()
    }

    /// Forgets a record that everybody may have now; says whether it was here.
    pub fn done(&mut self, id: &RecordId) -> bool {
        self.records.remove(id).is_some()
    }

    /// Whether everything is done with.
    pub fn is_empty(&self) -> bool {
        self.records.is_empty()
    }

    /// Records whose wait is over, and open ones.
    pub fn due(&self, now: Moment) -> Vec<(RecordId, Stage)> {
        let is_due = |stage: Stage| match stage {
            Stage::Waiting(until) | Stage::Stemmed(Handing { until, .. }) => until <= now,
            Stage::Open => true,
        };
        self.records.iter().filter(|(_, stage)| is_due(**stage)).map(|(id, stage)| (*id, *stage)).collect()
    }
}

#[cfg(test)]
mod tests {
    use std::time::Duration;

    use super::super::SeededDice;
    use super::*;

    #[test]
    fn every_stage_is_read_back_and_nothing_else_is() {
        let handing = Handing { since: Moment(3), until: Moment(u64::MAX), times: 2 };
        for stage in [Stage::Waiting(Moment(7)), Stage::Stemmed(handing), Stage::Open] {
            assert_eq!(Stage::decode(&stage.encode()), Some(stage));
        }
        let earlier = [&[1][..], &9_u64.to_be_bytes()].concat();
        let read = Handing { since: Moment(9), until: Moment(9), times: 1 };
        assert_eq!(Stage::decode(&earlier), Some(Stage::Stemmed(read)), "as it was written before guards");
        for bytes in [&[][..], &[0; 8], &[3; 9], &[0; 10], &[1; 10], &[1; 17], &[1; 19]] {
            assert_eq!(Stage::decode(bytes), None);
        }
    }

    #[test]
    fn the_wait_is_drawn_from_the_whole_delay_and_at_once_means_at_once() {
        let (timing, now) = (Timing::home(), Moment(1_000));
        let mut dice = SeededDice(3);
        let waits: Vec<Duration> = (0..200)
            .map(|_| match Stage::begin(false, now, &timing, &mut dice) {
                Stage::Waiting(until) => until.since(now),
                other => panic!("{other:?}"),
            })
            .collect();
        assert!(waits.iter().all(|wait| *wait <= timing.publish_delay));
        assert!(waits.iter().any(|wait| *wait < timing.publish_delay / 10));
        assert!(waits.iter().any(|wait| *wait > timing.publish_delay / 10 * 9));
        assert_eq!(Stage::begin(true, now, &timing, &mut dice), Stage::Open);
    }

    #[test]
    fn a_wait_written_by_a_clock_far_ahead_is_cut_to_the_longest_there_is() {
        let (timing, now, id) = (Timing::home(), Moment(1_000), RecordId([1; 32]));
        let mut outbox = Outbox::default();
        outbox.load([(id, Stage::Waiting(Moment(u64::MAX)))], now, &timing);
        assert_eq!(outbox.due(now), []);
        assert_eq!(outbox.due(now.plus(timing.publish_delay)).len(), 1);
    }
}
