//! Homes under a flood of fresh keys, reduced to which records each holds: the rules of admission without bytes or time.
//!
//! Two laws of how much is held of one author are compared. A home that is full keeps one range of author hashes, drawn in
//! secret; growers that it knows stay wherever their hash lies, and what of them no range covers is asked for by author.

use std::collections::{BTreeMap, BTreeSet};

/// How much a home holds of one author.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Law {
    /// The lowest ids of each signed year, the same number at every home.
    LowestOfYear(usize),
    /// So many of a stranger as come first, and the lowest ids of each signed year of a known grower.
    FirstOfStrangers(usize, usize),
}

/// What is played.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Play {
    /// Homes.
    pub(crate) homes: usize,
    /// Keys of the flood, each with one record.
    pub(crate) keys: usize,
    /// Strangers' records that a home has room for.
    pub(crate) room: usize,
    /// Growers that every home knows, each with ten records.
    pub(crate) known: usize,
    /// Growers with a hundred records of one year, whom every other home knows.
    pub(crate) heavy: usize,
    /// Growers who appear during the flood, each with ten records.
    pub(crate) newcomers: usize,
    /// The law.
    pub(crate) law: Law,
    /// What is drawn.
    pub(crate) seed: u64,
}

/// What came of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Came {
    /// Share of the known growers' records that the homes hold.
    pub(crate) known_kept: f64,
    /// Share of the heavy growers' records that the homes hold that know them.
    pub(crate) heavy_kept: f64,
    /// Homes that hold all of a newcomer, of the one held least and on average.
    pub(crate) newcomer: (usize, f64),
    /// Most strangers' records at one home.
    pub(crate) fullest: usize,
    /// Pairs of homes whose ranges meet.
    pub(crate) meeting: usize,
    /// Pairs among them that hold different records where they meet, after one pull each way.
    pub(crate) unequal: usize,
    /// Records that a further pull lists.
    pub(crate) listed_again: usize,
}

#[derive(Clone, Copy)]
struct Record {
    author: usize,
    id: u64,
}

/// One range of author hashes: those that begin with the first `bits` of `prefix`.
#[derive(Clone, Copy)]
struct Range {
    bits: u32,
    prefix: u64,
}

impl Range {
    fn holds(self, hash: u64) -> bool {
        self.bits == 0 || (hash ^ self.prefix) >> (64 - self.bits) == 0
    }
}

struct Home {
    range: Range,
    number: usize,
    held: BTreeMap<usize, BTreeSet<u64>>,
    strangers: usize,
}

struct World {
    play: Play,
    /// The hash of each author, in the order known, heavy, newcomers, flood.
    hashes: Vec<u64>,
    draws: u64,
}

/// Plays a flood and looks at what is left.
pub(crate) fn play(play: Play) -> Came {
    let mut world = World { play, hashes: Vec::new(), draws: play.seed };
    let authors = play.known + play.heavy + play.newcomers + play.keys;
    world.hashes = (0..authors).map(|_| world.draw()).collect();
    let mut homes: Vec<Home> = (0..play.homes)
        .map(|number| {
            let range = Range { bits: 0, prefix: world.draw() };
            Home { range, number, held: BTreeMap::new(), strangers: 0 }
        })
        .collect();
    let records = world.records();
    for chunk in records.chunks(records.len().div_ceil(40).max(1)) {
        for record in chunk {
            let home = world.published_at(record.author);
            world.give(&mut homes[home], *record);
        }
        world.everybody_pulls(&mut homes, 3);
    }
    world.everybody_pulls(&mut homes, 12);
    world.look(&mut homes, &records)
}

impl World {
    fn draw(&mut self) -> u64 {
        self.draws = self.draws.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.draws;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    fn below(&mut self, many: usize) -> usize {
        (self.draw() % many as u64) as usize
    }

    /// All records in the order in which they are published: known growers before the flood, the rest mixed with it.
    fn records(&mut self) -> Vec<Record> {
        let Play { known, heavy, newcomers, .. } = self.play;
        let many = |author: usize| match author {
            _ if author < known => 10,
            _ if author < known + heavy => 100,
            _ if author < known + heavy + newcomers => 10,
            _ => 1,
        };
        let mut records = Vec::new();
        for author in 0..self.hashes.len() {
            records.extend((0..many(author)).map(|_| Record { author, id: self.draw() }));
        }
        let before = known * 10;
        for place in (before + 1..records.len()).rev() {
            let other = before + self.below(place - before + 1);
            records.swap(place, other);
        }
        records
    }

    /// Growers publish at their own home, the flood enters anywhere.
    fn published_at(&mut self, author: usize) -> usize {
        let Play { known, heavy, newcomers, homes, .. } = self.play;
        if author < known + heavy + newcomers { author % homes } else { self.below(homes) }
    }

    fn is_known(&self, home: &Home, author: usize) -> bool {
        let Play { known, heavy, newcomers, homes, .. } = self.play;
        let is_own = author < known + heavy + newcomers && author % homes == home.number;
        is_own || author < known || (author < known + heavy && home.number.is_multiple_of(2))
    }

    /// Hands a home one record that lies in its scope, or that it asked for by author.
    fn give(&self, home: &mut Home, record: Record) {
        let is_known = self.is_known(home, record.author);
        if !is_known && !home.range.holds(self.hashes[record.author]) {
            return;
        }
        let held = home.held.entry(record.author).or_default();
        let most = match self.play.law {
            Law::LowestOfYear(most) => most,
            Law::FirstOfStrangers(_, most) if is_known => most,
            Law::FirstOfStrangers(first, most) => {
                if held.len() >= first {
                    return;
                }
                most
            }
        };
        let before = held.len();
        held.insert(record.id);
        if held.len() > most {
            held.pop_last();
        }
        let after = held.len();
        if !is_known {
            home.strangers += after - before;
        }
        while home.strangers > self.play.room {
            self.halve(home);
        }
    }

    /// Keeps the half of the range that the home's secret says.
    fn halve(&self, home: &mut Home) {
        home.range.bits += 1;
        let (range, mut left) = (home.range, 0);
        let known: BTreeSet<usize> =
            home.held.keys().copied().filter(|author| self.is_known(home, *author)).collect();
        home.held.retain(|author, held| {
            let stays = known.contains(author) || range.holds(self.hashes[*author]);
            left += if stays && !known.contains(author) { held.len() } else { 0 };
            stays
        });
        home.strangers = left;
    }

    fn everybody_pulls(&mut self, homes: &mut [Home], times: usize) {
        for _ in 0..times {
            for asking in 0..homes.len() {
                let asked = self.below(homes.len());
                self.pull(homes, asking, asked);
            }
        }
    }

    /// What a pull lists: where both ranges meet, and by author what the one who asks knows beyond.
    fn listed(&self, homes: &[Home], asking: usize, asked: usize) -> Vec<Record> {
        let (asking, asked) = (&homes[asking], &homes[asked]);
        let mut listed = Vec::new();
        for (&author, theirs) in &asked.held {
            let hash = self.hashes[author];
            let is_common = asking.range.holds(hash) && asked.range.holds(hash);
            if is_common || self.is_known(asking, author) {
                let ours = asking.held.get(&author);
                let lacks = theirs.iter().filter(|id| ours.is_none_or(|ours| !ours.contains(id)));
                listed.extend(lacks.map(|&id| Record { author, id }));
            }
        }
        listed
    }

    fn pull(&self, homes: &mut [Home], asking: usize, asked: usize) -> usize {
        let listed = self.listed(homes, asking, asked);
        for record in &listed {
            self.give(&mut homes[asking], *record);
        }
        listed.len()
    }

    fn look(&mut self, homes: &mut [Home], records: &[Record]) -> Came {
        let Play { known, heavy, newcomers, .. } = self.play;
        let kept = |homes: &[Home], authors: std::ops::Range<usize>, every: usize| {
            let of = records.iter().filter(|record| authors.contains(&record.author));
            let of: Vec<&Record> = of.collect();
            let has = |home: &Home| {
                of.iter()
                    .filter(|one| home.held.get(&one.author).is_some_and(|held| held.contains(&one.id)))
                    .count()
            };
            let looked: Vec<usize> = homes.iter().step_by(every).map(has).collect();
            looked.iter().sum::<usize>() as f64 / (looked.len() * of.len()).max(1) as f64
        };
        let at = |author: usize| {
            homes.iter().filter(|home| home.held.get(&author).is_some_and(|held| held.len() == 10)).count()
        };
        let everywhere: Vec<usize> = (known + heavy..known + heavy + newcomers).map(at).collect();
        let mut came = Came {
            known_kept: kept(homes, 0..known, 1),
            heavy_kept: kept(homes, known..known + heavy, 2),
            newcomer: (
                everywhere.iter().copied().min().unwrap_or(0),
                everywhere.iter().sum::<usize>() as f64 / everywhere.len().max(1) as f64,
            ),
            fullest: homes.iter().map(|home| home.strangers).max().unwrap_or(0),
            meeting: 0,
            unequal: 0,
            listed_again: 0,
        };
        for one in 0..homes.len() {
            for other in 0..one {
                let (a, b) = (homes[one].range, homes[other].range);
                let meet = if a.bits >= b.bits { b.holds(a.prefix) } else { a.holds(b.prefix) };
                self.pull(homes, one, other);
                self.pull(homes, other, one);
                let again = self.listed(homes, one, other).len() + self.listed(homes, other, one).len();
                came.meeting += usize::from(meet);
                came.unequal += usize::from(again > 0);
                came.listed_again += again;
            }
        }
        came
    }
}
