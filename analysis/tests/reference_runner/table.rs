//! Input tables.

use std::collections::BTreeMap;
use std::path::Path;

use propagule_analysis::Count;

/// A row by column name.
#[derive(Clone, Debug)]
pub(crate) struct Row(BTreeMap<String, String>);

/// Rows in file order.
#[derive(Clone, Debug)]
pub(crate) struct Table {
    pub(crate) rows: Vec<Row>,
}

impl Row {
    pub(crate) fn get(&self, column: &str) -> Option<&str> {
        self.0.get(column).map(String::as_str)
    }

    pub(crate) fn text(&self, column: &str) -> Result<&str, String> {
        self.get(column).ok_or_else(|| format!("no column {column}"))
    }

    pub(crate) fn number(&self, column: &str) -> Result<f64, String> {
        let text = self.text(column)?;
        text.parse().map_err(|_| format!("{column}: {text} is no number"))
    }

    /// The counts of an arm.
    pub(crate) fn count(&self) -> Result<Count, String> {
        let whole = |column: &str| {
            let text = self.text(column)?;
            text.parse::<u32>().map_err(|_| format!("{column}: {text} is no count"))
        };
        Count::new(whole("stuck")?, whole("rooted")?).map_err(|e| e.to_string())
    }
}

impl Table {
    pub(crate) fn read(path: &Path) -> Result<Self, String> {
        let describe = |error: csv::Error| format!("{}: {error}", path.display());
        let mut reader = csv::Reader::from_path(path).map_err(describe)?;
        let rows =
            reader.deserialize().collect::<Result<Vec<BTreeMap<String, String>>, _>>().map_err(describe)?;
        Ok(Self { rows: rows.into_iter().map(Row).collect() })
    }

    pub(crate) fn filtered(self, keep: impl Fn(&Row) -> bool) -> Self {
        Self { rows: self.rows.into_iter().filter(|row| keep(row)).collect() }
    }

    /// The counts of all rows.
    pub(crate) fn counts(&self) -> Result<Vec<Count>, String> {
        self.rows.iter().map(Row::count).collect()
    }
}
