//! What the bench knows beside trials and entries: places, spots, care, stock plants, growers, names.

use std::collections::BTreeMap;

use propagule_protocol::AuthorKey;
use propagule_protocol::names::Synonyms;
use propagule_protocol::place::Place;

use super::Bench;
use crate::entry::What;
use crate::grower::KnownGrower;
use crate::spot::{CareSpan, Spot};
use crate::stock::StockPlant;

impl Bench {
    /// The place with this name.
    pub fn place(&self, name: &str) -> Option<&Place> {
        self.places.get(name)
    }

    /// All places by name.
    pub fn places(&self) -> impl Iterator<Item = (&String, &Place)> {
        self.places.iter()
    }

    /// The spot with this name, letter case apart.
    pub fn spot(&self, name: &str) -> Option<&Spot> {
        self.spots.values().find(|spot| spot.name.eq_ignore_ascii_case(name))
    }

    /// All spots by name.
    pub fn spots(&self) -> impl Iterator<Item = &Spot> {
        self.spots.values()
    }

    /// Care of a spot by day.
    pub fn care_of(&self, name: &str) -> Vec<CareSpan> {
        let mut spans: Vec<CareSpan> = self
            .cares()
            .filter_map(|(event, entry)| match &entry.what {
                What::Cared { spot, care, until } if spot.eq_ignore_ascii_case(name) => {
                    Some(CareSpan { event, care: care.clone(), from: entry.on, until: *until })
                }
                _ => None,
            })
            .collect();
        spans.sort_by_key(|span| (span.from.middle(), span.event));
        spans
    }

    /// The stock plant with this name, letter case apart.
    pub fn stock_plant(&self, name: &str) -> Option<&StockPlant> {
        self.stock.values().find(|stock| stock.name.eq_ignore_ascii_case(name))
    }

    /// All stock plants by name.
    pub fn stock_plants(&self) -> impl Iterator<Item = &StockPlant> {
        self.stock.values()
    }

    /// Other growers, by key.
    pub fn growers(&self) -> impl Iterator<Item = &KnownGrower> {
        self.growers.values()
    }

    /// Another grower as known here; nothing is known of most.
    pub fn grower(&self, key: &AuthorKey) -> KnownGrower {
        self.growers.get(key).cloned().unwrap_or_else(|| KnownGrower::new(*key))
    }

    /// Whether trials are opened on the network when they are stuck; none before it was asked.
    pub fn opens(&self) -> Option<bool> {
        self.opens
    }

    /// Whether results of this home are to be published; none before it was chosen.
    pub fn publishing(&self) -> Option<bool> {
        self.publishing
    }

    /// Names that the grower takes for one species.
    pub fn synonyms(&self) -> &Synonyms {
        &self.synonyms
    }

    /// What was said of the headings of every table.
    pub fn all_columns(&self) -> Vec<(Vec<String>, BTreeMap<String, String>)> {
        self.columns.iter().map(|(headings, columns)| (headings.clone(), columns.clone())).collect()
    }

    /// What was said of headings for the last table that had the same; else what once held for all tables.
    pub fn columns(&self, headings: &[String]) -> BTreeMap<String, String> {
        let of = |headings: &[String]| self.columns.get(headings).cloned();
        of(headings).or_else(|| of(&[])).unwrap_or_default()
    }

    /// Whether a caution is not wanted in the season of this year.
    pub fn is_dismissed(&self, caution: &str, season: u16) -> bool {
        self.dismissed.iter().any(|(name, year)| name == caution && *year == season)
    }

    /// Events of a newer version that this one does not understand.
    pub fn unread(&self) -> usize {
        self.unread
    }
}
