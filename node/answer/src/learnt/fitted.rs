//! A corpus as it was fitted, and what it teaches about one species and method.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::sync::Arc;

use propagule_analysis::joint::{CellExpectation, JointFit, JointOptions, LawWeights, Watch, fit_watched};
use propagule_analysis::rate::{self, RateFit, RateLaw, RateSummary};
use propagule_analysis::{Count, FitError, Grower, SharedTrial};
use propagule_evidence::{FacetWords, Family};

use super::Kind;
use super::corpus::{Corpora, Corpus, Method, Numbers, genus, method_key};

/// Fewest species of a corpus: of one alone there is nothing to learn from.
const FEWEST_SPECIES: usize = 2;
/// Trials from which on a method is worth naming to those who never tried it, and most such methods.
const FEWEST_TRIALS: usize = 2;
const MOST_NEVER_TRIED: usize = 12;

/// What every kind of propagation teaches.
#[derive(Clone)]
pub struct Learnt {
    kinds: BTreeMap<Kind, Arc<KindLearnt>>,
    fingerprint: [u8; 32],
}

/// One kind's corpus with its fit.
struct KindLearnt {
    corpus: Corpus,
    numbers: Numbers,
    fingerprint: [u8; 32],
    /// None where there is too little to fit.
    fit: Option<Result<(JointFit, LawWeights), FitError>>,
}

/// Growers who tried a species and method, and what their counts say alone.
#[derive(Clone, Copy, Debug)]
pub struct Own<'a> {
    /// Their counts, as an answer takes them.
    pub growers: &'a [Grower],
    /// The default model of these counts.
    pub alone: &'a RateFit,
}

/// What is to be expected of a species and method, and from how many trials.
#[derive(Clone, Debug)]
pub struct Taught {
    /// By all laws.
    pub expected: CellExpectation,
    /// Trials of other species of its genus.
    pub trials_of_genus: usize,
    /// Trials of other species by this method.
    pub trials_of_method: usize,
}

impl Taught {
    /// Whether the own counts disagree with what is borrowed and lead for that: where strangers are among the growers.
    pub fn own_counts_lead(&self, has_strangers: bool) -> bool {
        self.expected.is_in_conflict && has_strangers
    }

    /// The figures that lead.
    pub fn led(&self, has_strangers: bool) -> &RateSummary {
        if self.own_counts_lead(has_strangers) { &self.expected.without } else { &self.expected.summary }
    }
}

/// A method that nobody has tried with the species.
#[derive(Clone, Debug)]
pub struct NeverTried {
    /// Its label.
    pub label: String,
    /// What makes it.
    pub facets: FacetWords,
    /// In whose words it is said.
    pub family: Family,
    /// What is to be expected.
    pub taught: Taught,
}

/// Counts of what is learnt from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Basis {
    pub(super) trials: usize,
    pub(super) held: usize,
    pub(super) species: usize,
    pub(super) has_failed: bool,
}

impl Corpora {
    /// Fits every kind; those whose evidence is as `before` keep their fit.
    ///
    /// # Errors
    /// [`FitError::Ended`] where who watches ended it. A kind that cannot be fitted is no error: it teaches nothing.
    pub fn learn(self, before: Option<&Learnt>, watch: &Watch<'_>) -> Result<Learnt, FitError> {
        let fingerprint = self.fingerprint();
        let mut kinds = BTreeMap::new();
        for (kind, corpus) in self.kinds {
            let known = before.and_then(|before| before.kinds.get(&kind));
            let learnt = match known.filter(|known| known.fingerprint == corpus.fingerprint()) {
                Some(known) => Arc::clone(known),
                None => Arc::new(KindLearnt::new(corpus, watch)?),
            };
            kinds.insert(kind, learnt);
        }
        Ok(Learnt { kinds, fingerprint })
    }
}

impl KindLearnt {
    fn new(corpus: Corpus, watch: &Watch<'_>) -> Result<Self, FitError> {
        let (numbers, fingerprint) = (corpus.numbers(), corpus.fingerprint());
        let fit = match numbers.species.len() {
            ..FEWEST_SPECIES => None,
            _ => Some(fitted(&corpus, &numbers, watch)),
        };
        if matches!(fit, Some(Err(FitError::Ended))) {
            return Err(FitError::Ended);
        }
        Ok(Self { corpus, numbers, fingerprint, fit })
    }

    fn taught(&self, (species, method): (&str, &str), own: &Own<'_>) -> Option<Result<Taught, FitError>> {
        let (fit, weights) = match self.fit.as_ref()? {
            Ok(fitted) => fitted,
            Err(error) => return Some(Err(error.clone())),
        };
        let expected = fit.expect_of(weights, self.numbers.of(species, method), own.growers, own.alone);
        let others = || self.corpus.arms.iter().filter(|arm| arm.species != species);
        let trials = |arms: &mut dyn Iterator<Item = &super::corpus::Arm>| {
            arms.map(|arm| arm.trial.as_str()).collect::<BTreeSet<_>>().len()
        };
        let taught = |expected| Taught {
            expected,
            trials_of_genus: trials(&mut others().filter(|arm| genus(&arm.species) == genus(species))),
            trials_of_method: trials(&mut others().filter(|arm| arm.method == method)),
        };
        Some(expected.map(taught))
    }

    /// Methods of others, those tried most, without those of the species.
    fn not_tried(&self, species: &str) -> Vec<(&String, &Method)> {
        let mut trials: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
        let mut own = BTreeSet::new();
        for arm in &self.corpus.arms {
            trials.entry(&arm.method).or_default().insert(&arm.trial);
            own.extend((arm.species == species).then_some(arm.method.as_str()));
        }
        let of = |key: &str| trials.get(key).map_or(0, BTreeSet::len);
        let methods = self.corpus.methods.iter();
        let mut methods: Vec<(&String, &Method)> =
            methods.filter(|(key, _)| !own.contains(key.as_str()) && of(key) >= FEWEST_TRIALS).collect();
        methods.sort_by_key(|(key, _)| (std::cmp::Reverse(of(key)), *key));
        methods.truncate(MOST_NEVER_TRIED);
        methods
    }
}

fn fitted(corpus: &Corpus, numbers: &Numbers, watch: &Watch<'_>) -> Result<(JointFit, LawWeights), FitError> {
    let options = JointOptions { caps: corpus.caps, ..JointOptions::default() };
    let fit = fit_watched(&corpus.table(numbers)?, &options, watch)?;
    let weights = fit.law_weights_watched(watch)?;
    Ok((fit, weights))
}

impl Learnt {
    /// What tells the evidence behind it from any other.
    pub fn fingerprint(&self) -> [u8; 32] {
        self.fingerprint
    }

    /// What is to be expected of a species and a method of it that growers tried; none where nothing is learnt about
    /// such methods.
    ///
    /// # Errors
    /// [`FitError`] where the corpus, or this part of it, could not be fitted.
    pub fn teach(
        &self,
        species: &str,
        (family, facets): (Family, &FacetWords),
        own: &Own<'_>,
    ) -> Result<Option<Taught>, FitError> {
        let learnt = Kind::of(family, facets).and_then(|kind| self.kinds.get(&kind));
        learnt.and_then(|learnt| learnt.taught((species, &method_key(facets)), own)).transpose()
    }

    /// Law of the rate in the next trial of a grower with these own trials of a species and method, where `others` are all other
    /// growers; none where nothing is learnt about such methods.
    ///
    /// # Errors
    /// Those of [`Self::teach`].
    pub fn next_trial(
        &self,
        species: &str,
        (family, facets): (Family, &FacetWords),
        others: &Own<'_>,
        own: &[Count],
    ) -> Result<Option<RateLaw>, FitError> {
        let learnt = Kind::of(family, facets).and_then(|kind| self.kinds.get(&kind));
        let Some(learnt) = learnt else { return Ok(None) };
        let Some(fitted) = &learnt.fit else { return Ok(None) };
        let (fit, weights) = fitted.as_ref().map_err(Clone::clone)?;
        let place = learnt.numbers.of(species, &method_key(facets));
        fit.next_trial(weights, place, (others.growers, others.alone), own).map(Some)
    }

    /// How two methods of a species hang together in one trial; none where nothing is learnt about both at once.
    pub fn beside(&self, species: &str, methods: [(Family, &FacetWords); 2]) -> Option<SharedTrial> {
        let kinds = methods.map(|(family, facets)| Kind::of(family, facets));
        let learnt =
            kinds[0].filter(|kind| kinds[1] == Some(*kind)).and_then(|kind| self.kinds.get(&kind))?;
        let Some(Ok((fit, _))) = &learnt.fit else { return None };
        let places = methods.map(|(_, facets)| learnt.numbers.of(species, &method_key(facets)));
        let [[genus, species, first], [.., second]] = places;
        Some(fit.beside([genus, species], [first, second]))
    }

    /// Methods of these kinds that nobody has tried with a species, the highest average rate first.
    ///
    /// # Errors
    /// Those of [`Self::teach`].
    pub fn never_tried(&self, species: &str, kinds: &BTreeSet<Kind>) -> Result<Vec<NeverTried>, FitError> {
        let nobody = rate::fit(&[], &rate::Options::default())?;
        let nobody = Own { growers: &[], alone: &nobody };
        let mut found = Vec::new();
        for learnt in kinds.iter().filter_map(|kind| self.kinds.get(kind)) {
            for (key, method) in learnt.not_tried(species) {
                let Some(taught) = learnt.taught((species, key), &nobody).transpose()? else { continue };
                let Method { label, facets, family } = method.clone();
                found.push(NeverTried { label, facets, family, taught });
            }
        }
        found.sort_by(|a, b| {
            let rate = |line: &NeverTried| line.taught.expected.average_rate_mean;
            rate(b).total_cmp(&rate(a)).then_with(|| a.label.cmp(&b.label))
        });
        Ok(found)
    }

    /// Kinds in which a species was tried; of one that nobody tried those in which its genus was.
    pub fn kinds_of(&self, species: &str) -> BTreeSet<Kind> {
        let kinds = |holds: &dyn Fn(&Numbers) -> bool| -> BTreeSet<Kind> {
            let kinds = self.kinds.iter().filter(|(_, learnt)| holds(&learnt.numbers));
            kinds.map(|(kind, _)| *kind).collect()
        };
        let own = kinds(&|numbers| numbers.species.contains_key(species));
        if own.is_empty() { kinds(&|numbers| numbers.genera.contains_key(genus(species))) } else { own }
    }

    /// What the kinds rest on in which a species, or else its genus, was tried.
    pub(super) fn basis(&self, species: &str) -> Basis {
        let mut basis = Basis::default();
        for kind in self.kinds_of(species) {
            let learnt = &self.kinds[&kind];
            basis.trials += learnt.corpus.trials();
            basis.held += learnt.corpus.held;
            basis.species = basis.species.max(learnt.numbers.species.len());
            basis.has_failed |= matches!(learnt.fit, Some(Err(_)));
        }
        basis
    }
}

impl PartialEq for Learnt {
    fn eq(&self, other: &Self) -> bool {
        self.fingerprint == other.fingerprint
    }
}

impl fmt::Debug for Learnt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Learnt").field("kinds", &self.kinds.keys()).finish_non_exhaustive()
    }
}
