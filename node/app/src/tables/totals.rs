//! Rows of totals and averages: never plants.

use super::sheet::Line;

/// What a row of totals says, and whether it adds up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Totals {
    /// `total row` or `average row`.
    pub(super) kind: &'static str,
    /// What it agrees with.
    pub(super) why: String,
    /// What does not add up.
    pub(super) wrong: Option<String>,
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
    let kind = if is_total { "total row" } else { "average row" };
    let mut agrees = Vec::new();
    let mut wrong = None;
    for (index, is_share) in counted {
        let Some(value) = value(line, *index) else { continue };
        let numbers = numbers(above, *index);
        let (sum, mean) = (numbers.iter().sum::<f64>(), mean(&numbers));
        if near(value, sum) && is_total {
            agrees.push(format!("{} is the sum of the rows above", plain(value)));
        } else if near_mean(line, *index, value, mean) && (!is_total || *is_share) {
            if !is_total {
                agrees.push(format!("{} is the mean of {}", plain(value), list(&numbers)));
            }
        } else if is_total && !is_share {
            wrong.get_or_insert_with(|| {
                format!("{} says {}, the rows add to {}", first.text, plain(value), plain(sum))
            });
        } else if !is_total {
            wrong.get_or_insert_with(|| {
                format!("{} says {}, the mean of the rows is {:.1}", first.text, plain(value), mean)
            });
        }
    }
    // The mean that says most is that of numbers that differ.
    agrees.sort_by_key(|why| usize::from(why.contains("mean of") && is_all_alike(why)));
    let why = agrees.into_iter().next().unwrap_or_else(|| "it has no number that can be checked".to_owned());
    Some(Totals { kind, why: format!("first cell is {} and {why}; never a plant", first.text), wrong })
}

/// Whether the numbers that a mean is of are all the same.
fn is_all_alike(why: &str) -> bool {
    let Some((_, numbers)) = why.split_once("mean of ") else { return false };
    let mut numbers = numbers.split(", ");
    let first = numbers.next();
    numbers.all(|number| Some(number) == first)
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

    /// Whether every number of a row without such a word is the sum, or the mean, of those above it.
    pub(super) fn suspect(&self, line: &Line) -> Option<&'static str> {
        let values: Vec<(&Sum, f64)> =
            self.columns.iter().filter_map(|column| Some((column, value(line, column.index)?))).collect();
        if self.rows < 2 || values.len() < 2 || values.iter().any(|(_, value)| *value == 0.0) {
            return None;
        }
        if values.iter().all(|(column, value)| near(*value, column.total)) {
            return Some("sums");
        }
        // Rows that are all alike are their own mean.
        let is_mean = |(column, value): &(&Sum, f64)| near(*value, column.total / column.count.max(1) as f64);
        let differ = values.iter().filter(|(column, _)| column.differ).count();
        (differ >= 2 && values.iter().all(is_mean)).then_some("means")
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

fn plain(value: f64) -> String {
    value.to_string()
}

fn list(numbers: &[f64]) -> String {
    let mut words: Vec<String> = numbers.iter().take(8).map(|number| plain(*number)).collect();
    if numbers.len() > words.len() {
        words.push(format!("and {} more", numbers.len() - words.len()));
    }
    words.join(", ")
}
