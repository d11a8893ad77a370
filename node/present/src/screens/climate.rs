//! The own climate beside those of the others: in pictures, in words, and as tables.

use crate::chart::{Band, Behind, Measure, Months, Neighbor, Strip};
use crate::document::Document;
use propagule_analysis::compare::Band as Near;
use propagule_protocol::place::{Climate, Midpoints, Place};

use crate::words;
use propagule_answer::compare::{CompareAnswer, Peer};

const COLDEST: &str = "Coldest month";
const HOTTEST: &str = "Hottest month";
/// Said of a grower who shares no measure of climate.
const NOT_KNOWN: &str = "climate nobody stated";

/// Where the own trial stood, or is taken to have stood, and the climates of the others as they are published.
#[derive(Clone, Copy, Debug)]
pub struct Surroundings<'a> {
    /// The place of the trial.
    pub place: &'a Place,
    /// Several where a grower has several places.
    /// Regions of the growers compared with.
    pub regions: &'a [(String, Midpoints)],
}

/// The own climate over those of the others.
pub(super) fn climate(page: Document, answer: &CompareAnswer, around: &Surroundings<'_>) -> Document {
    let measures = measures(answer, around);
    let is_known = !measures.is_empty();
    page.section("Your climate and theirs", |section| {
        section
            .say(closeness(answer))
            .each(months(around, &measures), |section, months| {
                section.figure(
                    months,
                    "Your months as a line; boxes where half of the others have their coldest and their hottest month.",
                )
            })
            .when(is_known, |section| section.chart(strip(measures)))
            .when(!is_known, |section| section.note("No climate is known on both sides."))
    })
}

/// The own twelve months, where they are known.
fn months(around: &Surroundings<'_>, measures: &[Measure]) -> Option<Months> {
    let Climate::Twelve { temperature, .. } = &around.place.climate else { return None };
    let band = |what: &str, words: &str| {
        let measure = measures.iter().find(|measure| measure.what == what)?;
        let [from, to] = middle_half(measure.others.iter().map(|other| other.value).collect())?;
        Some(Band { words: words.to_owned(), from, to })
    };
    Some(Months {
        said: "Your twelve months as a line; bands where half of the others have their coldest and their hottest month"
            .to_owned(),
        own: *temperature,
        coldest: band(COLDEST, "Coldest of half of the others"),
        hottest: band(HOTTEST, "Hottest of half of the others"),
        heads: ["Month", "\u{b0}C"].map(str::to_owned),
        behind: Behind::new("Your months, and where half of the others have their coldest and their hottest"),
    })
}

fn strip(measures: Vec<Measure>) -> Strip {
    Strip {
        measures,
        keys: ["you", "close or similar", "other climates"].map(str::to_owned),
        note: "by the middles of what is published, one mark a site".to_owned(),
        heads: ["Measure", "Yours", "Theirs"].map(str::to_owned),
        not_known: "not stated".to_owned(),
        behind: Behind::named(
            "The climates as a table",
            "Middles of what is published; places of other growers at each",
        ),
    }
}

/// What both sides publish of their climate.
fn measures(answer: &CompareAnswer, around: &Surroundings<'_>) -> Vec<Measure> {
    let own = around.place.region().midpoints();
    let is_near = |grower: &str| {
        let peer = answer.peers.iter().find(|peer| peer.grower == grower);
        peer.and_then(|peer| peer.band).is_some_and(|band| matches!(band, Near::Close | Near::Similar))
    };
    let measure = |what: &str, unit: &str, of: fn(&Midpoints) -> Option<f64>| {
        let others = around
            .regions
            .iter()
            .filter_map(|(grower, region)| Some(Neighbor { value: of(region)?, is_near: is_near(grower) }));
        let (own, others): (Option<f64>, Vec<Neighbor>) = (of(&own), others.collect());
        let said = said(what, unit, own?, &others)?;
        Some(Measure { said, what: what.to_owned(), unit: unit.to_owned(), own, others })
    };
    let all = [
        measure(COLDEST, "\u{b0}C", |region| region.coldest),
        measure(HOTTEST, "\u{b0}C", |region| region.hottest),
        measure("Rain a year", "mm", |region| region.ln_rain.map(f64::exp)),
        measure("Yearly minimum, by hardiness zone", "\u{b0}C", |region| region.zone),
    ];
    all.into_iter().flatten().collect()
}

/// A measure in words; nothing where nobody else has it.
fn said(what: &str, unit: &str, own: f64, others: &[Neighbor]) -> Option<String> {
    let low = others.iter().map(|other| other.value).reduce(f64::min)?;
    let high = others.iter().map(|other| other.value).reduce(f64::max)?;
    Some(format!("{what}: yours {own:.0} {unit}, the others from {low:.0} to {high:.0} {unit}"))
}

/// From the first to the third quartile.
fn middle_half(mut values: Vec<f64>) -> Option<[f64; 2]> {
    values.sort_by(f64::total_cmp);
    let last = values.len().checked_sub(1)?;
    Some([values[last / 4], values[(3 * last).div_ceil(4)]])
}

/// Growers by how near their climate is, each once.
fn distinct(answer: &CompareAnswer) -> Vec<&Peer> {
    let mut seen = std::collections::BTreeSet::new();
    answer.peers.iter().filter(|peer| seen.insert(peer.grower.as_str())).collect()
}

/// `3 other growers: 1 in a close climate, 2 in a different climate.`
fn closeness(answer: &CompareAnswer) -> String {
    let peers = distinct(answer);
    let mut bands: Vec<(&str, usize)> = Vec::new();
    for peer in &peers {
        let band = peer.band.map_or(NOT_KNOWN, words::band_words);
        match bands.iter_mut().find(|(found, _)| *found == band) {
            Some((_, count)) => *count += 1,
            None => bands.push((band, 1)),
        }
    }
    let part = |(band, count): &(&str, usize)| match *band {
        NOT_KNOWN => format!("{count} whose {band}"),
        band => format!("{count} in a {band}"),
    };
    let parts: Vec<String> = bands.iter().map(part).collect();
    format!("{}: {}.", words::counted(peers.len(), "other grower", "other growers"), parts.join(", "))
}
