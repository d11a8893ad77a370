//! Everything of a trial and its place that stays at home. Structs are taken apart without `..`, so that
//! no new field can be left out of the account.

use super::Item;
use super::dose::coarse;
use super::trial::{Private, StageDay, StageDays, Trial, TrialArm, TrialPhase};
use crate::date::Date;
use crate::place::{Climate, Hemisphere, Place};
use crate::record::{Facets, StageCounts};
use crate::vocab::Facet;

pub(super) fn account(trial: &Trial, place: &Place) -> Vec<Item> {
    let Trial {
        series: _,
        revision: _,
        taxon: _,
        started,
        days,
        design: _,
        stock_plants,
        doi: _,
        grower_mark: _,
        parent: _,
        control: _,
        arms,
        private,
    } = trial;
    let mut items = private_items(private);
    items.push(Item::new("day of starting", started.to_string()));
    items.extend(day_items(days));
    items.extend(stock_plants.map(|number| Item::new("exact number of stock plants", number.to_string())));
    items.extend(arms.iter().flat_map(arm_items));
    items.extend(place_items(place));
    items
}

fn text(what: impl Into<String>, value: &str) -> Option<Item> {
    (!value.is_empty()).then(|| Item::new(what, value))
}

fn day(what: impl Into<String>, value: Option<Date>) -> Option<Item> {
    value.map(|day| Item::new(what, day.to_string()))
}

fn private_items(private: &Private) -> Vec<Item> {
    let Private { name, place, notes, other } = private;
    let names = [text("name of the trial", name), text("name of the place", place)];
    let notes = notes.iter().filter_map(|note| text("note", note));
    names.into_iter().flatten().chain(notes).chain(other.iter().cloned()).collect()
}

fn day_items(days: &StageDays) -> Vec<Item> {
    let StageDays { lift, season, spring, last } = days;
    let stages =
        [("lift", lift), ("count at season end", season), ("spring count", spring), ("final count", last)];
    let items = stages.into_iter().flat_map(|(stage, StageDay { planned, counted })| {
        [day(format!("day planned for {stage}"), *planned), day(format!("day of {stage}"), *counted)]
    });
    items.flatten().collect()
}

fn arm_items(arm: &TrialArm) -> Vec<Item> {
    let TrialArm {
        number,
        label,
        started: _,
        started_on,
        lifted_on,
        method,
        stages,
        replicates,
        unlisted_difference: _,
        phases,
    } = arm;
    let name = format!("arm {number}");
    let labels =
        replicates.iter().flatten().filter_map(|(label, _)| text(format!("{name}: replicate label"), label));
    let own = [
        text(format!("{name}: label"), label),
        day(format!("{name}: day of starting"), *started_on),
        day(format!("{name}: day of lift"), *lifted_on),
        exact_strength(&name, method),
        extensions(&name, has_extensions(stages) || !method.extensions.is_empty()),
    ];
    own.into_iter()
        .flatten()
        .chain(labels)
        .chain(phases.iter().flat_map(|phase| phase_items(&name, phase)))
        .collect()
}

fn phase_items(name: &str, phase: &TrialPhase) -> Vec<Item> {
    let TrialPhase { moved_on, spot, method } = phase;
    let items = [
        day(format!("{name}: day of moving"), Some(*moved_on)),
        text(format!("{name}: moved to"), spot),
        exact_strength(name, method),
        extensions(name, !method.extensions.is_empty()),
    ];
    items.into_iter().flatten().collect()
}

fn extensions(name: &str, are_there: bool) -> Option<Item> {
    are_there.then(|| Item::new(format!("{name}: entries of another version"), "left out"))
}

fn has_extensions(stages: &StageCounts) -> bool {
    stages.counted().any(|(_, counts)| !counts.extensions.is_empty())
}

/// The auxin as measured, where what leaves is coarser.
fn exact_strength(name: &str, method: &Facets) -> Option<Item> {
    let auxins = method.auxin.as_ref()?;
    let is_coarser = auxins.iter().any(|auxin| coarse(*auxin) != *auxin);
    let word = method.word(Facet::Auxin).filter(|_| is_coarser)?;
    Some(Item::new(format!("{name}: exact strength"), word))
}

fn place_items(place: &Place) -> Vec<Item> {
    let Place { hemisphere, climate, zone } = place;
    let half = match hemisphere {
        Hemisphere::North => "north",
        Hemisphere::South => "south",
    };
    let mut items = vec![Item::new("hemisphere", half)];
    items.extend(zone.map(|zone| Item::new("half-zone", zone.to_string())));
    items.extend(climate_items(climate));
    items
}

fn climate_items(climate: &Climate) -> Vec<Item> {
    let list = |numbers: &[f64]| numbers.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ");
    match climate {
        Climate::None => Vec::new(),
        Climate::Six { coldest, hottest, rain, summer_share, driest_summer, driest_winter } => vec![
            Item::new("exact temperatures (°C)", list(&[*coldest, *hottest])),
            Item::new(
                "exact rain (mm, share, mm, mm)",
                list(&[*rain, *summer_share, *driest_summer, *driest_winter]),
            ),
        ],
        Climate::Twelve { temperature, rain } => vec![
            Item::new("monthly temperatures (°C)", list(temperature)),
            Item::new("monthly rain (mm)", list(rain)),
        ],
    }
}
