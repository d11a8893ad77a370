//! A sweep over spreads on the half-integer lattice of the stretched half line.

use super::HalfLine;
use super::column::CUT;

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
    let origin = (line.coordinate(start) / line.step).floor().max(0.0) as i64;
    let mut top = f64::NEG_INFINITY;
    let mut run = |indices: &mut dyn Iterator<Item = i64>| {
        let mut items = Vec::new();
        for j in indices {
            let t = line.node(j);
            let (log_density, value) = eval(line.spread(t));
            let log_mass = log_density + line.log_jacobian(t);
            top = top.max(log_mass);
            if log_mass < top - CUT {
                break;
            }
            items.push(SweptItem { log_mass, value });
        }
        items
    };
    let up = run(&mut (origin..origin + 100_000));
    let mut items = run(&mut (0..origin).rev());
    items.reverse();
    let first = origin - items.len() as i64;
    items.extend(up);
    Swept { first, items }
}
