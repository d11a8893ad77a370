//! A sweep over spreads on the half-integer lattice of the positive half line.

use super::column::CUT;

/// One spread, the log of its mass, and what was computed there.
#[derive(Clone, Debug)]
pub(crate) struct SweptItem<T> {
    pub(crate) log_mass: f64,
    pub(crate) value: T,
}

/// Results at s = (j + 1/2) × step, in rising order of s.
#[derive(Clone, Debug)]
pub(crate) struct Swept<T> {
    pub(crate) step: f64,
    pub(crate) items: Vec<SweptItem<T>>,
}

/// Sweeps outwards from `start` until the mass has vanished, below as far as zero.
pub(crate) fn half_line<T>(step: f64, start: f64, mut eval: impl FnMut(f64) -> (f64, T)) -> Swept<T> {
    let origin = (start / step).floor().max(0.0) as i64;
    let mut top = f64::NEG_INFINITY;
    let mut run = |indices: &mut dyn Iterator<Item = i64>| {
        let mut items = Vec::new();
        for j in indices {
            let (log_mass, value) = eval((j as f64 + 0.5) * step);
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
    items.extend(up);
    Swept { step, items }
}
