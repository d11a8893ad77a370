//! A sweep over spreads on the half-integer lattice of the stretched half line.

use std::collections::BTreeMap;
use std::convert::Infallible;

use super::column::CUT;
use super::{HalfLine, HalfLineMasses};

/// The log of the mass in t of one node, and what was computed there.
#[derive(Clone, Debug)]
pub(crate) struct SweptItem<T> {
    pub(crate) log_mass: f64,
    pub(crate) value: T,
}

/// Results at the lattice nodes from `first` on.
#[derive(Clone, Debug)]
pub(crate) struct Swept<T> {
    pub(crate) first: i64,
    pub(crate) items: Vec<SweptItem<T>>,
}

impl<T> Swept<T> {
    /// Log of the integral over the half line, and the share of every node in it.
    pub(crate) fn shares(&self, line: HalfLine) -> (f64, Vec<f64>) {
        let top = self.items.iter().map(|item| item.log_mass).fold(f64::NEG_INFINITY, f64::max);
        let relative: Vec<f64> = self.items.iter().map(|item| (item.log_mass - top).exp()).collect();
        let total: f64 = relative.iter().sum();
        (top + (total * line.step).ln(), relative.into_iter().map(|r| r / total).collect())
    }
}

/// Sweeps outwards from the spread `start` until the mass has vanished, below as far as zero. `eval` gives the log
/// density at a spread.
pub(crate) fn sweep<T>(line: HalfLine, start: f64, mut eval: impl FnMut(f64) -> (f64, T)) -> Swept<T> {
    let Ok(swept) = sweep_on(line, start, CUT, &mut BTreeMap::new(), |s| Ok::<_, Infallible>(eval(s)));
    swept
}

/// Sweeps, and divides the step by three (which keeps all nodes) as long as it exceeds `spread` standard deviations of
/// what was found. Nodes more than `cut` log units below the highest are left out.
pub(crate) fn refined_sweep<T, E>(
    mut line: HalfLine,
    start: f64,
    spread: f64,
    cut: f64,
    mut eval: impl FnMut(f64) -> Result<(f64, T), E>,
) -> Result<(HalfLine, Swept<T>), E> {
    let mut swept = sweep_on(line, start, cut, &mut BTreeMap::new(), &mut eval)?;
    for _ in 0..6 {
        let (_, masses) = swept.shares(line);
        let (mean, sd) = HalfLineMasses { line, first: swept.first, masses }.stretched_moments();
        // Masses on a single node have no width that could be measured.
        if line.step <= spread * sd.max(0.3 * line.step) {
            break;
        }
        line.step /= 3.0;
        let indices = (swept.first..).map(|j| 3 * j + 1);
        let mut known = indices.zip(swept.items).collect();
        swept = sweep_on(line, line.spread(mean), cut, &mut known, &mut eval)?;
    }
    Ok((line, swept))
}

fn sweep_on<T, E>(
    line: HalfLine,
    start: f64,
    cut: f64,
    known: &mut BTreeMap<i64, SweptItem<T>>,
    mut eval: impl FnMut(f64) -> Result<(f64, T), E>,
) -> Result<Swept<T>, E> {
    let origin = (line.coordinate(start) / line.step).floor().max(0.0) as i64;
    let mut top = f64::NEG_INFINITY;
    let mut run = |indices: &mut dyn Iterator<Item = i64>| {
        let mut items = Vec::new();
        for j in indices {
            let item = if let Some(item) = known.remove(&j) {
                item
            } else {
                let (log_density, value) = eval(line.spread(line.node(j)))?;
                SweptItem { log_mass: log_density + line.log_jacobian(line.node(j)), value }
            };
            top = top.max(item.log_mass);
            if item.log_mass < top - cut {
                break;
            }
            items.push(item);
        }
        Ok(items)
    };
    let up = run(&mut (origin..origin + 100_000))?;
    let mut items = run(&mut (0..origin).rev())?;
    items.reverse();
    let first = origin - items.len() as i64;
    items.extend(up);
    Ok(Swept { first, items })
}
