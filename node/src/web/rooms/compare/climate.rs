//! The own climate beside those of the others: in pictures, in words, and as a table.

use maud::{Markup, html};
use propagule_protocol::place::Climate;

use crate::answer::compare::{CompareAnswer, Peer};
use crate::answer::words;
use crate::app::reading::Compared;
use crate::web::draw;
use crate::web::draw::Measure;

/// The own climate over those of the others.
pub(super) fn climate(compared: &Compared) -> Markup {
    let measures = measures(compared);
    let band = |what: &str| {
        let measure = measures.iter().find(|measure| measure.what == what)?;
        middle_half(measure.others.iter().map(|(value, _)| *value).collect())
    };
    html! {
        h2 { "Your climate and theirs" }
        p { (closeness(&compared.answer)) }
        div class="figure" {
            @if let Climate::Twelve { temperature, .. } = &compared.place.climate {
                (draw::months(temperature, band(COLDEST), band(HOTTEST)))
                p class="legend" { "Your months as a line; boxes where half of the others have their coldest and their hottest month." }
            }
            @for measure in &measures { p class="tight" { (measure.said()) } (measure.draw()) }
            @if !measures.is_empty() { p class="legend" {
                span class="key" { svg viewBox="0 0 14 14" width="14" height="14" aria-hidden="true" { path class="own" d="M7 11l-6-9h12z" {} } "you" } " "
                span class="key" { svg viewBox="0 0 14 14" width="14" height="14" aria-hidden="true" { rect class="full" x="3" y="2" width="8" height="11" {} } "close or similar" } " "
                span class="key" { svg viewBox="0 0 14 14" width="14" height="14" aria-hidden="true" { rect class="open" x="3" y="2" width="8" height="10" {} } "other climates" } " "
                span class="soft" { "by the middles of what is published, one piece of a bar a place" }
            } }
            @else { p class="soft" { "No climate is known on both sides." } }
        }
        @if !measures.is_empty() { (climate_table(&measures)) }
    }
}

fn climate_table(measures: &[Measure]) -> Markup {
    html! {
        details {
            summary { "The climates as a table" }
            table {
                caption { "Middles of what is published; places of other growers at each" }
                thead { tr { th scope="col" { "Measure" } th scope="col" { "Yours" } th scope="col" { "Theirs" } } }
                tbody { @for measure in measures { tr {
                    th scope="row" { (measure.what) ", " (measure.unit) }
                    td { @match measure.own { Some(own) => (format!("{own:.0}")), None => "not known" } }
                    td { @for (index, (value, near, far)) in measure.counted().iter().enumerate() {
                        @if index > 0 { "; " } (format!("{value:.0}")) ": " (near + far)
                    } }
                } } }
            }
        }
    }
}

const COLDEST: &str = "Coldest month";
const HOTTEST: &str = "Hottest month";

/// What both sides publish of their climate.
fn measures(compared: &Compared) -> Vec<Measure> {
    let own = compared.place.region().midpoints();
    let near = |grower: &str| {
        let peer = compared.answer.peers.iter().find(|peer| peer.grower == grower);
        peer.and_then(|peer| peer.band).is_some_and(is_similar)
    };
    let measure = |what, unit, of: fn(&propagule_protocol::place::Midpoints) -> Option<f64>| {
        let others = compared.regions.iter().filter_map(|(grower, region)| Some((of(region)?, near(grower))));
        Measure { what, unit, own: of(&own), others: others.collect() }
    };
    let all = [
        measure(COLDEST, "\u{b0}C", |region| region.coldest),
        measure(HOTTEST, "\u{b0}C", |region| region.hottest),
        measure("Rain a year", "mm", |region| region.ln_rain.map(f64::exp)),
        measure("Yearly minimum, by hardiness zone", "\u{b0}C", |region| region.zone),
    ];
    all.into_iter().filter(|measure| measure.own.is_some() && !measure.others.is_empty()).collect()
}

fn is_similar(band: propagule_analysis::compare::Band) -> bool {
    use propagule_analysis::compare::Band;
    matches!(band, Band::Close | Band::Similar)
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

/// Said of a grower who shares no measure of climate.
const NOT_KNOWN: &str = "climate is not known";

pub(super) fn band_of(peer: &Peer) -> &'static str {
    peer.band.map_or(NOT_KNOWN, words::band_words)
}

/// `3 growers in a close climate, 4 in a different climate.`
fn closeness(answer: &CompareAnswer) -> String {
    let peers = distinct(answer);
    let mut bands: Vec<(&str, usize)> = Vec::new();
    for peer in &peers {
        let band = band_of(peer);
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
