//! How a trial began: the events that set it up and put its pieces in, and how it was planned.

use std::collections::BTreeMap;

use super::season::Unit;
use super::trial::Trial;

/// The beginning of a trial.
#[derive(Clone, Debug)]
pub struct Began {
    /// Number of the event that set it up.
    pub set_up: u64,
    /// Number of the event after which its pieces were in; none while it is planned.
    pub put_in: Option<u64>,
    /// As it was last planned; none where it was entered once its pieces were in.
    planned: Option<Trial>,
}

impl Began {
    /// Pieces that were planned for a unit.
    pub fn planned_of(&self, unit: &Unit) -> Option<u16> {
        let arm = self.planned.as_ref()?.arm(unit.arm)?;
        match &unit.replicate {
            None => Some(arm.started),
            Some(code) => arm.replicates.iter().find(|one| one.code == *code).map(|one| one.started),
        }
    }
}

/// The beginnings of all trials, by code.
#[derive(Debug, Default)]
pub(super) struct Beginnings(BTreeMap<String, Began>);

impl Beginnings {
    /// Keeps what an event says of a trial.
    pub(super) fn keep(&mut self, number: u64, trial: &Trial) {
        let new = Began { set_up: number, put_in: None, planned: None };
        let began = self.0.entry(trial.code.clone()).or_insert(new);
        if trial.is_planned {
            began.planned = Some(trial.clone());
        } else {
            began.put_in.get_or_insert(number);
        }
    }

    /// Of the trial with this code.
    pub(super) fn of(&self, code: &str) -> Option<&Began> {
        self.0.get(code)
    }
}
