//! Honest growers, who vouches for whom among them, and attackers beside them.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::RangeInclusive;

use propagule_evidence::{EvidenceRow, FacetWords, RowFlags, Trust};
use propagule_protocol::AuthorKey;

/// One honest grower in so many is a friend of the reader.
const FRIENDS: usize = 4;
/// Others that each friend vouches for, the attacker apart, drawn evenly: exactly the least that the bar names, that or
/// more, and many more.
pub(super) const VOUCHES: [RangeInclusive<usize>; 3] = [7..=7, 7..=14, 14..=14];
/// Friends who are taken in and vouch for an attacker as well.
pub(super) const ATTACKED: usize = 10;

/// What the attackers do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Attack {
    /// One key claims 98 % of 100,000 in ten trials.
    OneKey,
    /// So many keys claim 59 of 60 each: the most that a key's cap lets through.
    Keys(usize),
}

impl Attack {
    pub(super) const ALL: [Self; 6] =
        [Self::OneKey, Self::Keys(1), Self::Keys(5), Self::Keys(20), Self::Keys(200), Self::Keys(1_000)];

    pub(super) fn words(self) -> String {
        match self {
            Self::OneKey => "1 key of 100,000 cuttings".to_owned(),
            Self::Keys(1) => "1 key of 60".to_owned(),
            Self::Keys(keys) => format!("{keys} keys of 60"),
        }
    }
}

/// Rows of growers and the trust around the reader.
#[derive(Clone, Debug)]
pub(super) struct Crowd {
    pub(super) rows: Vec<EvidenceRow>,
    /// Who trusts whom, for each number of [`VOUCHES`].
    pub(super) trusts: [Trust; VOUCHES.len()],
    friends: Vec<AuthorKey>,
}

const HONEST: u8 = 1;
const ATTACKER: u8 = 2;

fn key(kind: u8, number: usize) -> AuthorKey {
    let mut bytes = [0; 32];
    bytes[0] = kind;
    bytes[24..].copy_from_slice(&(number as u64).to_be_bytes());
    AuthorKey(bytes)
}

impl Crowd {
    /// Honest growers drawn from a seed. The reader's friends are among them, fewer where there are few.
    pub(super) fn of(seed: u64, honest: usize) -> Self {
        let mut random = fastrand::Rng::with_seed(seed);
        let mut rows = Vec::new();
        for number in 0..honest {
            let rate = 1.0 / (1.0 + (-(0.2 + 0.5 * normal(&mut random))).exp());
            for trial in 0..random.usize(1..=4) {
                let started = random.u32(10..=72);
                let succeeded = (0..started).filter(|_| random.f64() < rate).count() as u32;
                rows.push(row(key(HONEST, number), trial, started, succeeded));
            }
        }
        let friends: Vec<AuthorKey> = (0..honest / FRIENDS).map(|number| key(HONEST, number)).collect();
        let trusts = VOUCHES.map(|vouches| trust(&mut random, &friends, honest, vouches));
        Self { rows, trusts, friends }
    }

    /// The same with attackers: their keys stand behind one vouch each of [`ATTACKED`] friends.
    pub(super) fn attacked(&self, attack: Attack) -> Self {
        let mut crowd = self.clone();
        let keys = match attack {
            Attack::OneKey => {
                crowd.rows.extend((0..10).map(|trial| row(key(ATTACKER, 0), trial, 10_000, 9_800)));
                1
            }
            Attack::Keys(keys) => {
                crowd.rows.extend((0..keys).map(|number| row(key(ATTACKER, number), 0, 60, 59)));
                keys
            }
        };
        let edges = ATTACKED.min(keys).min(self.friends.len());
        let behind: BTreeSet<AuthorKey> = (edges..keys).map(|number| key(ATTACKER, number)).collect();
        for trust in &mut crowd.trusts {
            for (number, friend) in self.friends.iter().take(edges).enumerate() {
                trust.vouches.entry(*friend).or_default().insert(key(ATTACKER, number));
                trust.vouches.insert(key(ATTACKER, number), behind.clone());
            }
        }
        crowd
    }
}

/// The reader's friends, each vouching for so many honest growers who are not.
fn trust(
    random: &mut fastrand::Rng,
    friends: &[AuthorKey],
    honest: usize,
    vouches: RangeInclusive<usize>,
) -> Trust {
    let mut trust = Trust::nobody(key(0, 0));
    trust.friends = friends.iter().copied().collect();
    for friend in friends {
        let mut others = BTreeSet::new();
        let wanted = random.usize(vouches.clone());
        while others.len() < wanted {
            others.insert(key(HONEST, random.usize(friends.len()..honest)));
        }
        trust.vouches.insert(*friend, others);
    }
    trust
}

/// Standard normal, by Box and Muller.
fn normal(random: &mut fastrand::Rng) -> f64 {
    let radius = (-2.0 * (1.0 - random.f64()).ln()).sqrt();
    radius * (std::f64::consts::TAU * random.f64()).cos()
}

fn row(author: AuthorKey, trial: usize, started: u32, succeeded: u32) -> EvidenceRow {
    EvidenceRow {
        grower: author.to_string(),
        publisher: author.to_string(),
        trial: format!("{author}/{trial}"),
        arm: "1".to_owned(),
        facets: FacetWords::from([("method".to_owned(), "cuttings".to_owned())]),
        phases: Vec::new(),
        first_seen: Vec::new(),
        life: None,
        pots: Vec::new(),
        started,
        succeeded,
        lost: 0,
        alive: None,
        pending: false,
        weeks: None,
        region: None,
        site: None,
        own: false,
        weight: 1.0,
        flags: RowFlags::default(),
    }
}

/// Started and succeeded of each key.
pub(super) fn by_key(rows: &[EvidenceRow]) -> Vec<(f64, f64)> {
    let mut keys: BTreeMap<&str, (f64, f64)> = BTreeMap::new();
    for row in rows {
        let sums = keys.entry(&row.publisher).or_default();
        sums.0 += f64::from(row.started);
        sums.1 += f64::from(row.succeeded);
    }
    keys.into_values().collect()
}
