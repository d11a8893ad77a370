//! Records on their way out, as the node's own machine says.

use std::time::Duration;

use propagule_network::spread::{Act, Answer, Dice, Stage};
use propagule_protocol::RecordId;

use super::events::{Event, Name};
use super::records::{Number, bytes_of, number_in};
use super::world::World;

/// How often a node with something under way looks at it.
const LOOK: Duration = Duration::from_mins(10);

impl World {
    pub(super) fn publish(&mut self, name: Name) {
        let month = self.month_at(name);
        let number = self.records.publish(name, month, &mut self.dice);
        let (id, now, timing) =
            (self.records.get(number).expect("it was just made").id, self.now, self.settings.timing);
        let node = &mut self.nodes[name as usize];
        let stage = Stage::begin(false, now, &timing, &mut node.dice);
        node.set.known.put(number);
        node.outbox.insert(id, stage);
        if !stage.is_hidden() {
            self.show(name, number);
        }
        let node = &mut self.nodes[name as usize];
        if node.is_online {
            node.spread.load([(id, stage)], now);
            self.look_at_stems(name);
        }
    }

    pub(super) fn look_at_stems(&mut self, name: Name) {
        let node = &mut self.nodes[name as usize];
        if !node.is_online || !node.is_honest() {
            return;
        }
        let acts = node.spread.tick(self.now);
        let is_busy = !node.outbox.is_empty() || node.spread.relaying() > 0;
        self.act(name, acts);
        if is_busy && self.stems_at[name as usize] <= self.now {
            let wait = LOOK + self.dice.between((Duration::ZERO, LOOK));
            self.stems_at[name as usize] = self.now.plus(wait);
            self.plan(name, wait, Event::Stems);
        }
    }

    /// Does what the machine says; what it wants written down is written into the node's outbox.
    pub(super) fn act(&mut self, name: Name, acts: Vec<Act<Name>>) {
        for act in acts {
            match act {
                Act::Note(id, stage) => self.note(name, id, Some(stage)),
                Act::Done(id) => self.note(name, id, None),
                // A node of a simulation keeps them in its machine over restarts.
                Act::KeepGuards => {}
                Act::SendOwn(to, id) | Act::SendOn { to, id, .. } => self.hand(name, to, id),
                Act::GossipOwn(id) => {
                    let Some(number) = self.records.number(&id) else { continue };
                    let is_taken = self.gossip(name, number, None);
                    let more = self.nodes[name as usize].spread.gossiped(&id, is_taken);
                    self.act(name, more);
                }
                Act::Release(bytes) => {
                    let Some(number) = number_in(&bytes) else { continue };
                    if self.take_in(name, number) {
                        self.figures.by_stem += 1;
                    }
                    self.gossip(name, number, None);
                }
            }
        }
    }

    fn note(&mut self, name: Name, id: RecordId, stage: Option<Stage>) {
        let outbox = &mut self.nodes[name as usize].outbox;
        match stage {
            Some(stage) => outbox.insert(id, stage),
            None => outbox.remove(&id),
        };
        if !stage.is_some_and(Stage::is_hidden)
            && let Some(number) = self.records.number(&id)
        {
            self.show(name, number);
        }
    }

    fn show(&mut self, name: Name, number: Number) {
        if let Some(record) = self.records.get(number) {
            self.nodes[name as usize].set.show(number, record);
        }
    }

    fn hand(&mut self, name: Name, to: Name, id: RecordId) {
        let Some(number) = self.records.number(&id) else { return };
        self.figures.hops += 1;
        let wait = self.latency();
        if self.is_lost() || !self.can_talk(name, to) {
            self.plan(name, wait, Event::HandedOn { to, id, answer: Answer::Busy });
        } else {
            self.plan(to, wait, Event::Handed { from: name, number });
        }
    }

    /// `name` is handed a record. Liars say that they take it, and drop it.
    pub(super) fn handed(&mut self, name: Name, from: Name, number: Number) {
        let Some(record) = self.records.get(number).copied() else { return };
        let now = self.now;
        let is_due = record.month <= self.month_at(name).plus(propagule_network::limits::MONTHS_AHEAD);
        let node = &mut self.nodes[name as usize];
        let (answer, acts) = if !node.is_honest() {
            (Answer::Taken, Vec::new())
        } else if !node.is_online || !is_due || !node.spread.admits(from, now) {
            (Answer::Busy, Vec::new())
        } else {
            let is_public = node.set.visible.has(number);
            node.spread.handed(from, record.id, bytes_of(number), is_public, now)
        };
        let wait = self.latency();
        self.plan(from, wait, Event::HandedOn { to: name, id: record.id, answer });
        self.act(name, acts);
        self.look_at_stems(name);
    }

    pub(super) fn handed_on(&mut self, name: Name, to: Name, id: RecordId, answer: Answer) {
        let now = self.now;
        let acts = self.nodes[name as usize].spread.answered(to, id, answer, now);
        self.act(name, acts);
    }
}
