//! Coming and going, dialling, falling into parts.

use std::time::Duration;

use propagule_files::clock::Moment;
use propagule_network::limits::{CONNECTIONS, CONNECTIONS_IN, SOUGHT_CONNECTIONS};
use propagule_network::spread::{Dice, Origin};

use super::events::{Event, Name};
use super::world::World;

/// A time in which the network is in two parts.
#[derive(Clone, Copy, Debug)]
pub(super) struct Partition {
    pub(super) begin: Moment,
    pub(super) end: Moment,
    /// Decides who is on which side.
    pub(super) salt: u64,
}

impl Partition {
    fn side(&self, node: Name) -> bool {
        (u64::from(node).wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ self.salt).count_ones().is_multiple_of(2)
    }
}

impl World {
    pub(super) fn latency(&mut self) -> Duration {
        self.dice.between((Duration::from_millis(10), Duration::from_millis(250)))
    }

    /// Whether messages between two nodes arrive now.
    pub(super) fn can_talk(&self, a: Name, b: Name) -> bool {
        let now = self.now;
        self.nodes[a as usize].is_online
            && self.nodes[b as usize].is_online
            && !self
                .partitions
                .iter()
                .any(|one| (one.begin..one.end).contains(&now) && one.side(a) != one.side(b))
    }

    pub(super) fn toggle(&mut self, name: Name) {
        let is_quiet = self.now >= self.quiet_from;
        let node = &mut self.nodes[name as usize];
        if node.is_online && (is_quiet || node.is_always_on || !self.settings.is_churning) {
            return;
        }
        let hours = if node.is_online {
            self.disconnect_all(name);
            self.nodes[name as usize].is_online = false;
            (4, 20)
        } else {
            node.start(&self.settings.timing, self.now);
            for event in [Event::Dial, Event::Sessions, Event::Stems] {
                self.plan(name, Duration::from_secs(1), event);
            }
            (2, 10)
        };
        let hours = (Duration::from_hours(hours.0), Duration::from_hours(hours.1));
        let wait = self.dice.between(hours);
        self.plan(name, wait, Event::Toggle);
    }

    fn disconnect_all(&mut self, name: Name) {
        let links: Vec<Name> = self.nodes[name as usize].links.iter().copied().collect();
        for other in links {
            self.disconnect(name, other);
        }
    }

    pub(super) fn disconnect(&mut self, a: Name, b: Name) {
        for (one, other) in [(a, b), (b, a)] {
            let node = &mut self.nodes[one as usize];
            if node.links.remove(&other) {
                node.schedule.gone(&other);
                node.spread.gone(&other);
                node.sessions.remove(&other);
            }
        }
    }

    /// Cuts what a partition divides.
    pub(super) fn cut_divided(&mut self) {
        for name in 0..self.nodes.len() as Name {
            let cut: Vec<Name> = self.nodes[name as usize]
                .links
                .iter()
                .copied()
                .filter(|b| !self.can_talk(name, *b))
                .collect();
            for other in cut {
                self.disconnect(name, other);
            }
        }
    }

    pub(super) fn dial(&mut self, name: Name) {
        let node = &mut self.nodes[name as usize];
        if !node.is_online {
            return;
        }
        if node.links.len() < SOUGHT_CONNECTIONS {
            let connected = node.links.iter().map(|link| (*link, true));
            let due = node.book.due(self.now, &self.settings.timing, connected, &mut node.dice);
            for (peer, _) in due {
                let wait = self.latency();
                self.plan(peer, wait, Event::Dialled(name));
            }
        }
        let wait = self.settings.timing.redial
            + self.dice.between((Duration::ZERO, self.settings.timing.dial_jitter));
        self.plan(name, wait, Event::Dial);
    }

    /// `name` is dialled by `by`.
    pub(super) fn dialled(&mut self, name: Name, by: Name) {
        if self.nodes[by as usize].links.contains(&name) {
            return;
        }
        let room = (CONNECTIONS.min(CONNECTIONS_IN + SOUGHT_CONNECTIONS as u32)) as usize;
        let is_met = self.can_talk(name, by)
            && self.nodes[name as usize].links.len() < room
            && !self.nodes[name as usize].ledger.is_blocked(&by);
        if !is_met {
            self.nodes[by as usize].book.failed(name);
            return;
        }
        let when = format!("{:020}", self.now.0);
        self.nodes[by as usize].book.met(name, Some(&name.to_string()), &when);
        for (one, other, was_dialled) in [(by, name, true), (name, by, false)] {
            let node = &mut self.nodes[one as usize];
            node.links.insert(other);
            node.ledger.met(other, Some(other), self.now);
            node.schedule.met(other, self.now);
            node.spread.met(other, was_dialled, "");
        }
        let seeker = &self.nodes[by as usize];
        if seeker.links.len() < SOUGHT_CONNECTIONS && !seeker.book.is_full() {
            self.tell(name, by);
        }
        self.plan(by, Duration::from_secs(1), Event::Sessions);
        self.plan(name, Duration::from_secs(1), Event::Sessions);
    }

    /// `name` tells `asker` of others. Liars tell of nobody.
    fn tell(&mut self, name: Name, asker: Name) {
        let node = &mut self.nodes[name as usize];
        if !node.is_honest() {
            return;
        }
        let told = node.book.tell(|peer, _| *peer != asker, &mut node.dice);
        let teller = name.to_string();
        for address in told {
            if let Ok(peer) = address.parse::<Name>()
                && peer != asker
            {
                self.nodes[asker as usize].book.add(peer, &address, Origin::Told(&teller));
            }
        }
    }
}
