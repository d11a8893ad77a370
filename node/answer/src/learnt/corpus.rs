//! Evidence on every species as one table a kind of propagation.

use std::collections::{BTreeMap, BTreeSet};

use propagule_analysis::joint::Caps;
use propagule_analysis::table::{ArmTable, CountedArm};
use propagule_analysis::{Count, FitError};
use propagule_evidence::{EvidenceRow, FacetWords, Family, GROWER_CAP, Grouping, group};
use sha2::{Digest, Sha256};

use super::Kind;
use crate::share_out::share;

/// Most trials that one fit is learnt from.
pub const MOST_TRIALS: usize = 5_000;
/// Most trials of one grower where nobody vouches for it.
const MOST_OF_GROWER: usize = 20;
/// Rises whenever the model, or what is taken from rows, changes.
const VERSION: u8 = 1;

/// Whose rows these are, and so how much one grower may bring.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Trust {
    /// A table, or the reader's own: no caps.
    Whole,
    /// Growers that the reader backs: capped in each species and method, as answers are.
    Circle,
    /// Everybody: capped in all that is learnt from as well.
    Everybody,
}

impl Trust {
    fn caps(self) -> Caps {
        let cap = |is_capped: bool| is_capped.then_some(GROWER_CAP);
        Caps { of_corpus: cap(self == Self::Everybody), of_cell: cap(self != Self::Whole) }
    }
}

/// An arm with its species and method.
#[derive(Clone, Debug)]
pub(super) struct Arm {
    pub(super) species: String,
    pub(super) method: String,
    pub(super) grower: String,
    pub(super) trial: String,
    pub(super) weight: f64,
    pub(super) count: Count,
}

/// What a method is called, and what makes it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Method {
    pub(super) label: String,
    pub(super) facets: FacetWords,
    pub(super) family: Family,
}

/// All arms of one kind.
#[derive(Clone, Debug)]
pub(super) struct Corpus {
    pub(super) arms: Vec<Arm>,
    /// By what makes them.
    pub(super) methods: BTreeMap<String, Method>,
    pub(super) caps: Caps,
    /// Trials that are held, of which some may be left out of the fit.
    pub(super) held: usize,
}

/// Evidence on every species, by kind of propagation.
#[derive(Clone, Debug, Default)]
pub struct Corpora {
    pub(super) kinds: BTreeMap<Kind, Corpus>,
}

/// What makes a method, as one word.
pub(super) fn method_key(facets: &FacetWords) -> String {
    facets.iter().map(|(name, word)| format!("{name}={word}")).collect::<Vec<_>>().join("; ")
}

/// The first word of a species' key.
pub(super) fn genus(species: &str) -> &str {
    species.split(' ').next().unwrap_or(species)
}

impl Corpora {
    /// From the rows of each species by its key. Arms that are not counted yet, weigh nothing, or may have been chosen for their
    /// success teach nothing. Of more than [`MOST_TRIALS`] trials those are taken that a hash with `salt` puts first, as many
    /// of each species and method.
    pub fn new<'a>(
        species: impl IntoIterator<Item = (&'a str, &'a [EvidenceRow])>,
        grouping: &Grouping,
        trust: Trust,
        salt: &[u8],
    ) -> Self {
        let mut kinds: BTreeMap<Kind, Corpus> = BTreeMap::new();
        // Where moves split methods their labels depend on all rows, so nothing tells two of them alike.
        if grouping.by_path {
            return Self { kinds };
        }
        for (key, rows) in species {
            let counts = |row: &&EvidenceRow| !row.pending && row.weight > 0.0 && !row.flags.perhaps_chosen;
            for group in group(rows.iter().filter(counts), grouping, &mut Vec::new()) {
                let Some(kind) = Kind::of(group.family, &group.facets) else { continue };
                let corpus = kinds.entry(kind).or_insert_with(|| Corpus::none(trust.caps()));
                corpus.add(key, group);
            }
        }
        for corpus in kinds.values_mut() {
            corpus.cut(trust, salt);
        }
        Self { kinds }
    }

    /// Trials that are learnt from.
    pub fn trials(&self) -> usize {
        self.kinds.values().map(Corpus::trials).sum()
    }

    /// What tells this evidence from any other.
    pub fn fingerprint(&self) -> [u8; 32] {
        let mut hash = Sha256::new();
        for (kind, corpus) in &self.kinds {
            hash.update([*kind as u8]);
            hash.update(corpus.fingerprint());
        }
        hash.finalize().into()
    }
}

impl Corpus {
    fn none(caps: Caps) -> Self {
        Self { arms: Vec::new(), methods: BTreeMap::new(), caps, held: 0 }
    }

    fn add(&mut self, species: &str, group: propagule_evidence::MethodGroup<'_>) {
        let key = method_key(&group.facets);
        for row in &group.rows {
            self.arms.push(Arm {
                species: species.to_owned(),
                method: key.clone(),
                grower: row.grower.clone(),
                trial: row.trial.clone(),
                weight: row.weight.clamp(0.0, 1.0),
                count: Count { started: row.started, succeeded: row.succeeded.min(row.started) },
            });
        }
        let method = Method { label: group.label, facets: group.facets, family: group.family };
        let known = self.methods.entry(key).or_insert_with(|| method.clone());
        if method.label < known.label {
            *known = method;
        }
    }

    pub(super) fn trials(&self) -> usize {
        self.arms.iter().map(|arm| arm.trial.as_str()).collect::<BTreeSet<_>>().len()
    }

    pub(super) fn species(&self) -> BTreeSet<&str> {
        self.arms.iter().map(|arm| arm.species.as_str()).collect()
    }

    /// Leaves out what is beyond the caps.
    fn cut(&mut self, trust: Trust, salt: &[u8]) {
        self.held = self.trials();
        let rank = |trial: &str| -> [u8; 32] {
            Sha256::new().chain_update(salt).chain_update(trial).finalize().into()
        };
        if trust == Trust::Everybody {
            let mut growers: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
            for arm in &self.arms {
                growers.entry(&arm.grower).or_default().insert(&arm.trial);
            }
            let beyond = growers.into_values().filter(|trials| trials.len() > MOST_OF_GROWER);
            let beyond = beyond.flat_map(|trials| {
                let mut trials: Vec<&str> = trials.into_iter().collect();
                trials.sort_by_cached_key(|trial| rank(trial));
                trials.into_iter().skip(MOST_OF_GROWER).map(str::to_owned).collect::<Vec<_>>()
            });
            let beyond: BTreeSet<String> = beyond.collect();
            self.arms.retain(|arm| !beyond.contains(&arm.trial));
        }
        if self.trials() > MOST_TRIALS {
            let kept = self.first_of_cells(rank);
            self.arms.retain(|arm| kept.contains(&arm.trial));
        }
    }

    /// As many trials of each species and method, the weightiest first, then those that the hash puts first.
    fn first_of_cells(&self, rank: impl Fn(&str) -> [u8; 32]) -> BTreeSet<String> {
        let weights: BTreeMap<&str, f64> =
            self.arms.iter().map(|arm| (arm.trial.as_str(), arm.weight)).collect();
        let mut ranked: Vec<&str> = weights.keys().copied().collect();
        ranked.sort_by_cached_key(|trial| (std::cmp::Reverse((weights[trial] * 1e9) as u64), rank(trial)));
        let place: BTreeMap<&str, usize> = ranked.iter().copied().zip(0..).collect();
        let mut cells: BTreeMap<(&str, &str), BTreeSet<usize>> = BTreeMap::new();
        for arm in &self.arms {
            cells.entry((&arm.species, &arm.method)).or_default().insert(place[arm.trial.as_str()]);
        }
        // A trial that stands in several cells is given by each of them, so more may be given than one count allows for.
        let given = |each: usize| -> BTreeSet<usize> {
            cells.values().flat_map(|trials| trials.iter().copied().take(each)).collect()
        };
        let most = cells.values().map(BTreeSet::len).max().unwrap_or(0);
        let each = share(most, |each| given(each).len() <= MOST_TRIALS);
        given(each).into_iter().take(MOST_TRIALS).map(|place| ranked[place].to_owned()).collect()
    }

    pub(super) fn fingerprint(&self) -> [u8; 32] {
        let mut hash = Sha256::new();
        hash.update([VERSION]);
        for limit in [self.caps.of_corpus, self.caps.of_cell] {
            hash.update(limit.unwrap_or_default().to_le_bytes());
        }
        let mut lines: Vec<[u8; 32]> = self.arms.iter().map(Arm::fingerprint).collect();
        lines.sort_unstable();
        for line in &lines {
            hash.update(line);
        }
        hash.finalize().into()
    }

    /// Numbers of genera, species and methods, in rising order.
    pub(super) fn numbers(&self) -> Numbers {
        let numbered = |names: BTreeSet<&str>| names.into_iter().map(str::to_owned).zip(0..).collect();
        Numbers {
            genera: numbered(self.arms.iter().map(|arm| genus(&arm.species)).collect()),
            species: numbered(self.species()),
            methods: numbered(self.arms.iter().map(|arm| arm.method.as_str()).collect()),
        }
    }

    /// The arms as a table.
    ///
    /// # Errors
    /// Where a table of growers holds more pieces than an arm can have.
    pub(super) fn table(&self, numbers: &Numbers) -> Result<ArmTable, FitError> {
        let numbered = |names: BTreeSet<&str>| -> BTreeMap<String, usize> {
            names.into_iter().map(str::to_owned).zip(0..).collect()
        };
        let growers = numbered(self.arms.iter().map(|arm| arm.grower.as_str()).collect());
        let trials = numbered(self.arms.iter().map(|arm| arm.trial.as_str()).collect());
        let mut weights = vec![0.0_f64; growers.len()];
        let arm = |arm: &Arm| {
            let grower = growers[&arm.grower];
            weights[grower] = weights[grower].max(arm.weight);
            let [genus, species, method] = numbers.of(&arm.species, &arm.method);
            CountedArm {
                grower,
                trial: trials[&arm.trial],
                levels: vec![Some(genus), Some(species), Some(method)],
                count: arm.count,
                replicates: 1,
            }
        };
        let arms = self.arms.iter().map(arm).collect();
        let levels = vec![numbers.genera.len(), numbers.species.len(), numbers.methods.len()];
        ArmTable::new(levels, weights, arms).map_err(FitError::Table)
    }
}

impl Arm {
    fn fingerprint(&self) -> [u8; 32] {
        let mut hash = Sha256::new();
        for word in [&self.species, &self.method, &self.grower, &self.trial] {
            hash.update((word.len() as u64).to_le_bytes());
            hash.update(word);
        }
        hash.update(self.weight.to_le_bytes());
        hash.update(self.count.started.to_le_bytes());
        hash.update(self.count.succeeded.to_le_bytes());
        hash.finalize().into()
    }
}

/// Places of names among the levels of a table.
#[derive(Clone, Debug)]
pub(super) struct Numbers {
    pub(super) genera: BTreeMap<String, usize>,
    pub(super) species: BTreeMap<String, usize>,
    pub(super) methods: BTreeMap<String, usize>,
}

impl Numbers {
    /// Genus, species and method; what was never tried has a place behind all others.
    pub(super) fn of(&self, species: &str, method: &str) -> [usize; 3] {
        let place =
            |names: &BTreeMap<String, usize>, name: &str| names.get(name).copied().unwrap_or(names.len());
        [place(&self.genera, genus(species)), place(&self.species, species), place(&self.methods, method)]
    }
}
