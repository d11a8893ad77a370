//! Rows of totals and averages: never plants.

use serde::{Deserialize, Serialize};

use super::sheet::Line;
use propagule_files::fault::Fault;

/// A row of totals, and whether it adds up.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Totals {
    pub(super) sum: SumLine,
    /// What does not add up.
    pub(super) wrong: Option<Fault>,
}

/// A row of totals or averages.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SumLine {
    /// Which of the two.
    pub of: SumOf,
    /// What stands in its first cell.
    pub first: String,
    /// What its numbers agree with; none where nothing can be checked.
    pub agrees: Option<Agrees>,
}

/// What a row says of those above it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SumOf {
    /// Their sums.
    Total,
    /// Their means.
    Average,
}

/// What a number of a row of totals agrees with.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "agrees", rename_all = "snake_case")]
pub enum Agrees {
    /// The sum of the rows above.
    Sum {
        /// The number.
        value: f64,
    },
    /// Their mean.
    Mean {
        /// The number.
        value: f64,
        /// Of these.
        of: Vec<f64>,
    },
}

impl Agrees {
    /// Whether it is the mean of numbers that are all the same, which says little.
    fn is_of_one_number(&self) -> bool {
        matches!(self, Self::Mean { of, .. } if of.windows(2).all(|pair| near(pair[0], pair[1])))
    }
}

const TOTAL: [&str; 8] = ["total", "totals", "sum", "sums", "all", "grand total", "subtotal", "together"];
const AVERAGE: [&str; 4] = ["average", "averages", "mean", "means"];

/// A column with counts: its place, and whether it holds shares.
pub(super) type Counted = (usize, bool);

/// What a row of totals says of the rows above it; `None` for any other row.
pub(super) fn named(line: &Line, above: &[&Line], counted: &[Counted]) -> Option<Totals> {
    let first = line.cells.iter().find(|cell| !cell.is_blank())?;
    let word = first.text.trim_end_matches(':').trim().to_lowercase();
    let is_total = TOTAL.contains(&word.as_str());
    if !is_total && !AVERAGE.contains(&word.as_str()) {
        return None;
    }
    let mut agrees = Vec::new();
    let mut wrong = None;
    for (index, is_share) in counted {
        let Some(value) = value(line, *index) else { continue };
        let numbers = numbers(above, *index);
        let (sum, mean) = (numbers.iter().sum::<f64>(), mean(&numbers));
        if near(value, sum) && is_total {
            agrees.push(Agrees::Sum { value });
        } else if near_mean(line, *index, value, mean) && (!is_total || *is_share) {
            if !is_total {
                agrees.push(Agrees::Mean { value, of: numbers });
            }
        } else if is_total && !is_share {
            wrong.get_or_insert_with(|| {
                Fault::user("table-total-wrong")
                    .with("first", &first.text)
                    .with("value", value)
                    .with("sum", sum)
                    .with("line", line.number)
            });
        } else if !is_total {
            wrong.get_or_insert_with(|| {
                Fault::user("table-average-wrong")
                    .with("first", &first.text)
                    .with("value", value)
                    .with("mean", format_args!("{mean:.1}"))
                    .with("line", line.number)
            });
        }
    }
    // The mean that says most is that of numbers that differ.
    agrees.sort_by_key(Agrees::is_of_one_number);
    let of = if is_total { SumOf::Total } else { SumOf::Average };
    let sum = SumLine { of, first: first.text.clone(), agrees: agrees.into_iter().next() };
    Some(Totals { sum, wrong })
}

/// Sums of the rows so far, by column.
#[derive(Debug)]
pub(super) struct Running {
    columns: Vec<Sum>,
    rows: usize,
}

#[derive(Clone, Copy, Debug, Default)]
struct Sum {
    index: usize,
    total: f64,
    count: usize,
    first: f64,
    differ: bool,
}

impl Running {
    /// Of the columns that hold numbers of pieces.
    pub(super) fn new(counted: &[Counted]) -> Self {
        let of = |(index, _): &Counted| Sum { index: *index, ..Sum::default() };
        Self { columns: counted.iter().filter(|(_, is_share)| !is_share).map(of).collect(), rows: 0 }
    }

    /// Takes in a row of plants.
    pub(super) fn add(&mut self, line: &Line) {
        self.rows += 1;
        for column in &mut self.columns {
            let Some(value) = value(line, column.index) else { continue };
            column.first = if column.count == 0 { value } else { column.first };
            column.differ |= !near(column.first, value);
            column.total += value;
            column.count += 1;
        }
    }

    /// That every number of a row without such a word is the sum, or the mean, of those above it.
    pub(super) fn suspect(&self, line: &Line) -> Option<Fault> {
        let values: Vec<(&Sum, f64)> =
            self.columns.iter().filter_map(|column| Some((column, value(line, column.index)?))).collect();
        if self.rows < 2 || values.len() < 2 || values.iter().any(|(_, value)| *value == 0.0) {
            return None;
        }
        if values.iter().all(|(column, value)| near(*value, column.total)) {
            return Some(Fault::user("table-row-of-sums").with("line", line.number));
        }
        // Rows that are all alike are their own mean.
        let is_mean = |(column, value): &(&Sum, f64)| near(*value, column.total / column.count.max(1) as f64);
        let differ = values.iter().filter(|(column, _)| column.differ).count();
        let is_likely = differ >= 2 && values.iter().all(is_mean);
        is_likely.then(|| Fault::user("table-row-of-means").with("line", line.number))
    }
}

fn value(line: &Line, index: usize) -> Option<f64> {
    let text = line.cells.get(index)?.text.trim_end_matches('%').trim().replace(',', ".");
    text.parse().ok().filter(|value: &f64| value.is_finite())
}

fn numbers(above: &[&Line], index: usize) -> Vec<f64> {
    above.iter().filter_map(|line| value(line, index)).collect()
}

fn mean(numbers: &[f64]) -> f64 {
    if numbers.is_empty() { f64::NAN } else { numbers.iter().sum::<f64>() / numbers.len() as f64 }
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-6
}

/// Whether a mean agrees to the decimals that were written.
fn near_mean(line: &Line, index: usize, value: f64, mean: f64) -> bool {
    let text = line.cells.get(index).map(|cell| cell.text.replace(',', ".")).unwrap_or_default();
    let decimals = text.split_once('.').map_or(0, |(_, behind)| behind.trim_end_matches('%').trim().len());
    (value - mean).abs() <= 0.5 * 10_f64.powi(-(decimals.min(9) as i32)) + 1e-9
}
