//! Works that trials are read from.

/// One work, as its table of sources cites it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PrintedSource {
    /// Its label in tables of trials.
    pub id: String,
    /// The work as it is cited.
    pub citation: String,
    /// DOI or address, where one was read.
    pub address: Option<String>,
    /// Where in the work the counts stand.
    pub place: Option<String>,
    /// From what it was read.
    pub how_read: Option<String>,
    /// What is said of rights in it.
    pub rights: Option<String>,
    /// When it was read, as in 2026-11-28.
    pub date_read: Option<String>,
}

/// What comes before a DOI in an address.
const DOI_PREFIXES: [&str; 5] =
    ["https://doi.org/", "http://doi.org/", "https://dx.doi.org/", "http://dx.doi.org/", "doi:"];

impl PrintedSource {
    /// The year in the citation: one in brackets, else the first; `None` where it names none.
    pub fn year(&self) -> Option<u16> {
        let years: Vec<(usize, u16)> = years(&self.citation).collect();
        let in_brackets = |(at, _): &&(usize, u16)| {
            let (before, behind) = (&self.citation[..*at], &self.citation[*at + 4..]);
            before.ends_with('(') && behind.starts_with(')')
        };
        years.iter().find(in_brackets).or(years.first()).map(|(_, year)| *year)
    }

    /// Its DOI in lower case; `None` where its address is none.
    pub fn doi(&self) -> Option<String> {
        doi(self.address.as_deref()?)
    }
}

/// The DOI that a text is, in lower case and without the address of a resolver.
pub(super) fn doi(text: &str) -> Option<String> {
    let lower = text.trim().to_lowercase();
    let bare = DOI_PREFIXES.iter().find_map(|prefix| lower.strip_prefix(prefix)).unwrap_or(&lower);
    (bare.starts_with("10.") && bare.contains('/')).then(|| bare.to_owned())
}

/// Numbers of four digits that can be years of print, with where each stands.
fn years(text: &str) -> impl Iterator<Item = (usize, u16)> {
    let digits = |at: usize| text.as_bytes().get(at).is_some_and(u8::is_ascii_digit);
    let starts = (0..text.len()).filter(move |at| digits(*at) && (*at == 0 || !digits(*at - 1)));
    starts.filter_map(move |at| {
        let year = text.get(at..at + 4)?.parse().ok()?;
        ((1800..=2100).contains(&year) && !digits(at + 4)).then_some((at, year))
    })
}
