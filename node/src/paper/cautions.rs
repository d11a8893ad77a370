//! One line for each hazard of the work, which names it and defers to label, local code and licensed practice.

/// One line at the moment it matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Caution {
    /// Stable name, by which a grower dismisses it for a season.
    pub id: &'static str,
    /// The line.
    pub line: &'static str,
}
