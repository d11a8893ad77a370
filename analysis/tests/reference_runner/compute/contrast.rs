//! Two methods inside trials.

use propagule_analysis::Count;
use propagule_analysis::Pair;
use propagule_analysis::contrast::{self, Options};
use serde_json::Value;

use super::Got;
use crate::reference_runner::case::{Case, Check, as_whole};

/// Data sets by the end of the check's name: an entry of `data`, or "`A_vs_B`" of the case's table.
pub(crate) fn compute(case: &Case, check: &Check) -> Result<Got, String> {
    let name = check.name.split_once('.').ok_or("the check names no data")?.1;
    let pairs = match (case.data.get(name), name.split_once("_vs_")) {
        (Some(data), _) => pairs_of(data)?,
        (None, Some((first, second))) => side_by_side(case, first, second)?,
        // Named after what it holds; the reference keeps no table for it.
        (None, None) if name == "double_zero_only" => vec![pair([0, 20, 0, 20])?],
        (None, None) => return Err(format!("no data {name}")),
    };
    let fit = contrast::conditional(&pairs, &Options::default()).map_err(|e| e.to_string())?;
    let value = serde_json::to_value(fit).map_err(|e| e.to_string())?;
    Ok(value.as_object().ok_or("no object")?.iter().map(|(k, v)| (k.clone(), v.clone())).collect())
}

fn pair([a, n1, c, n2]: [u32; 4]) -> Result<Pair, String> {
    let count = |n, r| Count::new(n, r).map_err(|e| e.to_string());
    Ok(Pair { first: count(n1, a)?, second: count(n2, c)? })
}

/// Pairs from lists `ai`, `n1i`, `ci`, `n2i`; a list of one may be written as a number.
pub(crate) fn pairs_of(data: &Value) -> Result<Vec<Pair>, String> {
    let column = |key: &str| -> Result<Vec<u32>, String> {
        let values = match &data[key] {
            Value::Array(list) => list.iter().map(as_whole).collect(),
            other => Some(vec![as_whole(other).ok_or_else(|| format!("no {key}"))?]),
        };
        values.ok_or_else(|| format!("{key} holds something else than counts"))
    };
    let (a, n1, c, n2) = (column("ai")?, column("n1i")?, column("ci")?, column("n2i")?);
    let rows = a.len().max(n1.len()).max(c.len()).max(n2.len());
    let at = |list: &[u32], k: usize| if list.len() == 1 { list[0] } else { list[k] };
    (0..rows).map(|k| pair([at(&a, k), at(&n1, k), at(&c, k), at(&n2, k)])).collect()
}

/// Trials of the table that hold only these two methods.
fn side_by_side(case: &Case, first: &str, second: &str) -> Result<Vec<Pair>, String> {
    let table = case.table()?;
    let mut pairs = Vec::new();
    for row in table.rows.iter().filter(|row| row.get("method") == Some(first)) {
        let trial = (row.text("grower")?, row.text("trial")?);
        let same = |r: &&crate::reference_runner::table::Row| {
            (r.get("grower"), r.get("trial")) == (Some(trial.0), Some(trial.1))
        };
        let partner = table.rows.iter().filter(same).find(|r| r.get("method") == Some(second));
        if let Some(partner) = partner {
            pairs.push(Pair { first: row.count()?, second: partner.count()? });
        }
    }
    Ok(pairs)
}
