//! What the language of the system says of how a grower reads.

use propagule_bench::locale::Dialect;

/// What a home takes from the language of the system when it is made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SystemLanguage {
    /// Trade words and spelling.
    pub dialect: Dialect,
    /// Country by its two letters, where the system names one.
    pub country: Option<String>,
}

impl SystemLanguage {
    /// Of this process: what it is told by the variables of POSIX, the strongest first. A system without them is read as
    /// one that names no language.
    pub fn of_process() -> Self {
        let names = ["LC_ALL", "LC_MESSAGES", "LANG"];
        let set =
            names.into_iter().filter_map(|name| std::env::var(name).ok()).find(|value| !value.is_empty());
        Self::named(&set.unwrap_or_default())
    }

    /// Of a name such as `en_US.UTF-8`, or `en-AU`.
    pub fn named(name: &str) -> Self {
        let name = name.split(['.', '@']).next().unwrap_or_default().replace('-', "_");
        let (language, territory) = name.split_once('_').unwrap_or((name.as_str(), ""));
        let is_country = territory.len() == 2 && territory.bytes().all(|letter| letter.is_ascii_alphabetic());
        let country = is_country.then(|| territory.to_ascii_uppercase());
        let dialect = match (language, country.as_deref()) {
            ("en", Some("US")) => Dialect::Us,
            ("en", Some("AU" | "NZ")) => Dialect::Au,
            _ => Dialect::Uk,
        };
        Self { dialect, country }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_of_a_country_are_taken_from_its_english() {
        let named = |name| {
            let SystemLanguage { dialect, country } = SystemLanguage::named(name);
            (dialect, country.unwrap_or_default())
        };
        let of = |dialect, country: &str| (dialect, country.to_owned());
        assert_eq!(named("en_US.UTF-8"), of(Dialect::Us, "US"));
        assert_eq!(named("en-AU"), of(Dialect::Au, "AU"));
        assert_eq!(named("en_NZ.utf8"), of(Dialect::Au, "NZ"));
        assert_eq!(named("en_GB"), of(Dialect::Uk, "GB"));
        assert_eq!(named("de_DE@euro"), of(Dialect::Uk, "DE"));
        for none in ["C", "C.UTF-8", "POSIX", "", "en"] {
            assert_eq!(named(none), of(Dialect::Uk, ""), "{none}");
        }
    }
}
