//! One line for each hazard of the work, which names it and defers to label, local code and licensed practice.

use propagule_app::cautions::Hazard;

/// The line.
pub const fn caution(hazard: Hazard) -> &'static str {
    match hazard {
        Hazard::Powder => {
            "Rooting powder: wear gloves and breathe no dust; tip out a little, and put none back. The product label decides."
        }
        Hazard::Dip => {
            "Rooting dips and gels: gloves and eye protection; pour out a little, and pour none back. The product label \
     decides."
        }
        Hazard::Alcohol => {
            "Alcohol burns, and so does its vapour: no flame near it, fresh air, lid on. Follow the product label."
        }
        Hazard::Lye => {
            "Sodium hydroxide burns skin and eyes: goggles and gloves, rinse at once and ask a medic. Follow the product \
     label."
        }
        Hazard::Disinfectant => {
            "Cleaning tools: never mix bleach with acid, ammonia or peroxide, which gives poisonous gas. Follow the product \
     label."
        }
        Hazard::Knife => {
            "Knives: cut away from yourself, with a cut-proof glove on the holding hand. For a deep or dirty cut see a medic, \
     who will ask about tetanus."
        }
        Hazard::Wax => {
            "Hot wax and its heater scald and can catch fire: keep it low, never alone. Follow the product label; cool a \
     burn with water and ask a medic."
        }
        Hazard::HotWater => {
            "Hot water scalds: carry it covered, with gloves. Cool a scald with water at once and ask a medic."
        }
        Hazard::MistPower => {
            "Mains power beside water can kill: low-voltage valves, a residual-current breaker, drip loops. Have it done by a \
     licensed electrician to the local code."
        }
        Hazard::MistWater => {
            "Mist and fog can carry Legionella from lukewarm standing water: clean water, flushed lines, drained tanks. Frail \
     people keep away; the local health authority advises."
        }
        Hazard::Heat => {
            "Heating cables and mats can overheat or shock: a thermostat with its probe in the medium, a residual-current \
     breaker. Have it checked by a licensed electrician."
        }
        Hazard::Spray => {
            "Sprays: the product label is the law, for dose, clothing, weather and the time before anyone goes back in."
        }
        Hazard::Rights => {
            "A protected cultivar may not be multiplied without a licence, by whatever method. Whether yours is, \
     its label or the plant variety authority says."
        }
        Hazard::PlantHealth => {
            "Plants, parts of them and soil carry pests, and some plants spread where they should not: before any leave your \
     place ask the plant health authority."
        }
        Hazard::Food => {
            "Nothing here says that a plant may be eaten or used as a remedy; names mislead. Ask a medic or a poison \
     authority."
        }
        Hazard::Latex => {
            "The milky sap hurts eyes and skin: gloves and eye protection. Rinse with much water at once; for eyes see a \
     medic."
        }
        Hazard::Urushiol => {
            "The sap gives a severe rash, and stays on tools and clothes for months: cover all skin, wash tools. For a \
     spreading rash see a medic; never burn the cuttings, the local authority takes them."
        }
        Hazard::Sunlight => {
            "The sap burns skin that daylight then reaches: cover arms and face, wash it off in the shade. For blisters see \
     a medic."
        }
        Hazard::Poison => {
            "All parts are poisonous: gloves, wash hands, keep from children and animals. If any is swallowed call a medic \
     or the poison authority."
        }
        Hazard::Rash => {
            "Handling many can give a rash on fingers and wrists: wear gloves. If it does not go away see a medic."
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_defers_fits_a_line_of_a_sheet_and_gives_no_dose() {
        for hazard in Hazard::ALL {
            let line = caution(hazard);
            let deferred_to = ["label", "local code", "licensed", "medic", "authority"];
            assert!(deferred_to.iter().any(|whom| line.contains(whom)), "{hazard:?}: {line}");
            assert!(line.len() <= 200 && line.ends_with('.') && !line.contains("  "), "{hazard:?}: {line}");
            assert!(!line.contains(|c: char| c.is_ascii_digit()), "{hazard:?}: {line}");
        }
    }
}
