//! A trial as it is judged.

use std::collections::{BTreeMap, BTreeSet};

/// A trial: its arms and how they were laid out.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Trial {
    /// The treatments, in order.
    pub arms: Vec<Arm>,
    /// Place of the arm that the others are held against.
    pub control: Option<usize>,
    /// Whether each piece was placed by itself among those of other arms, so that pieces are the units.
    pub unit_is_piece: bool,
    /// Whether units were placed at random; the verdict stands without, and says so.
    pub is_randomised: bool,
}

/// One treatment.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Arm {
    /// Its label.
    pub label: String,
    /// Known facets by name. One that is missing in both arms is taken as the same; missing in one, as different.
    pub facets: BTreeMap<String, String>,
    /// What else is the same for all its pieces and may differ from arm to arm, by name: day put in, something that no
    /// facet holds. Where nothing but one of these differs, it is the question.
    pub apart: BTreeMap<String, String>,
    /// Where it stands. Arms on different spots are never told apart: each spot is there once.
    pub spot: Option<String>,
    /// Its pots, or its share of each shared pot.
    pub units: Vec<Unit>,
}

/// A pot, tray or row; where pieces are the units, the arm's pieces in one shared pot.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Unit {
    /// The code on its tag.
    pub name: String,
    /// Pieces put in.
    pub started: u32,
    /// Pieces with the outcome; `None` while it is not counted.
    pub succeeded: Option<u32>,
    /// Unscored pieces, failures in the headline.
    pub lost: u32,
    /// Row of the layout, shared pot or tray.
    pub block: Option<String>,
    /// Who did the work.
    pub operator: Option<String>,
    /// Stock plant.
    pub stock_plant: Option<String>,
}

/// Words of a facet that mean that nothing was done.
const NOTHING_DONE: [&str; 3] = ["none", "untreated", "solvent only"];

impl Trial {
    /// The only arm that differs from every other one in a single facet, in which nothing was done to it.
    pub fn usual_control(&self) -> Option<usize> {
        let is_control = |place: &usize| {
            let arm = &self.arms[*place];
            let others = self.arms.iter().enumerate().filter(|(other, _)| other != place);
            others.map(|(_, other)| arm.differing(other)).all(|names| match &names[..] {
                [name] => arm.facets.get(*name).is_some_and(|word| is_nothing_done(word)),
                _ => false,
            })
        };
        let mut found = (0..self.arms.len()).filter(is_control);
        let control = found.next().filter(|_| self.arms.len() > 1)?;
        found.next().is_none().then_some(control)
    }
}

impl Arm {
    /// Names of the facets in which it differs from another arm.
    pub(super) fn differing<'a>(&'a self, other: &'a Self) -> Vec<&'a str> {
        differing(&self.facets, &other.facets)
    }

    /// Names of all else that differs.
    pub(super) fn apart_from<'a>(&'a self, other: &'a Self) -> Vec<&'a str> {
        let spot = (self.spot != other.spot).then_some(SPOT);
        differing(&self.apart, &other.apart).into_iter().chain(spot).collect()
    }
}

/// Name of the spot among what differs.
pub(super) const SPOT: &str = "spot";

/// Whether a word means that nothing was done.
pub(super) fn is_nothing_done(word: &str) -> bool {
    NOTHING_DONE.contains(&word)
}

fn differing<'a>(a: &'a BTreeMap<String, String>, b: &'a BTreeMap<String, String>) -> Vec<&'a str> {
    let names: BTreeSet<&String> = a.keys().chain(b.keys()).collect();
    let same = |name: &str| match (a.get(name), b.get(name)) {
        (Some(x), Some(y)) => x.eq_ignore_ascii_case(y),
        _ => false,
    };
    names.into_iter().map(String::as_str).filter(|name| !same(name)).collect()
}
