//! Details of a method, as growers call them; the record keeps names of its own.

use propagule_bench::compared::UNLISTED;

use super::units;

/// What a detail is called; a name that is none of the record's stands for itself.
pub fn detail(name: &str) -> String {
    let said = match name {
        "kind" => "kind of propagation",
        "auxin" => "rooting hormone",
        "solvent" => "mixed in",
        "wound" => "wounding",
        "humidity" => "mist or cover",
        "growing_place" | "growing place" => "structure",
        "form" => "type",
        "bbch" => "growth stage (BBCH)",
        "stock_origin" | "stock origin" => "stock plant raised from",
        "stock_age" | "stock age" => "age of the stock plant",
        "watering" => "watering at the base",
        "light" => "light let through",
        "tip_nodes_removed" | "tip nodes removed" => "tip nodes removed",
        "operator" => "who did the work",
        "spot" => "bench",
        "day put in" => "day of starting",
        UNLISTED => "something not listed",
        "facet" | "facets" => "detail",
        other => return other.replace('_', " "),
    };
    said.to_owned()
}

/// A detail with what was said of it, as one reads both together: `rooting hormone IBA`, `no cover`, `stem cutting`.
pub fn described(name: &str, words: &str) -> String {
    match (name, words) {
        ("humidity", "open") => "no cover".to_owned(),
        ("humidity", "dome") => "humidity dome".to_owned(),
        ("kind" | "humidity", words) => words.to_owned(),
        ("watering", "drained") => "free-draining".to_owned(),
        ("watering", "standing") => "standing water at the base".to_owned(),
        ("watering", words) => format!("{words} at the base"),
        (name, "none") => format!("no {}", detail(name)),
        (name, words) => format!("{} {}", detail(name), units::said(words)),
    }
}

/// Several of them.
pub fn details(names: &[String]) -> Vec<String> {
    names.iter().map(|name| detail(name)).collect()
}
