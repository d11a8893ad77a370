//! One case file.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use serde_json::{Map, Value};

use super::table::Table;

/// A case: input tables and the checks on them.
pub(crate) struct Case {
    pub(crate) id: String,
    pub(crate) kind: String,
    /// The `csv` table, already narrowed to the rows that the case names.
    pub(crate) table: Option<Table>,
    /// Further inputs.
    pub(crate) data: Map<String, Value>,
    pub(crate) checks: Vec<Check>,
    folder: PathBuf,
}

/// Expected numbers with their tolerance.
pub(crate) struct Check {
    pub(crate) name: String,
    pub(crate) kind: String,
    pub(crate) expected: BTreeMap<String, Value>,
    pub(crate) relative: f64,
    pub(crate) absolute: f64,
    /// Keys that a computation has read as its input.
    inputs: RefCell<BTreeSet<String>>,
}

impl Case {
    /// Reads a case file and its table.
    pub(crate) fn read(folder: &Path, file: &Path) -> Result<Self, String> {
        let text = fs::read_to_string(file).map_err(|e| e.to_string())?;
        let json: Value = serde_json::from_str(&text).map_err(|e| e.to_string())?;
        let text_of = |key: &str| json[key].as_str().map(str::to_owned);
        let checks = json["checks"].as_array().ok_or("no checks")?;
        if checks.is_empty() {
            return Err("no checks".to_owned());
        }
        let table = text_of("csv").map(|path| Table::read(&folder.join(path))).transpose()?;
        let remark =
            format!("{} {}", text_of("title").unwrap_or_default(), text_of("notes").unwrap_or_default());
        Ok(Self {
            id: text_of("id").ok_or("no id")?,
            kind: text_of("kind").ok_or("no kind")?,
            table: table.map(|table| narrowed(table, &remark)),
            data: json["data"].as_object().cloned().unwrap_or_default(),
            checks: checks.iter().map(Check::parse).collect::<Result<_, _>>()?,
            folder: folder.to_owned(),
        })
    }

    /// The case's own table.
    pub(crate) fn table(&self) -> Result<&Table, String> {
        self.table.as_ref().ok_or_else(|| "the case names no csv".to_owned())
    }

    /// A table named by an entry of `data`.
    pub(crate) fn data_table(&self, key: &str) -> Result<Table, String> {
        let path = self.data.get(key).and_then(Value::as_str).ok_or(format!("no table {key} in data"))?;
        Table::read(&self.folder.join(path))
    }

    /// A table by its path below the folder.
    pub(crate) fn table_at(&self, path: &str) -> Result<Table, String> {
        Table::read(&self.folder.join(path))
    }
}

/// Keeps the rows of one trial when the title or notes say "rows with trial X".
fn narrowed(table: Table, remark: &str) -> Table {
    let label = remark
        .split("rows with trial ")
        .nth(1)
        .map(|rest| rest.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect::<String>());
    match label {
        Some(trial) => table.filtered(|row| row.get("trial") == Some(trial.as_str())),
        None => table,
    }
}

impl Check {
    fn parse(json: &Value) -> Result<Self, String> {
        let name = json["name"].as_str().ok_or("a check without a name")?.to_owned();
        let expected = json["expected"].as_object().ok_or_else(|| format!("{name}: nothing expected"))?;
        let tolerance =
            |key: &str| json["tol"][key].as_f64().ok_or_else(|| format!("{name}: no tolerance {key}"));
        Ok(Self {
            kind: json["kind"].as_str().unwrap_or("value").to_owned(),
            relative: tolerance("rel")?,
            absolute: tolerance("abs")?,
            expected: expected.iter().map(|(k, v)| (k.clone(), v.clone())).collect(),
            inputs: RefCell::default(),
            name,
        })
    }

    /// Reads an expected entry as an input of the computation, which makes it information.
    pub(crate) fn input(&self, key: &str) -> Result<&Value, String> {
        let value = self.expected.get(key).ok_or_else(|| format!("no input {key}"))?;
        self.inputs.borrow_mut().insert(key.to_owned());
        Ok(value)
    }

    pub(crate) fn number(&self, key: &str) -> Result<f64, String> {
        self.input(key)?.as_f64().ok_or_else(|| format!("{key} is no number"))
    }

    pub(crate) fn whole(&self, key: &str) -> Result<u32, String> {
        as_whole(self.input(key)?).ok_or_else(|| format!("{key} is no whole number"))
    }

    pub(crate) fn numbers(&self, key: &str) -> Result<Vec<f64>, String> {
        let list = self.input(key)?.as_array().ok_or_else(|| format!("{key} is no list"))?;
        list.iter().map(|v| v.as_f64().ok_or_else(|| format!("{key} holds something else"))).collect()
    }

    pub(crate) fn is_input(&self, key: &str) -> bool {
        self.inputs.borrow().contains(key)
    }
}

/// A whole number, also when written with a decimal point.
pub(crate) fn as_whole(value: &Value) -> Option<u32> {
    value.as_f64().filter(|v| v.fract() == 0.0 && *v >= 0.0).map(|v| v as u32)
}
