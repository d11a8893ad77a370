//! What lots take from the spots they stand on, and what a move changes.

use std::collections::BTreeMap;

use propagule_protocol::Date;

use super::entry::What;
use super::fates::Fates;
use super::record::Bench;
use super::season::Season;
use super::trial::{Arm, ArmPhase};

/// Facet name → words.
type Words = BTreeMap<String, String>;

impl Bench {
    /// The spot an arm stands on, on a day.
    pub fn spot_of(&self, season: &Season<'_>, arm: u8, day: Date) -> Option<String> {
        let stood = season.entries.iter().filter(|(_, entry)| entry.on.middle() <= day);
        stood
            .filter_map(|(_, entry)| match &entry.what {
                What::Stood { arms, spot, .. } | What::Moved { arms, spot: Some(spot), .. } => {
                    arms.contains(&arm).then_some(spot)
                }
                _ => None,
            })
            .next_back()
            .cloned()
            .or_else(|| season.trial.arm(arm)?.spot.clone())
    }

    /// Facets that an arm takes from its spot, on a day.
    pub(super) fn environment(&self, season: &Season<'_>, arm: u8, day: Date) -> Words {
        self.spot_of(season, arm, day).map(|spot| self.facets_of_spot(&spot, day)).unwrap_or_default()
    }

    /// Facets of a spot on a day: as described, and as the care on it says.
    pub fn facets_of_spot(&self, name: &str, day: Date) -> Words {
        let mut facets = self.spot(name).map(|spot| spot.facets.clone()).unwrap_or_default();
        let spans = self.care_of(name);
        for span in spans.iter().filter(|span| span.from.first <= day) {
            let is_over = span.until.is_some_and(|until| until.last < day);
            let Some((facet, words)) = span.care.facet() else { continue };
            let is_ended = spans.iter().any(|other| {
                matches!(&other.care, super::spot::Care::Ended { what } if what == span.care.word())
                    && other.from.middle() <= day
                    && other.from.middle() >= span.from.middle()
            });
            if !is_over && !is_ended {
                facets.insert(facet.name().to_owned(), words);
            }
        }
        facets
    }

    /// Facets of an arm as they were on a day, whatever its pieces had by then: its own, those of the places that it
    /// was moved to, and where neither says anything those of its spot and its stock plant.
    pub fn facets_in_force(&self, season: &Season<'_>, arm: u8, day: Date) -> Words {
        let Some(described) = season.trial.arm(arm) else { return Words::new() };
        let mut now = described.clone();
        for (_, entry) in &season.entries {
            let What::Moved { arms, spot, facets: changed, .. } = &entry.what else { continue };
            if entry.on.middle() > day || !arms.contains(&arm) {
                continue;
            }
            if let Some(spot) = spot {
                let is_still_there = self.spot_of(season, arm, day).as_ref() == Some(spot);
                let seen = if is_still_there { day } else { entry.on.middle() };
                now.facets.extend(self.facets_of_spot(spot, seen));
            }
            now.facets.extend(changed.clone());
        }
        for (name, words) in self.environment(season, arm, day) {
            now.facets.entry(name).or_insert(words);
        }
        self.take_stock_facets(&mut now);
        now.facets
    }

    /// Later phases of an arm: moves while pieces lived that had no roots yet. Moving rooted pieces is aftercare.
    pub(super) fn phases(&self, season: &Season<'_>, arm: &Arm) -> Vec<ArmPhase> {
        let mut facets = arm.facets.clone();
        let started = season.trial.started_of(arm).middle();
        for (name, words) in self.environment(season, arm.number, started) {
            facets.entry(name).or_insert(words);
        }
        let mut phases = Vec::new();
        for (number, entry) in &season.entries {
            let What::Moved { arms, spot, facets: changed, .. } = &entry.what else { continue };
            let day = entry.on.middle();
            if !arms.contains(&arm.number)
                || day <= started
                || !has_unrooted(season, arm.number, day, *number)
            {
                continue;
            }
            if let Some(spot) = spot {
                facets.extend(self.facets_of_spot(spot, entry.on.middle()));
            }
            facets.extend(changed.clone());
            let spot = spot.clone().unwrap_or_default();
            phases.push(ArmPhase { on: entry.on, spot, facets: facets.clone() });
        }
        phases
    }

    /// Puts in what the stock plant says and the arm does not.
    pub(super) fn take_stock_facets(&self, arm: &mut Arm) {
        let Some(stock) = arm.stock_plant.as_deref().and_then(|name| self.stock_plant(name)) else { return };
        for (name, words) in &stock.facets {
            arm.facets.entry(name.clone()).or_insert_with(|| words.clone());
        }
    }
}

/// Whether pieces of an arm lived without roots on the day of a move, after whatever was counted on it before.
fn has_unrooted(season: &Season<'_>, arm: u8, day: Date, entry: u64) -> bool {
    season.of_arm(arm).any(|unit| {
        let known = unit.points.iter().rev().find(|p| (p.on.middle(), p.entry) < (day, entry));
        let fates = known.map_or(Fates::fresh(unit.started), |point| point.standing.fates);
        fates.waiting + fates.not_known.without > 0
    })
}
