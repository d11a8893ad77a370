//! "Did you mean": names like a misspelt one.

/// Least likeness (1 is equal) of a name that was perhaps meant.
const LIKE_ENOUGH: f64 = 0.6;

/// Up to `at_most` of `names` that look like `wanted`, the most alike first; letter case does not count.
pub fn closest<'a>(wanted: &str, names: impl IntoIterator<Item = &'a str>, at_most: usize) -> Vec<String> {
    let wanted = wanted.trim().to_lowercase();
    let likeness = |name: &str| {
        let name = name.to_lowercase();
        if wanted.len() >= 3 && name.contains(&wanted) {
            return 0.99;
        }
        strsim::normalized_damerau_levenshtein(&wanted, &name)
    };
    let mut ranked: Vec<(f64, &str)> = names.into_iter().map(|name| (likeness(name), name)).collect();
    ranked.retain(|(likeness, _)| *likeness >= LIKE_ENOUGH);
    ranked.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(b.1)));
    ranked.dedup_by(|a, b| a.1 == b.1);
    ranked.into_iter().take(at_most).map(|(_, name)| name.to_owned()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_finds_its_name_and_nonsense_finds_none() {
        let names = ["Morus nigra", "Ribes nigrum", "Cornus mas"];
        assert_eq!(closest("Morus nigre", names, 3), ["Morus nigra"]);
        assert_eq!(closest("cornus", names, 3), ["Cornus mas"]);
        assert!(closest("xyzzy", names, 3).is_empty());
    }
}
