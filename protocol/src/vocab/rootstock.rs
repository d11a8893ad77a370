//! Rootstocks as growers say them: by the name of the clone alone. Names and genera from memory.

/// Clones by genus. A name is found whatever its case, spaces and hyphens.
const CLONES: [(&str, &[&str]); 7] = [
    (
        "Malus",
        &[
            "M9",
            "M26",
            "M27",
            "M7",
            "M25",
            "MM106",
            "MM111",
            "M116",
            "M200",
            "B9",
            "B10",
            "B118",
            "G11",
            "G16",
            "G41",
            "G202",
            "G210",
            "G214",
            "G222",
            "G890",
            "G935",
            "G969",
            "P2",
            "P18",
            "P22",
            "T337",
            "Northern Spy",
            "Antonovka",
            "Bittenfelder",
        ],
    ),
    (
        "Cydonia oblonga",
        &["Quince A", "Quince C", "BA29", "Quince BA29", "EMH", "Quince H", "Eline", "Adams"],
    ),
    (
        "Pyrus",
        &[
            "OHxF 40",
            "OHxF 51",
            "OHxF 69",
            "OHxF 87",
            "OHxF 97",
            "OHxF 333",
            "OHxF 513",
            "Pyrodwarf",
            "Kirchensaller",
        ],
    ),
    (
        "Prunus",
        &[
            "Gisela 3",
            "Gisela 5",
            "Gisela 6",
            "Gisela 12",
            "Colt",
            "F12/1",
            "Maxma 14",
            "Maxma 60",
            "Krymsk 1",
            "Krymsk 5",
            "Krymsk 6",
            "Krymsk 86",
            "St Julien A",
            "Saint Julien A",
            "Pixy",
            "Brompton",
            "Myrobalan B",
            "Myrobalan 29C",
            "Marianna 2624",
            "Marianna GF8-1",
            "Citation",
            "Lovell",
            "Nemaguard",
            "Nemared",
            "Guardian",
            "GF677",
            "Torinel",
            "Montclar",
            "Wavit",
            "VVA-1",
        ],
    ),
    (
        "Vitis",
        &[
            "SO4",
            "5BB",
            "5C",
            "125AA",
            "101-14",
            "3309",
            "3309C",
            "3306C",
            "1103P",
            "110R",
            "99R",
            "140Ru",
            "41B",
            "333EM",
            "420A",
            "161-49C",
            "1616C",
            "44-53M",
            "Riparia Gloire",
            "St George",
            "Rupestris du Lot",
            "Fercal",
            "Gravesac",
            "Ramsey",
            "Dogridge",
            "Freedom",
            "Harmony",
        ],
    ),
    (
        "Citrus",
        &["Flying Dragon", "Troyer", "Carrizo", "Swingle", "C35", "Benton", "US-942", "US-897", "Cox"],
    ),
    ("Juglans", &["Paradox", "Vlach", "RX1", "VX211"]),
];

/// Plant name of a rootstock that is called by its clone alone.
pub(super) fn by_clone(text: &str) -> Option<String> {
    let wanted = folded(text);
    CLONES.iter().find_map(|(plant, clones)| {
        let clone = clones.iter().find(|clone| folded(clone) == wanted)?;
        Some(format!("{plant} '{clone}'"))
    })
}

/// Small letters and digits alone; `rootstock` behind the name says nothing.
fn folded(text: &str) -> String {
    let plain: String = text.to_lowercase().chars().filter(|c| c.is_alphanumeric()).collect();
    plain.strip_suffix("rootstock").map_or_else(|| plain.clone(), str::to_owned)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::Taxon;

    #[test]
    fn a_clone_is_heard_as_growers_write_it() {
        for (typed, name) in [
            ("M26", "Malus 'M26'"),
            ("m 26", "Malus 'M26'"),
            ("MM-106", "Malus 'MM106'"),
            ("gisela 5", "Prunus 'Gisela 5'"),
            ("Quince A", "Cydonia oblonga 'Quince A'"),
            ("OHxF87", "Pyrus 'OHxF 87'"),
            ("St. Julien A", "Prunus 'St Julien A'"),
            ("M9 rootstock", "Malus 'M9'"),
        ] {
            assert_eq!(by_clone(typed).as_deref(), Some(name), "{typed}");
        }
        assert_eq!((by_clone("Juglans nigra"), by_clone("M"), by_clone("")), (None, None, None));
    }

    #[test]
    fn every_clone_is_a_plant_name_and_stands_once() {
        let all: Vec<&str> = CLONES.iter().flat_map(|(_, clones)| clones.iter().copied()).collect();
        assert_eq!(all.iter().map(|clone| folded(clone)).collect::<BTreeSet<_>>().len(), all.len());
        for clone in all {
            let name = by_clone(clone).expect(clone);
            assert_eq!(Taxon::parse(&name).expect(clone).to_string(), name);
        }
    }
}
