//! The network as a whole: makes it, runs it, counts.

use std::time::Duration;

use propagule_files::clock::Moment;
use propagule_network::limits::MONTHS_AHEAD;
use propagule_network::spread::{Dice, Origin, SeededDice};
use propagule_network::sync::Answerer;
use propagule_protocol::{Month, NetworkId};

use super::events::{Event, Name, Queue};
use super::gossip::day_of;
use super::liars::Lie;
use super::links::Partition;
use super::node::{Node, Role};
use super::records::{Bits, Number, Records};
use super::settings::{QUIET_DAYS, Settings};

pub(super) const NETWORK: NetworkId = NetworkId([5; 32]);
/// 2026-03-01, about when the simulation begins.
const BEGIN: Moment = Moment(1_772_323_200_000);
const FIRST_MONTH: i32 = (2026 - 1900) * 12 + 2;
/// Peers that every node knows from the beginning.
const KNOWN: u64 = 6;
/// Months of all nodes whose ids are kept at hand.
const CACHED_MONTHS: usize = 128;
const DAY: Duration = Duration::from_hours(24);

/// What has been counted.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Figures {
    /// Events.
    pub events: u64,
    /// Sessions begun.
    pub sessions: u64,
    /// Sessions between honest nodes that ended with nothing left to fetch.
    pub met: u64,
    /// Of these, those after which something was lacking all the same.
    pub unequal: u64,
    /// Bytes of reconciliation messages.
    pub reconcile_bytes: u64,
    /// Sessions with liars that broke a budget.
    pub over_budget: u64,
    /// Most bytes that a session with a liar cost.
    pub liar_bytes_most: usize,
    /// Blocks of misbehaving peers.
    pub blocked: u64,
    /// Of these, such as kept the rules.
    pub blocked_honest: u64,
    /// Questions that were put off since the asker had used up what it may have.
    pub put_off: u64,
    /// New records by gossip.
    pub by_gossip: u64,
    /// New records by exchange.
    pub by_exchange: u64,
    /// New records by stems that ended.
    pub by_stem: u64,
    /// Gossip messages over a quota.
    pub delayed: u64,
    /// Records handed from node to node by stem.
    pub hops: u64,
    /// Records published.
    pub records: usize,
    /// Honest nodes.
    pub honest: usize,
    /// Honest nodes that do not know every record that is due in the end.
    pub incomplete: usize,
    /// Of everything at the end, to tell runs apart.
    pub digest: u64,
}

/// The network.
pub struct World {
    pub(super) settings: Settings,
    pub(super) now: Moment,
    pub(super) quiet_from: Moment,
    pub(super) dice: SeededDice,
    pub(super) nodes: Vec<Node>,
    pub(super) records: Records,
    pub(super) aside: Vec<Vec<Number>>,
    pub(super) partitions: Vec<Partition>,
    pub(super) answerer: Answerer,
    pub(super) looked_at: Vec<Moment>,
    pub(super) stems_at: Vec<Moment>,
    pub(super) figures: Figures,
    queue: Queue,
}

impl World {
    /// A network before its first day.
    pub fn new(settings: Settings) -> Self {
        let mut dice = SeededDice(settings.seed);
        let mut liars = 0;
        let nodes: Vec<Node> =
            (0..settings.nodes).map(|_| new_node(&mut liars, &settings, &mut dice)).collect();
        let quiet_from = BEGIN.plus(DAY * settings.days as u32);
        let mut world = Self {
            settings,
            now: BEGIN,
            quiet_from,
            aside: vec![Vec::new(); nodes.len()],
            looked_at: vec![Moment(0); nodes.len()],
            stems_at: vec![Moment(0); nodes.len()],
            nodes,
            dice,
            records: Records::default(),
            partitions: Vec::new(),
            answerer: Answerer::caching(NETWORK, CACHED_MONTHS),
            figures: Figures::default(),
            queue: Queue::default(),
        };
        world.introduce();
        world.plan_everything();
        world
    }

    /// Everybody knows a few others.
    fn introduce(&mut self) {
        for name in 0..self.nodes.len() {
            for _ in 0..KNOWN {
                let other = self.dice.below(self.nodes.len() as u64) as Name;
                if other as usize != name {
                    self.nodes[name].book.add(other, &other.to_string(), Origin::Grower);
                }
            }
        }
    }

    fn plan_everything(&mut self) {
        let span = DAY * self.settings.days as u32;
        for name in 0..self.nodes.len() as Name {
            let wait = self.dice.between((Duration::ZERO, Duration::from_hours(6)));
            self.plan(name, wait, Event::Toggle);
            self.queue.plan(self.quiet_from, name, Event::Toggle);
        }
        for _ in 0..self.settings.records {
            let author = self.dice.below(self.nodes.len() as u64) as Name;
            let wait = self.dice.between((Duration::from_hours(8), span));
            if self.nodes[author as usize].is_honest() {
                self.plan(author, wait, Event::Publish);
            }
        }
        for _ in 0..self.settings.partitions {
            let begin = BEGIN.plus(self.dice.between((Duration::ZERO, span)));
            let length = self.dice.between((DAY, DAY * 30));
            let end = begin.plus(length).min(self.quiet_from);
            self.partitions.push(Partition { begin, end, salt: self.dice.roll() });
        }
        for day in 0..self.settings.days + QUIET_DAYS {
            self.queue.plan(BEGIN.plus(DAY * day as u32), 0, Event::Day);
        }
    }

    pub(super) fn plan(&mut self, node: Name, wait: Duration, event: Event) {
        self.queue.plan(self.now.plus(wait), node, event);
    }

    /// Runs to the end and counts.
    pub fn run(mut self) -> Figures {
        let end = self.quiet_from.plus(DAY * QUIET_DAYS as u32);
        while let Some((at, node, event)) = self.queue.next() {
            if at > end {
                break;
            }
            self.now = at;
            self.on_event(node, event);
        }
        self.count()
    }

    fn on_event(&mut self, node: Name, event: Event) {
        match event {
            Event::Toggle => self.toggle(node),
            Event::Dial => self.dial(node),
            Event::Dialled(by) => self.dialled(node, by),
            Event::Sessions => self.begin_sessions(node),
            Event::Stems => self.look_at_stems(node),
            Event::Publish => self.publish(node),
            Event::Asked { by, session, question } => self.answer(node, by, session, &question),
            Event::Answered { by, session, reply } => self.answered(node, by, session, reply),
            Event::Gossip { from, number } => self.on_gossip(node, from, number),
            Event::Garbage { from } => self.on_garbage(node, from),
            Event::Handed { from, number } => self.handed(node, from, number),
            Event::HandedOn { to, id, answer } => self.handed_on(node, to, id, answer),
            Event::Day => self.on_day(),
        }
    }

    /// Blocks run out, records become due, partitions begin and end.
    fn on_day(&mut self) {
        for name in 0..self.nodes.len() {
            self.nodes[name].ledger.released(self.now);
            let latest = self.month_at(name as Name).plus(MONTHS_AHEAD);
            let waiting = std::mem::take(&mut self.aside[name]);
            for number in waiting {
                match self.records.get(number) {
                    Some(record) if record.month <= latest => self.nodes[name].set.show(number, record),
                    _ => self.aside[name].push(number),
                }
            }
        }
        self.cut_divided();
        self.send_garbage();
    }

    /// The month on a node's clock.
    pub(super) fn month_at(&self, name: Name) -> Month {
        let months = (day_of(self.now) - day_of(BEGIN)) as i32 / 30;
        Month((FIRST_MONTH + months + self.nodes[name as usize].months_ahead) as u16)
    }

    /// Records that are due by a clock that is right: those of an author whose clock is ahead are held until then,
    /// and are not forwarded meanwhile.
    fn due(&self) -> Bits {
        let months = (day_of(self.now) - day_of(BEGIN)) as i32 / 30;
        let latest = Month((FIRST_MONTH + months + MONTHS_AHEAD) as u16);
        let mut due = Bits::default();
        for number in 0..self.records.len() as Number {
            if self.records.get(number).is_some_and(|record| record.month <= latest) {
                due.put(number);
            }
        }
        due
    }

    fn count(mut self) -> Figures {
        let honest = self.nodes.iter().filter(|node| node.is_honest());
        let due = self.due();
        self.figures.honest = honest.clone().count();
        self.figures.incomplete = honest.clone().filter(|node| node.set.known.lacks(&due) > 0).count();
        self.figures.records = self.records.len();
        self.figures.events = self.queue.planned();
        let mut digest = SeededDice(self.figures.events ^ self.figures.reconcile_bytes);
        for node in &self.nodes {
            digest =
                SeededDice(digest.roll() ^ u64::from(node.set.visible.count()) ^ node.links.len() as u64);
        }
        self.figures.digest = digest.roll();
        self.figures
    }
}

/// Liars take the ways of lying in turn, so that a few of them have them all.
fn new_node(liars: &mut usize, settings: &Settings, dice: &mut SeededDice) -> Node {
    let is_among = |share: f64, dice: &mut SeededDice| dice.below(10_000) < (share * 10_000.0) as u64;
    let role = if is_among(settings.liars, dice) {
        *liars += 1;
        Role::Liar(Lie::ALL[*liars % Lie::ALL.len()])
    } else {
        Role::Honest
    };
    let mut node = Node::new(role, &settings.timing, dice);
    if is_among(settings.wrong_clocks, dice) {
        node.months_ahead = dice.below(25) as i32 - 12;
    }
    node
}
