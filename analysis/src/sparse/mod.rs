//! Sparse symmetric matrices that are positive definite: L D Lᵀ, solutions, and the inverse where the factor has entries.
//!
//! The pattern is given once, as cliques; the numbers change from step to step. Columns are made one after the other, each from
//! those to the left that reach it; where the rows of such a column follow each other, which they do in what has filled in,
//! the work is that of a dense matrix.

mod inverse;
mod order;
#[cfg(test)]
mod tests;

pub(crate) use inverse::Inverse;

use crate::matrix::in_lanes;

/// Where entries are, in the order of elimination.
#[derive(Clone, Debug)]
pub(crate) struct Pattern {
    /// For each variable its place in the order.
    place: Vec<u32>,
    /// The lower triangle of the matrix by columns, the diagonal first: where each column starts, and its rows.
    starts: Vec<usize>,
    rows: Vec<u32>,
    /// The same of the factor, without its diagonal.
    factor_starts: Vec<usize>,
    factor_rows: Vec<u32>,
}

/// L and D, in the order of elimination.
#[derive(Clone, Debug)]
pub(crate) struct Factor {
    diagonal: Vec<f64>,
    entries: Vec<f64>,
}

impl Pattern {
    /// From the number of variables and the groups that stand with each other.
    pub(crate) fn new<'a>(variables: usize, cliques: impl Iterator<Item = &'a [usize]>) -> Self {
        let mut neighbours: Vec<Vec<u32>> = vec![Vec::new(); variables];
        for clique in cliques {
            for a in clique {
                neighbours[*a].extend(clique.iter().filter(|b| *b != a).map(|b| *b as u32));
                // Lists are kept short while they are gathered.
                if neighbours[*a].len() > 4 * variables {
                    tidy(&mut neighbours[*a]);
                }
            }
        }
        neighbours.iter_mut().for_each(tidy);
        let order = order::minimum_degree(neighbours.clone());
        let mut place = vec![0u32; variables];
        order.iter().zip(0..).for_each(|(variable, at)| place[*variable] = at);
        let (mut starts, mut rows) = (vec![0], Vec::new());
        for variable in &order {
            let own = place[*variable];
            let mut below: Vec<u32> =
                neighbours[*variable].iter().map(|other| place[*other as usize]).collect();
            below.retain(|other| *other > own);
            below.sort_unstable();
            rows.push(own);
            rows.extend(below);
            starts.push(rows.len());
        }
        let (factor_starts, factor_rows) = filled(&starts, &rows);
        Self { place, starts, rows, factor_starts, factor_rows }
    }

    /// Number of variables.
    pub(crate) fn variables(&self) -> usize {
        self.place.len()
    }

    /// Number of entries of the lower triangle.
    pub(crate) fn entries(&self) -> usize {
        self.rows.len()
    }

    /// Number of entries of the factor below its diagonal.
    #[cfg(test)]
    pub(crate) fn filled(&self) -> usize {
        self.factor_rows.len()
    }

    /// Where the entry of two variables of one clique stands.
    pub(crate) fn slot(&self, a: usize, b: usize) -> usize {
        let (a, b) = (self.place[a], self.place[b]);
        let (column, row) = (a.min(b) as usize, a.max(b));
        let rows = &self.rows[self.starts[column]..self.starts[column + 1]];
        self.starts[column] + rows.binary_search(&row).expect("both are of one clique")
    }

    /// L and D of a matrix with these entries; `None` where it is not positive definite.
    pub(crate) fn factor(&self, entries: &[f64]) -> Option<Factor> {
        let n = self.variables();
        let (mut diagonal, mut values) = (vec![0.0; n], vec![0.0; self.factor_rows.len()]);
        let mut work = vec![0.0; n];
        // Columns to the left that reach the next columns: a list for each column, with how far each was used.
        let mut first: Vec<u32> = vec![NONE; n];
        let mut next: Vec<u32> = vec![NONE; n];
        let mut used: Vec<usize> = self.factor_starts[..n].to_vec();
        for column in 0..n {
            let own = self.starts[column]..self.starts[column + 1];
            for (row, entry) in self.rows[own.clone()].iter().zip(&entries[own]) {
                work[*row as usize] = *entry;
            }
            let mut left = std::mem::replace(&mut first[column], NONE);
            while left != NONE {
                let from = left as usize;
                left = next[from];
                let (at, end) = (used[from], self.factor_starts[from + 1]);
                let by = values[at] * diagonal[from];
                let rows = &self.factor_rows[at..end];
                subtract(&mut work, rows, &values[at..end], by);
                used[from] = at + 1;
                if at + 1 < end {
                    let onto = self.factor_rows[at + 1] as usize;
                    next[from] = std::mem::replace(&mut first[onto], from as u32);
                }
            }
            let pivot = std::mem::take(&mut work[column]);
            if !(pivot > 0.0 && pivot.is_finite()) {
                return None;
            }
            diagonal[column] = pivot;
            let (start, end) = (self.factor_starts[column], self.factor_starts[column + 1]);
            for (row, value) in self.factor_rows[start..end].iter().zip(&mut values[start..end]) {
                *value = std::mem::take(&mut work[*row as usize]) / pivot;
            }
            if start < end {
                let onto = self.factor_rows[start] as usize;
                next[column] = std::mem::replace(&mut first[onto], column as u32);
            }
        }
        Some(Factor { diagonal, entries: values })
    }

    /// The solution for a right side, in the order of variables.
    pub(crate) fn solve(&self, factor: &Factor, right: &[f64]) -> Vec<f64> {
        let mut x = vec![0.0; right.len()];
        self.place.iter().zip(right).for_each(|(place, value)| x[*place as usize] = *value);
        self.forward(factor, &mut x);
        x.iter_mut().zip(&factor.diagonal).for_each(|(x, d)| *x /= d);
        for column in (0..x.len()).rev() {
            let span = self.factor_starts[column]..self.factor_starts[column + 1];
            let below = dot(&x, &self.factor_rows[span.clone()], &factor.entries[span]);
            x[column] -= below;
        }
        self.place.iter().map(|place| x[*place as usize]).collect()
    }

    /// D^(-1/2) L^(-1) times a vector of few entries, by places: the inner product of two such is that of the vectors under the inverse.
    pub(crate) fn rooted(&self, factor: &Factor, entries: &[(usize, f64)]) -> Vec<f64> {
        let mut x = vec![0.0; self.variables()];
        for (variable, value) in entries {
            x[self.place[*variable] as usize] += value;
        }
        self.forward(factor, &mut x);
        x.iter_mut().zip(&factor.diagonal).for_each(|(x, d)| *x /= d.sqrt());
        x
    }

    fn forward(&self, factor: &Factor, x: &mut [f64]) {
        for column in 0..x.len() {
            let value = x[column];
            if value != 0.0 {
                let span = self.factor_starts[column]..self.factor_starts[column + 1];
                subtract(x, &self.factor_rows[span.clone()], &factor.entries[span], value);
            }
        }
    }
}

/// No column.
const NONE: u32 = u32::MAX;

/// Whether rows follow each other without a gap.
fn is_run(rows: &[u32]) -> bool {
    match (rows.first(), rows.last()) {
        (Some(first), Some(last)) => (last - first) as usize + 1 == rows.len(),
        _ => false,
    }
}

/// work[row] -= by × value.
fn subtract(work: &mut [f64], rows: &[u32], values: &[f64], by: f64) {
    if is_run(rows) {
        let start = rows[0] as usize;
        for (to, value) in work[start..start + rows.len()].iter_mut().zip(values) {
            *to -= by * value;
        }
        return;
    }
    for (row, value) in rows.iter().zip(values) {
        work[*row as usize] -= by * value;
    }
}

/// Sum of x[row] × value.
fn dot(x: &[f64], rows: &[u32], values: &[f64]) -> f64 {
    if is_run(rows) {
        let start = rows[0] as usize;
        return in_lanes(&x[start..start + rows.len()], values);
    }
    rows.iter().zip(values).map(|(row, value)| x[*row as usize] * value).sum()
}

fn tidy(list: &mut Vec<u32>) {
    list.sort_unstable();
    list.dedup();
}

/// Columns of the factor: a column's own rows and those of all columns whose first row it is.
fn filled(starts: &[usize], rows: &[u32]) -> (Vec<usize>, Vec<u32>) {
    let n = starts.len() - 1;
    let mut children: Vec<Vec<usize>> = vec![Vec::new(); n];
    let (mut out_starts, mut out) = (vec![0], Vec::new());
    let mut mark = vec![NONE; n];
    for column in 0..n {
        let begin = out.len();
        mark[column] = column as u32;
        let mut add = |row: u32, out: &mut Vec<u32>| {
            if mark[row as usize] != column as u32 {
                mark[row as usize] = column as u32;
                out.push(row);
            }
        };
        rows[starts[column] + 1..starts[column + 1]].iter().for_each(|row| add(*row, &mut out));
        for child in std::mem::take(&mut children[column]) {
            for slot in out_starts[child]..out_starts[child + 1] {
                let row = out[slot];
                if row > column as u32 {
                    add(row, &mut out);
                }
            }
        }
        out[begin..].sort_unstable();
        if let Some(parent) = out.get(begin) {
            children[*parent as usize].push(column);
        }
        out_starts.push(out.len());
    }
    (out_starts, out)
}
