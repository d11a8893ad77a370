//! Details of a method, as growers call them; the record keeps names of its own.

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
        "facet" | "facets" => "detail",
        other => return other.replace('_', " "),
    };
    said.to_owned()
}

/// Several of them.
pub fn details(names: &[String]) -> Vec<String> {
    names.iter().map(|name| detail(name)).collect()
}
