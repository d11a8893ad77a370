//! What can be chosen for a detail, as growers read it.

use crate::kind::{KindWords, capital, described, detail};
use propagule_bench::kind::Kind;
use propagule_protocol::Facet;

use super::{FieldWords, field};

/// The most characters of a label that is made from what a treatment gets.
const LABEL_CHARACTERS: usize = 24;

/// A part of a detail that is asked by itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Piece {
    /// How a hormone is used.
    HormoneForm,
    /// A usual strength.
    Dose,
    /// Its strength as the label says it.
    Strength,
    /// In what that is measured.
    Unit,
    /// With how many parts of water.
    Dilution,
    /// How long it is dipped.
    Seconds,
    /// A second hormone in it.
    Second,
    /// The second one's strength.
    SecondStrength,
    /// A mix of media.
    Mix,
    /// Degrees of bottom heat.
    Degrees,
    /// Weeks of warmth.
    Warm,
    /// Weeks of cold.
    Cold,
}

/// What a part is called.
pub const fn piece(piece: Piece) -> FieldWords {
    match piece {
        Piece::HormoneForm => field("How it is used", ""),
        Piece::Dose => field("Strength", "As it is used, or as the label says it."),
        Piece::Strength => field("Another strength", "A number, such as 0.3."),
        Piece::Unit => field("Measured in", ""),
        Piece::Dilution => {
            field("Diluted 1 to", "Parts of water to one part. Empty where it is used as bought.")
        }
        Piece::Seconds => field("Seconds in the dip", ""),
        Piece::Second => field("A second hormone in it", ""),
        Piece::SecondStrength => field("Its strength", "In the same measure."),
        Piece::Mix => field("A mix, or another medium", "Such as peat 50 + perlite 50."),
        Piece::Degrees => field("Degrees", "Such as 22, or 72 F."),
        Piece::Warm => field("Weeks warm", ""),
        Piece::Cold => field("Weeks cold", ""),
    }
}

/// What a factor is called: a detail by its name in the record, or what stands beside the method.
pub fn factor(name: &str, kind: Kind) -> String {
    capital(&match (name, kind) {
        ("form", Kind::Cutting | Kind::Mixed) => "cutting type".to_owned(),
        ("form", Kind::Graft) => "graft type".to_owned(),
        ("form", Kind::Bud) => "bud type".to_owned(),
        ("form", Kind::Layer) => "layer type".to_owned(),
        ("wood", Kind::Graft) => "scion wood".to_owned(),
        ("wood", Kind::Bud) => "budwood".to_owned(),
        ("stratification", _) => "warm and cold weeks".to_owned(),
        ("scarified", _) => "nicked or soaked".to_owned(),
        ("operator", kind) => format!("{} by", KindWords::of(kind).started),
        ("stock", _) => "stock plant".to_owned(),
        ("differs", _) => "something not listed".to_owned(),
        (name, _) => detail(name),
    })
}

/// A word of a detail as it is chosen: `none`, `no cover`, `IBA`.
pub fn choice(facet: Facet, word: &str) -> String {
    match (facet, word) {
        (Facet::Humidity, "open" | "dome") => described(facet.name(), word),
        (Facet::BottomHeat, "on") => "on, not measured".to_owned(),
        (Facet::Scarified, "no") => "neither".to_owned(),
        (_, word) => word.to_owned(),
    }
}

/// The label of a treatment that has none, from what it gets.
pub fn label(facet: Option<Facet>, words: &str) -> String {
    let said = match facet {
        Some(Facet::Humidity) if words == "open" => choice(Facet::Humidity, words),
        Some(Facet::Auxin) => words.replace(['/', '%'], " "),
        _ => words.to_owned(),
    };
    let plain = said.replace(['=', ',', ';', ':'], " ").split_whitespace().collect::<Vec<_>>().join(" ");
    plain.chars().take(LABEL_CHARACTERS).collect::<String>().trim().trim_start_matches('-').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn factors_have_the_words_of_the_kind() {
        let said = [
            factor("auxin", Kind::Cutting),
            factor("humidity", Kind::Cutting),
            factor("form", Kind::Graft),
            factor("operator", Kind::Graft),
            factor("operator", Kind::Cutting),
            factor("leaves", Kind::Cutting),
        ];
        let expected = ["Rooting hormone", "Mist or cover", "Graft type", "Grafted by", "Stuck by", "Leaves"];
        assert_eq!(said, expected);
    }

    #[test]
    fn a_label_is_what_the_treatment_gets_without_what_a_tag_cannot_hold() {
        let said = [
            label(Some(Facet::Auxin), "IBA quick dip 3000 mg/L"),
            label(Some(Facet::Auxin), "none"),
            label(Some(Facet::Humidity), "open"),
            label(None, "old hedge: left, right"),
            label(None, "-;=,"),
        ];
        assert_eq!(said, ["IBA quick dip 3000 mg L", "none", "no cover", "old hedge left right", ""]);
    }
}
