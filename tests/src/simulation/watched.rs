//! Years in which spies watch how records leave: the node's own machine for stems and guards, hour by hour. What is
//! public reaches everybody who is there within the hour; who comes later learns of it then.
//!
//! A spy keeps the rules, and shares with all others who handed it which record. Together they take for the author of a
//! key the node that first handed over most of its records.

use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::time::Duration;

use propagule_files::clock::Moment;
use propagule_network::limits::SOUGHT_CONNECTIONS;
use propagule_network::spread::{Act, Answer, Dice, SeededDice, Spread, Stage};
use propagule_network::timing::Timing;
use propagule_protocol::RecordId;

type Name = u32;
type Number = usize;

/// 2027-01-01.
const BEGIN: Moment = Moment(1_798_761_600_000);
const HOUR: Duration = Duration::from_hours(1);
const DAYS_A_YEAR: u64 = 365;
/// Records of an author in a year, on so many days.
const RECORDS_A_YEAR: u64 = 25;
const DAYS_OF_RECORDS: u64 = 12;

/// What is watched.
#[derive(Clone, Copy, Debug)]
pub struct Spying {
    /// Homes.
    pub nodes: usize,
    /// Homes of growers that publish.
    pub authors: usize,
    /// Share of homes that spy.
    pub spies: f64,
    /// Years.
    pub years: u64,
    /// Whether spies swallow what they are handed.
    pub is_swallowed: bool,
    /// Whether records leave by stem, or are gossiped at once.
    pub by_stem: bool,
    /// Where all chance comes from.
    pub seed: u64,
}

/// What came of it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Seen {
    /// Share of authors that spies know.
    pub found: f64,
    /// Hours from publishing to being public, sorted.
    pub hours: Vec<u64>,
    /// The same without those on which the author's home was off.
    pub hours_there: Vec<u64>,
    /// Records that were not public in the end, of all.
    pub hidden: usize,
}

struct Home {
    spread: Spread<Name>,
    is_spy: bool,
    is_there: bool,
    /// Whole days on which it was there.
    days_there: u64,
    /// Homes that it dials.
    dials: Vec<Name>,
    links: BTreeSet<Name>,
    /// Public records up to here are known to it.
    heard: usize,
}

struct Record {
    author: Name,
    published: Moment,
    published_there: u64,
    public: Option<Moment>,
    hours_there: u64,
}

/// A network that is watched.
pub struct WatchedYears {
    watch: Spying,
    timing: Timing,
    dice: SeededDice,
    now: Moment,
    homes: Vec<Home>,
    records: Vec<Record>,
    /// Records in the order in which they became public.
    public: Vec<Number>,
    /// Homes with something under way.
    active: BTreeSet<Name>,
    /// Of each author, who handed how many of its records to a spy first.
    handed: BTreeMap<Name, BTreeMap<Name, u32>>,
    /// Records that a spy has had.
    had: BTreeSet<Number>,
    due: BTreeMap<u64, Vec<Name>>,
}

impl WatchedYears {
    /// Before the first day.
    pub fn new(watch: Spying) -> Self {
        let mut watched = Self {
            watch,
            timing: Timing::home(),
            dice: SeededDice(watch.seed),
            now: BEGIN,
            homes: Vec::new(),
            records: Vec::new(),
            public: Vec::new(),
            active: BTreeSet::new(),
            handed: BTreeMap::new(),
            had: BTreeSet::new(),
            due: BTreeMap::new(),
        };
        for name in 0..watch.nodes {
            let is_spy = name >= watched.watch.authors && watched.spies_now();
            watched.settle(name, is_spy);
        }
        watched.plan();
        watched
    }

    /// Growers that publish are honest, so the others hold all the spies.
    fn spies_now(&mut self) -> bool {
        let Spying { nodes, authors, spies, .. } = self.watch;
        let share = spies * nodes as f64 / (nodes - authors) as f64;
        self.dice.below(1_000_000) < (share * 1e6) as u64
    }

    /// A home takes a place, whoever was there before.
    fn settle(&mut self, name: usize, is_spy: bool) {
        let (secret, chance) = (self.dice.roll(), self.dice.roll());
        let home = Home {
            spread: Spread::new(self.timing, secret, Box::new(SeededDice(chance))),
            is_spy,
            is_there: false,
            days_there: 0,
            dials: Vec::new(),
            links: BTreeSet::new(),
            heard: self.public.len(),
        };
        match self.homes.get_mut(name) {
            Some(known) => *known = home,
            None => self.homes.push(home),
        }
    }

    /// When growers publish: records of a year on some of its days, once the first weeks are over.
    fn plan(&mut self) {
        for author in 0..self.watch.authors as Name {
            for year in 0..self.watch.years {
                let days: Vec<u64> =
                    (0..DAYS_OF_RECORDS).map(|_| 14 + self.dice.below(DAYS_A_YEAR - 28)).collect();
                for number in 0..RECORDS_A_YEAR {
                    let day = year * DAYS_A_YEAR + days[(number % DAYS_OF_RECORDS) as usize];
                    let hour = day * 24 + 8 + self.dice.below(12);
                    self.due.entry(hour).or_default().push(author);
                }
            }
        }
    }

    /// Plays all years, and counts.
    pub fn run(mut self) -> Seen {
        for hour in 0..self.watch.years * DAYS_A_YEAR * 24 {
            self.now = BEGIN.plus(HOUR * u32::try_from(hour).expect("some years of hours"));
            if hour % 24 == 0 {
                self.begin_day();
            }
            for author in self.due.remove(&hour).unwrap_or_default() {
                self.publish(author);
            }
            for name in self.active.clone() {
                self.look_at(name);
            }
        }
        self.count()
    }

    /// Seven of ten homes are there on a day; three of ten that do not publish leave in a year, and others come.
    fn begin_day(&mut self) {
        for name in 0..self.homes.len() {
            if name >= self.watch.authors && self.dice.below(DAYS_A_YEAR * 10) < 3 {
                let is_spy = self.homes[name].is_spy;
                self.leave(name as Name);
                self.settle(name, is_spy);
            }
            let home = &mut self.homes[name];
            home.days_there += u64::from(home.is_there);
            home.is_there = self.dice.below(10) < 7;
        }
        for name in 0..self.homes.len() as Name {
            if !self.homes[name as usize].is_there {
                self.leave(name);
            }
        }
        for name in 0..self.homes.len() as Name {
            if self.homes[name as usize].is_there {
                self.connect(name);
            }
        }
        for name in 0..self.homes.len() as Name {
            if self.homes[name as usize].is_there {
                self.look_at(name);
            }
        }
    }

    fn leave(&mut self, name: Name) {
        for other in std::mem::take(&mut self.homes[name as usize].links) {
            self.homes[name as usize].spread.gone(&other);
            self.homes[other as usize].links.remove(&name);
            self.homes[other as usize].spread.gone(&name);
        }
    }

    /// Dials those it knows and its guards, and others in place of those that are away.
    fn connect(&mut self, name: Name) {
        let home = &self.homes[name as usize];
        let mut wanted: Vec<Name> = home.dials.iter().copied().chain(home.spread.sought(self.now)).collect();
        wanted.retain(|other| self.homes[*other as usize].is_there);
        while wanted.len() < SOUGHT_CONNECTIONS {
            let other = self.dice.below(self.homes.len() as u64) as Name;
            if other != name && self.homes[other as usize].is_there {
                wanted.push(other);
                let dials = &mut self.homes[name as usize].dials;
                if dials.len() < SOUGHT_CONNECTIONS {
                    dials.push(other);
                }
            }
        }
        for other in wanted {
            for (one, with, is_chosen) in [(name, other, true), (other, name, false)] {
                self.homes[one as usize].links.insert(with);
                self.homes[one as usize].spread.met(with, is_chosen, "");
            }
        }
    }

    fn publish(&mut self, author: Name) {
        // Nobody publishes from a computer that is off.
        if !self.homes[author as usize].is_there {
            self.homes[author as usize].is_there = true;
            self.connect(author);
        }
        let (number, published_there) = (self.records.len(), self.hours_there(author));
        let published = self.now;
        self.records.push(Record { author, published, published_there, public: None, hours_there: 0 });
        let home = &mut self.homes[author as usize];
        if self.watch.by_stem {
            let stage = Stage::begin(false, self.now, &self.timing, &mut self.dice);
            home.spread.load([(id_of(number), stage)], self.now);
            self.active.insert(author);
        } else {
            self.release(author, number);
        }
    }

    /// What a home does within an hour, with all that comes of it.
    fn look_at(&mut self, name: Name) {
        let home = &mut self.homes[name as usize];
        if !home.is_there {
            return;
        }
        for number in &self.public[home.heard..] {
            let _ = home.spread.seen(&id_of(*number));
        }
        home.heard = self.public.len();
        let mut acts: VecDeque<(Name, Act<Name>)> =
            home.spread.tick(self.now).into_iter().map(|act| (name, act)).collect();
        while let Some((at, act)) = acts.pop_front() {
            let more = self.act(at, act);
            acts.extend(more);
        }
        if self.homes[name as usize].spread.is_idle() {
            self.active.remove(&name);
        }
    }

    fn act(&mut self, name: Name, act: Act<Name>) -> Vec<(Name, Act<Name>)> {
        match act {
            Act::Note(..) | Act::Done(_) | Act::KeepGuards => Vec::new(),
            Act::SendOwn(to, id) | Act::SendOn { to, id, .. } => self.hand(name, to, number_of(&id)),
            Act::GossipOwn(id) => {
                self.release(name, number_of(&id));
                self.homes[name as usize].spread.gossiped(&id, true);
                Vec::new()
            }
            Act::Release(bytes) => {
                self.release(name, number_in(&bytes));
                Vec::new()
            }
        }
    }

    fn hand(&mut self, from: Name, to: Name, number: Number) -> Vec<(Name, Act<Name>)> {
        let (now, id) = (self.now, id_of(number));
        self.spy_out(to, from, number);
        let is_public = self.records[number].public.is_some();
        let is_swallowed = self.watch.is_swallowed;
        let home = &mut self.homes[to as usize];
        let (answer, acts) = if home.is_spy && is_swallowed {
            (Answer::Taken, Vec::new())
        } else if home.spread.admits(from, now) {
            home.spread.handed(from, id, number.to_be_bytes().to_vec(), is_public, now)
        } else {
            (Answer::Busy, Vec::new())
        };
        self.active.insert(to);
        let back = self.homes[from as usize].spread.answered(to, id, answer, now);
        let theirs = acts.into_iter().map(|act| (to, act));
        theirs.chain(back.into_iter().map(|act| (from, act))).collect()
    }

    /// A record is public from now on; spies that are connected see who gossips it first.
    fn release(&mut self, by: Name, number: Number) {
        if self.records[number].public.is_some() {
            return;
        }
        let hours = self.hours_there(self.records[number].author) - self.records[number].published_there;
        self.records[number].public = Some(self.now);
        self.records[number].hours_there = hours;
        self.public.push(number);
        let spy =
            self.homes[by as usize].links.iter().copied().find(|other| self.homes[*other as usize].is_spy);
        if let Some(spy) = spy {
            self.spy_out(spy, by, number);
        }
    }

    fn hours_there(&self, name: Name) -> u64 {
        let home = &self.homes[name as usize];
        let today = self.now.since(BEGIN).as_secs() / 3_600 % 24;
        home.days_there * 24 + if home.is_there { today } else { 0 }
    }

    fn spy_out(&mut self, name: Name, from: Name, number: Number) {
        let is_told = self.homes[name as usize].is_spy && !self.homes[from as usize].is_spy;
        if is_told && self.had.insert(number) {
            let author = self.records[number].author;
            *self.handed.entry(author).or_default().entry(from).or_default() += 1;
        }
    }

    fn count(self) -> Seen {
        let most =
            |by: &BTreeMap<Name, u32>| by.iter().max_by_key(|(_, count)| **count).map(|(name, _)| *name);
        let found = self.handed.iter().filter(|(author, by)| most(by) == Some(**author)).count();
        let (mut hours, mut hours_there) = (Vec::new(), Vec::new());
        for record in &self.records {
            hours.extend(record.public.map(|at| at.since(record.published).as_secs() / 3_600));
            hours_there.extend(record.public.map(|_| record.hours_there));
        }
        hours.sort_unstable();
        hours_there.sort_unstable();
        Seen {
            found: found as f64 / self.watch.authors as f64,
            hidden: self.records.len() - hours.len(),
            hours,
            hours_there,
        }
    }
}

fn id_of(number: Number) -> RecordId {
    let mut id = [0; 32];
    id[..8].copy_from_slice(&number.to_be_bytes());
    RecordId(id)
}

fn number_of(id: &RecordId) -> Number {
    number_in(&id.0[..8])
}

fn number_in(bytes: &[u8]) -> Number {
    Number::from_be_bytes(bytes.try_into().expect("a number has eight bytes"))
}
