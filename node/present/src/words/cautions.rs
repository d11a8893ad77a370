//! One line for each hazard of the work, which names it, says what to do, and defers to label, local code and licensed
//! practice; and whom to ask in which country.
//!
//! Telephone numbers and what the law says stand here only where their source was read; elsewhere the line says whom to ask.

use propagule_app::cautions::Hazard;
use propagule_bench::locale::{Country, Dialect, Locale};
use propagule_protocol::names::{self, HazardSource};

use crate::kind::{in_dialect, reads};
use crate::words::sentences::and;

/// The line, for whoever reads this program's screens.
pub fn caution(hazard: Hazard) -> String {
    caution_for(hazard, reads())
}

/// The line for a reader.
pub fn caution_for(hazard: Hazard, locale: Locale) -> String {
    let whom = Whom::of(locale.country);
    let word = |us| in_dialect(us, locale.dialect);
    let slots = [
        ("{poison}", whom.poison),
        ("{plant_health}", whom.plant_health),
        ("{rights}", whom.rights),
        ("{pesticides}", whom.pesticides),
        ("{rights_line}", rights_line(locale.country)),
        ("{sending_line}", sending_line(locale.country)),
        ("{breaker}", breaker(locale.dialect)),
        ("{vapor}", word("vapor")),
        ("{license}", word("license")),
        ("{center}", word("center")),
    ];
    // Twice, for what stands in a slot may have one itself.
    let fill = |text: String| slots.iter().fold(text, |text, (slot, words)| text.replace(slot, words));
    fill(fill(template(hazard).to_owned()))
}

const fn template(hazard: Hazard) -> &'static str {
    match hazard {
        Hazard::Hormone => {
            "Rooting hormone: follow its label on crop, dose and clothing. Gloves, no dust in the air, and never \
             return leftovers to the tub."
        }
        Hazard::HomemadeHormone => {
            "Before you mix a dip from laboratory powder, ask {pesticides} whether you may use it. Goggles, gloves \
             and a dust mask for the pure powder."
        }
        Hazard::Alcohol => {
            "Alcohol and its {vapor} catch fire: no flame, fresh air, lid on. Follow the label."
        }
        Hazard::Lye => {
            "Lye burns skin and eyes: gloves and goggles. Rinse with plenty of water at once and call {poison}."
        }
        Hazard::Disinfectant => {
            "Never mix bleach with acid, ammonia, alcohol or peroxide: the gas can kill. Follow the label."
        }
        Hazard::Knife => {
            "Cut away from your fingers, with a cut-resistant glove on the other hand. For a deep or dirty cut see a \
             doctor and ask about tetanus."
        }
        Hazard::Wax => {
            "Hot wax scalds and can catch fire: low heat, never unattended. Cool a burn under running water and see a \
             doctor."
        }
        Hazard::HotWater => {
            "Hot water scalds: carry it covered. Cool a scald under running water and see a doctor."
        }
        Hazard::MistPower => {
            "Mains power near water can kill. Low-voltage valves and {breaker}, fitted by a licensed electrician."
        }
        Hazard::MistWater => {
            "Mist from warm standing water can carry Legionella: fresh water, flushed lines, emptied tanks. Anyone with \
             weak lungs or immunity keeps away; ask a doctor."
        }
        Hazard::PottingMix => {
            "Potting mix and compost can carry Legionella, and dry perlite, vermiculite and moss raise dust. Open bags \
             away from your face, damp them down, gloves and mask, wash hands. Read the bag's label."
        }
        Hazard::Heat => {
            "Heat mats and cables can overheat or shock: a thermostat with its probe in the medium, and {breaker}, \
             fitted by a licensed electrician."
        }
        Hazard::Spray => {
            "Sprays: follow the label on crop, dose, clothing, weather and when people may go back in."
        }
        Hazard::Rights => {
            "A protected variety may need its owner's {license}. {rights_line} Rights end with time; a trade name \
             (\u{ae} or \u{2122}) is a separate right. Ask {rights}."
        }
        Hazard::Wild => {
            "Wild plants: ask the landowner and {plant_health} before you collect, and before anything crosses a border. \
             Some may be protected."
        }
        Hazard::Sending => {
            "Before you post or accept cuttings, scions or plants, ask {plant_health}.{sending_line}"
        }
        Hazard::Invasive => {
            "This plant spreads where it is not wanted, and may be banned where you grow. Ask {plant_health}."
        }
        Hazard::Food => {
            "Nothing here says a plant is safe to eat or use as medicine. If someone has eaten it, call {poison}."
        }
        Hazard::Latex => {
            "Milky sap can injure eyes and skin: gloves and eye protection. In the eye, rinse at once with plenty of \
             water and see a doctor that day."
        }
        Hazard::Allergy => {
            "The sap can cause a severe rash, also from tools, clothes and smoke. Cover your skin, wash tools and hands \
             with soap, never burn it. If it spreads or reaches the face see a doctor."
        }
        Hazard::Sun => {
            "Sap on skin plus daylight burns and blisters a day later: cover arms and face, wash with soap indoors. For \
             blisters see a doctor."
        }
        Hazard::Crystals => {
            "The sap holds needle-like crystals that burn mouth and eyes. Gloves, eye protection, keep from children \
             and pets. In mouth or eye rinse and call {poison}."
        }
        Hazard::Poison => {
            "Poisonous if swallowed, in part or whole: gloves, wash hands, keep from children and animals. If swallowed \
             call {poison} at once."
        }
        Hazard::Rash => "Handling can bring out an itchy rash: gloves. If it lasts see a doctor.",
    }
}

const fn breaker(dialect: Dialect) -> &'static str {
    match dialect {
        Dialect::Us => "a GFCI",
        Dialect::Uk => "an RCD",
        Dialect::Au => "a safety switch",
    }
}

/// What the law of a country says, where that was read.
const fn rights_line(country: Country) -> &'static str {
    match country {
        Country::Us => "A plant patent covers every cutting and graft, at home too, until it ends.",
        Country::Uk => {
            "Breeders' rights do not cover growing that is both private and non-commercial, nor experiments."
        }
        _ => "What that covers differs from country to country.",
    }
}

const fn sending_line(country: Country) -> &'static str {
    match country {
        Country::Uk => {
            " Anyone in business needs a plant passport for most plants sold by post or online, to gardeners too."
        }
        _ => "",
    }
}

/// Whom to ask, and whom to call.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Whom {
    /// When somebody swallowed something.
    pub poison: &'static str,
    /// About plants that travel or spread.
    pub plant_health: &'static str,
    /// About protected varieties.
    pub rights: &'static str,
    /// About what may be put on plants.
    pub pesticides: &'static str,
}

impl Whom {
    /// In a country. Numbers: `MedlinePlus` (US) and the official pages of the poison centres (Ireland, Australia, New
    /// Zealand).
    pub const fn of(country: Country) -> Self {
        let other = Self {
            poison: "your poison {center}",
            plant_health: "the plant protection service of your country",
            rights: "the plant variety office of your country",
            pesticides: "the pesticide authority of your country",
        };
        match country {
            Country::Us => Self {
                poison: "Poison Help 1-800-222-1222",
                plant_health: "your state department of agriculture (USDA APHIS for imports)",
                rights: "the USPTO or the USDA Plant Variety Protection Office",
                pesticides: "the EPA or your extension office",
            },
            Country::Uk => Self {
                plant_health: "APHA (in Scotland the Scottish Government, in Northern Ireland DAERA)",
                rights: "the Plant Variety Rights Office",
                pesticides: "the HSE",
                ..other
            },
            Country::Ie => Self {
                poison: "the poison line 01 809 2166 (08:00 to 22:00) or a doctor",
                plant_health: "the Department of Agriculture",
                rights: "the CPVO",
                ..other
            },
            Country::Eu => Self { rights: "the CPVO", ..other },
            Country::Au => Self {
                poison: "poisons information on 13 11 26",
                plant_health: "your state's biosecurity service",
                rights: "IP Australia",
                pesticides: "the APVMA",
            },
            Country::Nz => Self {
                poison: "the poisons {center} on 0800 764 766",
                plant_health: "MPI",
                rights: "the Plant Variety Rights Office",
                pesticides: "MPI",
            },
            Country::Ca => Self { plant_health: "the CFIA", rights: "the CFIA", ..other },
            Country::Other => other,
        }
    }
}

const COMMON_PRACTICE: &str = "common practice, no source";
const FROM_MEMORY: &str = "from memory, not confirmed yet";

/// Where the line of a hazard is written, for whoever reads this program's screens.
pub fn source(hazard: Hazard) -> String {
    let law = match reads().country {
        Country::Us => "35 USC 163; the rest from memory",
        Country::Uk => "Halsbury's Laws, plant breeders' rights, general exemptions; the rest from memory",
        _ => FROM_MEMORY,
    };
    match hazard {
        Hazard::Hormone | Hazard::Spray => {
            "that a growth regulator is a pesticide by law: US EPA, 63 FR 56882; the rest common practice"
                .to_owned()
        }
        Hazard::Rights => law.to_owned(),
        Hazard::Sending if reads().country == Country::Uk => {
            "APHA's answer on distance sales of plants; the rest from memory".to_owned()
        }
        Hazard::HomemadeHormone | Hazard::PottingMix | Hazard::Wild | Hazard::Sending => {
            FROM_MEMORY.to_owned()
        }
        Hazard::Invasive => COMMON_PRACTICE.to_owned(),
        of_plants => match plants_by_source(of_plants).as_slice() {
            [] => COMMON_PRACTICE.to_owned(),
            [(HazardSource::Memory, _)] => FROM_MEMORY.to_owned(),
            several => {
                several.iter().map(|(source, plants)| read(*source, plants)).collect::<Vec<_>>().join("; ")
            }
        },
    }
}

/// The plants of a hazard by where it is written that they have it, what was read first.
fn plants_by_source(hazard: Hazard) -> Vec<(HazardSource, Vec<&'static str>)> {
    let of_it = || names::hazardous().iter().filter(|plant| Hazard::from(plant.hazard) == hazard);
    [HazardSource::MedlinePlus, HazardSource::VermontExtension, HazardSource::Memory]
        .into_iter()
        .map(|source| {
            (source, of_it().filter(|plant| plant.source == source).map(|plant| plant.name).collect())
        })
        .filter(|(_, plants): &(_, Vec<_>)| !plants.is_empty())
        .collect()
}

fn read(source: HazardSource, plants: &[&str]) -> String {
    match source {
        HazardSource::MedlinePlus => format!("{}: MedlinePlus, article 002866", and(plants)),
        HazardSource::VermontExtension => {
            format!("{}: University of Vermont Extension, plants and sun", and(plants))
        }
        HazardSource::Memory => "the others from memory".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use propagule_bench::locale::Locale;

    use super::*;

    /// Every line in every dialect and country.
    fn every() -> impl Iterator<Item = (Hazard, Locale, String)> {
        let readers = [Dialect::Us, Dialect::Uk, Dialect::Au].into_iter().flat_map(|dialect| {
            Country::ALL.into_iter().map(move |country| Locale { country, ..Locale::of(dialect) })
        });
        readers.flat_map(|locale| {
            Hazard::ALL.into_iter().map(move |hazard| (hazard, locale, caution_for(hazard, locale)))
        })
    }

    #[test]
    fn each_defers_and_fits_a_line_of_a_sheet() {
        let deferred_to = ["label", "licensed", "doctor", "call", "sk "].map(str::to_owned);
        for (hazard, _, line) in every() {
            assert!(deferred_to.iter().any(|whom| line.contains(whom)), "{hazard:?}: {line}");
            assert!(line.chars().count() <= 290, "{hazard:?}: {} {line}", line.chars().count());
            assert!(
                line.ends_with('.') && !line.contains("  ") && !line.contains(['{', '}']),
                "{hazard:?}: {line}"
            );
        }
    }

    #[test]
    fn no_line_has_a_dose_and_only_those_that_tell_whom_to_call_have_a_number() {
        for hazard in Hazard::ALL {
            let text = template(hazard);
            assert!(!text.contains(|c: char| c.is_ascii_digit()), "{hazard:?}: {text}");
            assert!(text.chars().count() <= 240, "{hazard:?}: {text}");
        }
    }

    /// A number that was not read on an official page must not be given: it may be wrong when it is needed.
    #[test]
    fn telephone_numbers_are_those_that_were_read() {
        let read = [
            (Country::Us, "1-800-222-1222"),
            (Country::Ie, "01 809 2166"),
            (Country::Au, "13 11 26"),
            (Country::Nz, "0800 764 766"),
        ];
        for (hazard, locale, line) in every() {
            let own =
                read.iter().find(|(country, _)| *country == locale.country).map_or("", |(_, number)| number);
            let rest = line.replace(own, "").replace("08:00 to 22:00", "");
            assert!(!rest.contains(|c: char| c.is_ascii_digit()), "{hazard:?} {:?}: {line}", locale.country);
        }
        let poison = |country| caution_for(Hazard::Poison, Locale { country, ..Locale::of(Dialect::Us) });
        for (country, number) in read {
            assert!(poison(country).contains(number), "{country:?}");
        }
        assert!(poison(Country::Uk).contains("call your poison center at once"), "{}", poison(Country::Uk));
    }

    #[test]
    fn spelling_and_trade_words_are_the_readers() {
        let said = |hazard, dialect| caution_for(hazard, Locale::of(dialect));
        assert!(said(Hazard::Alcohol, Dialect::Us).contains(" vapor "));
        assert!(said(Hazard::Alcohol, Dialect::Uk).contains(" vapour "));
        assert!(said(Hazard::Rights, Dialect::Au).contains("owner's licence"));
        assert!(said(Hazard::MistPower, Dialect::Au).contains("safety switch"));
        assert!(said(Hazard::Food, Dialect::Uk).contains("poison centre"));
    }

    #[test]
    fn every_line_says_where_it_is_written() {
        for hazard in Hazard::ALL {
            assert!(source(hazard).len() > 10, "{hazard:?}");
        }
        assert_eq!(source(Hazard::Knife), COMMON_PRACTICE);
        assert!(
            source(Hazard::Crystals).starts_with("Dieffenbachia: MedlinePlus"),
            "{}",
            source(Hazard::Crystals)
        );
        assert_eq!(source(Hazard::Poison), FROM_MEMORY);
    }
}
