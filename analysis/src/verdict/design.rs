//! How two sides stand to each other: which strata they share, and what their units are.

use std::collections::{BTreeMap, BTreeSet};

use super::input::{Arm, Unit};
use super::outcome::Design;
use crate::Count;
use crate::Pair;

/// Two arms side by side within one level of the other factors.
#[derive(Clone, Debug)]
pub(super) struct Layer<'a> {
    /// The levels of the other factors; empty where there are none.
    pub(super) name: String,
    pub(super) first: &'a Arm,
    pub(super) second: &'a Arm,
}

/// What the layout says before anything is counted.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Strata {
    /// Which of block, operator and stock plant make strata.
    keys: Vec<Key>,
    /// What goes with one side only, by name.
    pub(super) together: Vec<String>,
}

/// What a unit is sorted by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Key {
    Block,
    Operator,
    StockPlant,
}

impl Key {
    fn of(self, unit: &Unit) -> &str {
        let value = match self {
            Self::Block => &unit.block,
            Self::Operator => &unit.operator,
            Self::StockPlant => &unit.stock_plant,
        };
        value.as_deref().unwrap_or("")
    }

    fn values<'a>(self, arms: impl Iterator<Item = &'a Arm>) -> BTreeSet<&'a str> {
        arms.flat_map(|arm| &arm.units).map(|unit| self.of(unit)).collect()
    }
}

impl Strata {
    /// A key that is the same throughout sorts nothing. People and stock plants that no side shares with the other are
    /// confounded with it, and so are stock plants of which any has one side only; blocks and people with one side only are
    /// left out.
    pub(super) fn of(layers: &[Layer<'_>]) -> Self {
        let mut out = Self::default();
        for (key, name) in [(Key::Block, ""), (Key::Operator, "operator"), (Key::StockPlant, "stock plant")] {
            let first = key.values(layers.iter().map(|layer| layer.first));
            let second = key.values(layers.iter().map(|layer| layer.second));
            if first.union(&second).count() < 2 {
                continue;
            }
            let is_confounded = match key {
                Key::Block => false,
                Key::Operator => first.is_disjoint(&second),
                Key::StockPlant => first != second,
            };
            if is_confounded {
                out.together.push(name.to_owned());
            } else {
                out.keys.push(key);
            }
        }
        out
    }

    fn name<'a>(&self, unit: &'a Unit) -> Vec<&'a str> {
        self.keys.iter().map(|key| key.of(unit)).collect()
    }
}

/// The counts of two sides, sorted and ready to be compared.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Sorted {
    pub(super) design: Design,
    pub(super) strata: Vec<Pair>,
    pub(super) cells: Vec<Vec<Count>>,
    /// Blocks with both sides, and with one.
    pub(super) blocks: usize,
    pub(super) left_out: usize,
}

/// Pots of both sides within a stratum.
type Stratum = [Vec<Count>; 2];

/// Sorts counts by the strata; `count` reads a unit, and `None` leaves it out.
pub(super) fn sort(
    layers: &[Layer<'_>],
    by: &Strata,
    unit_is_piece: bool,
    count: impl Fn(&Unit) -> Option<Count>,
) -> Sorted {
    let mut strata: BTreeMap<(usize, Vec<&str>), Stratum> = BTreeMap::new();
    for (place, layer) in layers.iter().enumerate() {
        for (side, arm) in [layer.first, layer.second].into_iter().enumerate() {
            for unit in &arm.units {
                if let Some(count) = count(unit) {
                    strata.entry((place, by.name(unit))).or_default()[side].push(count);
                }
            }
        }
    }
    let all = strata.len();
    let whole: Vec<Stratum> = strata.into_values().filter(|[a, b]| !a.is_empty() && !b.is_empty()).collect();
    let left_out = all - whole.len();
    let is_blocked = !by.keys.is_empty() && whole.len() > layers.len();
    let design = design_of(&whole, layers.len(), is_blocked, unit_is_piece);
    let cells = match design {
        Design::Pots | Design::Factorial if !is_blocked => whole.iter().flatten().cloned().collect(),
        _ => Vec::new(),
    };
    let blocks = if by.keys.is_empty() { 0 } else { whole.len() };
    Sorted { design, strata: whole.iter().map(added).collect(), cells, blocks, left_out }
}

fn design_of(whole: &[Stratum], layers: usize, is_blocked: bool, unit_is_piece: bool) -> Design {
    let is_factorial = layers > 1;
    let several_pots = whole.iter().flatten().all(|pots| pots.len() > 1);
    match () {
        () if whole.is_empty() => Design::Single,
        () if unit_is_piece => Design::Pieces,
        () if is_factorial && (is_blocked || whole.iter().flatten().any(|pots| pots.len() > 1)) => {
            Design::Factorial
        }
        () if is_blocked => Design::Blocks,
        () if !is_factorial && several_pots => Design::Pots,
        () => Design::Single,
    }
}

/// Pots of one side in one stratum are added up.
fn added([first, second]: &Stratum) -> Pair {
    let sum = |pots: &[Count]| Count {
        started: pots.iter().map(|pot| pot.started).sum(),
        succeeded: pots.iter().map(|pot| pot.succeeded).sum(),
    };
    Pair { first: sum(first), second: sum(second) }
}
