//! Facets as typed: `container=pot; humidity=open`.

use std::collections::BTreeMap;

use propagule_files::fault::Fault;

use super::parts;

/// Reads names of facets with their words; whether there are such facets and words is for whoever keeps them.
///
/// # Errors
/// A part without `=`.
pub fn read(text: &str) -> Result<BTreeMap<String, String>, Fault> {
    let read = |part: &str| {
        let (key, value) =
            part.split_once('=').ok_or_else(|| Fault::user("facet-without-equals").with("text", part))?;
        Ok((key.trim().to_lowercase().replace([' ', '-'], "_"), value.trim().to_owned()))
    };
    parts(text, ';').map(read).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn facets_are_parted_by_semicolons() {
        let read_back = read("container=pot; growing place = glass;").expect("reads");
        assert_eq!(read_back["container"], "pot");
        assert_eq!(read_back["growing_place"], "glass");
        assert_eq!(read("open").expect_err("no word").code, "facet-without-equals");
    }
}
