//! Which arms are the same method: the default grouping, finer splits, filters.

mod label;
mod pretreatment;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use propagule_files::fault::Fault;
use propagule_protocol::Facet;
use propagule_protocol::vocab::{Dialect, Heard, hear};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::Family;
use crate::family::{humidity_group, method_family};
use crate::left_out::{LeftOut, WhyLeftOut, leave_out};
use crate::row::{EvidenceRow, FacetWords};
use propagule_files::closest;

pub(crate) use label::phase_words;

/// How treatments are grouped into methods.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
pub struct Grouping {
    /// Pool everything into one.
    pub pool_all: bool,
    /// Details that split further.
    pub by: Vec<String>,
    /// Where survivors were moved to before the count splits as well.
    #[serde(default)]
    pub by_path: bool,
    /// Details that must have a value.
    pub filters: Vec<Filter>,
}

/// `--where facet=value`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
pub struct Filter {
    /// Detail name.
    pub facet: String,
    /// The value it must have.
    pub value: String,
}

/// Splits by where treatments were moved to before the count; a move alone never makes another method.
pub(crate) const PATH: &str = "path";

/// Names that were perhaps meant; of more than these nobody would choose.
const MOST_MEANT: usize = 3;

/// Splits by where survivors were moved to.
const BY_PATH: &str = "path";

impl Grouping {
    /// Reads `--by` (`none`, `path`, or details with commas between) and `--where` (`facet=value`).
    ///
    /// # Errors
    /// A detail that does not exist, or a filter without `=`.
    pub fn parse(by: Option<&str>, filters: &[String]) -> Result<Self, Fault> {
        let mut grouping = Self::default();
        for name in by.into_iter().flat_map(|names| names.split(',')).map(str::trim) {
            match name {
                "none" => grouping.pool_all = true,
                BY_PATH => grouping.by_path = true,
                name => grouping.by.push(known_facet(name)?),
            }
        }
        for text in filters {
            let form_error = || Fault::usage("filter-without-equals").with("text", text);
            let (facet, value) = text.split_once('=').ok_or_else(form_error)?;
            let facet = known_facet(facet.trim())?;
            let value = in_our_words(&facet, value.trim());
            grouping.filters.push(Filter { facet, value });
        }
        Ok(grouping)
    }

    /// What methods are split by, as `--by` has it.
    pub fn by_words(&self) -> Vec<String> {
        let facets = if self.pool_all { vec!["none".to_owned()] } else { self.by.clone() };
        facets.into_iter().chain(self.by_path.then(|| BY_PATH.to_owned())).collect()
    }

    fn admits(&self, row: &EvidenceRow) -> bool {
        self.filters.iter().all(|filter| {
            row.facets.get(&filter.facet).is_some_and(|word| label::word_is(word, &filter.value))
        })
    }
}

/// A value as results have it, where a grower's phrase for it says that detail and leaves nothing open. A word of the list
/// stays: it may be one component of several.
fn in_our_words(facet: &str, value: &str) -> String {
    let Some(facet) = Facet::from_name(facet) else { return value.to_owned() };
    let is_listed = facet.words().iter().any(|word| word.eq_ignore_ascii_case(value));
    let dialects = if is_listed { &[][..] } else { &[Dialect::Us, Dialect::Uk, Dialect::Au] };
    let word = dialects.iter().find_map(|dialect| match hear(facet, value, *dialect) {
        Ok(Heard::Understood(said)) => {
            said.facets.into_iter().find(|(of, _)| *of == facet).map(|(_, word)| word)
        }
        _ => None,
    });
    word.filter(|word| !word.is_empty()).unwrap_or_else(|| value.to_owned())
}

fn known_facet(name: &str) -> Result<String, Fault> {
    let name = name.to_lowercase().replace([' ', '-'], "_");
    let name = Facet::called(&name).map_or(name, |facet| facet.name().to_owned());
    if name == PATH {
        return Ok(name);
    }
    let names = label::facet_names();
    if names.contains(&name.as_str()) {
        return Ok(name);
    }
    let near = closest(&name, names.iter().copied(), MOST_MEANT);
    Err(Fault::usage("facet-not-to-group-by").with("name", name).with_data("names", &names).near(&near))
}

/// Treatments of one method, by label.
#[derive(Clone, Debug, PartialEq)]
pub struct MethodGroup<'a> {
    /// What the method is called.
    pub label: String,
    /// The details that make the group, with the value of each.
    pub facets: FacetWords,
    /// Family of its kinds.
    pub family: Family,
    /// Its treatments, pending ones included.
    pub rows: Vec<&'a EvidenceRow>,
}

/// What makes two treatments one method: detail values, and where asked for what they were moved to
/// before the count. A move alone makes no other method: the method is what the propagules were started with.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct MethodKey {
    pub(crate) facets: FacetWords,
    pub(crate) moved_to: Vec<String>,
}

/// Word of a detail that is not known; never equal to a known one.
pub(crate) const NOT_KNOWN: &str = "not known";

/// Groups treatments by method, sorted by label; filtered treatments and those with words this version does not know
/// are counted in `left_out`.
pub fn group<'a>(
    rows: impl IntoIterator<Item = &'a EvidenceRow>,
    grouping: &Grouping,
    left_out: &mut Vec<LeftOut>,
) -> Vec<MethodGroup<'a>> {
    let mut groups: BTreeMap<MethodKey, Vec<&EvidenceRow>> = BTreeMap::new();
    for row in rows {
        if !grouping.admits(row) {
            leave_out(left_out, WhyLeftOut::NotAdmitted, 1);
        } else if let Some(key) = method_key(row, grouping) {
            groups.entry(key).or_default().push(row);
        } else {
            leave_out(left_out, WhyLeftOut::WordNotKnown, 1);
        }
    }
    let mut groups: Vec<_> = groups.into_iter().map(|(key, rows)| method_group(key, rows)).collect();
    groups.sort_by(|a, b| a.label.cmp(&b.label));
    groups
}

fn method_group(key: MethodKey, rows: Vec<&EvidenceRow>) -> MethodGroup<'_> {
    MethodGroup {
        label: label::method_label(&key, &rows),
        family: common_family(&rows),
        facets: key.facets,
        rows,
    }
}

fn common_family(rows: &[&EvidenceRow]) -> Family {
    let mut families = rows.iter().map(|row| method_family(&row.facets));
    let first = families.next().unwrap_or_default();
    if families.all(|family| family == first) { first } else { Family::Mixed }
}

/// Details that make a method of this family unless told otherwise.
fn default_facets(family: Family, facets: &FacetWords) -> &'static [&'static str] {
    if facets.contains_key("method") {
        return &["method"];
    }
    match family {
        Family::Cuttings => &["kind", "wood", "humidity"],
        Family::Seed => &["kind", "stratification"],
        Family::Grafts | Family::Buds | Family::Layers | Family::Division | Family::Mixed => {
            &["kind", "form"]
        }
    }
}

/// `None` where a detail of the grouping holds a code of a newer vocabulary.
fn method_key(row: &EvidenceRow, grouping: &Grouping) -> Option<MethodKey> {
    let mut key = MethodKey { moved_to: moved_to(row, grouping), ..MethodKey::default() };
    if grouping.pool_all {
        return Some(key);
    }
    let family = method_family(&row.facets);
    for facet in default_facets(family, &row.facets) {
        let word = row.facets.get(*facet).map_or(NOT_KNOWN, String::as_str);
        let word = match *facet {
            "humidity" => humidity_group(word).to_owned(),
            "stratification" => pretreatment::stratification_group(word),
            _ => word.to_owned(),
        };
        key.facets.insert((*facet).to_owned(), word);
    }
    if let Some(word) = pretreatment::scarified(&row.facets).filter(|_| family == Family::Seed) {
        key.facets.insert("scarified".to_owned(), word.to_owned());
    }
    for facet in grouping.by.iter().filter(|name| *name != PATH) {
        let word = row.facets.get(facet).cloned().unwrap_or_else(|| NOT_KNOWN.to_owned());
        key.facets.insert(facet.clone(), word);
    }
    key.facets.values().all(|word| !label::is_newer_word(word)).then_some(key)
}

/// The places that the survivors were moved to, where methods are split by them.
fn moved_to(row: &EvidenceRow, grouping: &Grouping) -> Vec<String> {
    if !grouping.by_path {
        return Vec::new();
    }
    row.phases.iter().map(|phase| phase_words(&row.facets, &phase.facets)).collect()
}
