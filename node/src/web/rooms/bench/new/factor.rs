//! What treatments may differ in, by the names of its fields: `leaves` for all of them, `leaves-2` for the second.

use propagule_bench::kind::Kind;
use propagule_present::words::new_trial as words;
use propagule_protocol::Facet;

use crate::web::fields::Fields;

/// The most treatments that a record can carry.
pub(super) const MOST: usize = 24;

/// What treatments may differ in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Factor {
    Facet(Facet),
    /// The plant they are taken from.
    Stock,
    /// Who does the work.
    Operator,
    /// Where they go.
    Spot,
    /// What no facet holds.
    Differs,
}

/// What stands beside the method.
const BESIDE: [Factor; 4] = [Factor::Operator, Factor::Stock, Factor::Spot, Factor::Differs];

impl Factor {
    /// Its name in fields.
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Facet(facet) => facet.name(),
            Self::Stock => "stock",
            Self::Operator => "operator",
            Self::Spot => "spot",
            Self::Differs => "differs",
        }
    }

    pub(super) fn label(self, kind: Kind) -> String {
        words::factor(self.name(), kind)
    }

    fn named(name: &str) -> Option<Self> {
        let beside = BESIDE.into_iter().find(|factor| factor.name() == name);
        beside.or_else(|| Facet::from_name(name).filter(|facet| *facet != Facet::Kind).map(Self::Facet))
    }

    /// Those that are asked about first, and all others.
    pub(super) fn offered(kind: Kind) -> (Vec<Self>, Vec<Self>) {
        let first: Vec<Self> = kind.asked_first().iter().copied().map(Self::Facet).collect();
        let facets = Facet::ALL.into_iter().filter(|facet| *facet != Facet::Kind).map(Self::Facet);
        let others = BESIDE.into_iter().chain(facets).filter(|factor| !first.contains(factor)).collect();
        (first, others)
    }

    /// The word of the treatment that goes without, where the detail has such a word.
    pub(super) fn without(self) -> Option<&'static str> {
        let Self::Facet(facet) = self else { return None };
        facet.words().into_iter().find(|word| ["none", "open", "no"].contains(word))
    }

    /// What the treatments of a form differ in; nothing is a batch.
    pub(super) fn chosen(fields: &Fields) -> Vec<Self> {
        let mut chosen: Vec<Self> = Vec::new();
        for name in fields.each("compared").chain(fields.each("also")) {
            chosen.extend(Self::named(name).filter(|factor| !chosen.contains(factor)));
        }
        chosen
    }
}

/// The kind of propagation of a form.
pub(super) fn kind(fields: &Fields) -> Kind {
    let kind = std::iter::once((Facet::Kind.name().to_owned(), fields.get("kind").to_owned()));
    Kind::of_facets(&kind.collect()).unwrap_or_default()
}

/// The name of a field of one treatment.
pub(super) fn of(name: &str, number: usize) -> String {
    format!("{name}-{number}")
}

/// The treatment that a field is of.
pub(super) fn number_of(name: &str) -> Option<usize> {
    name.rsplit_once('-')?.1.parse().ok()
}

/// Numbers of the treatments that a form shows.
pub(super) fn rows(fields: &Fields) -> std::ops::RangeInclusive<usize> {
    let named = fields.names().filter_map(number_of).max().unwrap_or_default();
    let asked: usize = fields.get("treatments").parse().unwrap_or_default();
    1..=asked.max(named).clamp(2, MOST)
}

/// The same form without one of its treatments.
pub(super) fn without(fields: Fields, number: usize) -> Fields {
    let left = rows(&fields).count().saturating_sub(1).max(2);
    let fields = fields.renamed(|name| match number_of(name) {
        Some(other) if other == number => None,
        Some(other) if other > number => {
            Some(of(name.rsplit_once('-').map_or(name, |(name, _)| name), other - 1))
        }
        _ => Some(name.to_owned()),
    });
    let control = fields.get("control").parse::<usize>().ok();
    let fields = match control {
        Some(control) if control == number => fields.with("control", ""),
        Some(control) if control > number => fields.with("control", &(control - 1).to_string()),
        _ => fields,
    };
    fields.with("treatments", &left.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_treatment_is_taken_away_and_those_behind_it_move_up() {
        let fields = Fields::read(
            b"label-1=a&label-2=b&auxin_form-2=gel&label-3=c&auxin_form-3=soak&control=3&code=M-1",
        );
        let left = without(fields, 2);
        assert_eq!((left.get("label-1"), left.get("label-2"), left.get("auxin_form-2")), ("a", "c", "soak"));
        assert_eq!((left.get("label-3"), left.get("control"), left.get("code")), ("", "2", "M-1"));
        assert_eq!(rows(&left), 1..=2);
    }

    #[test]
    fn what_differs_is_told_once_and_the_kind_is_never_asked() {
        let fields = Fields::read(b"compared=auxin&also=auxin&also=operator&also=kind&also=glue");
        assert_eq!(Factor::chosen(&fields), [Factor::Facet(Facet::Auxin), Factor::Operator]);
        assert_eq!(Factor::chosen(&Fields::read(b"compared=")), []);
        let (first, others) = Factor::offered(Kind::Graft);
        assert_eq!(first.len() + others.len(), Facet::ALL.len() - 1 + BESIDE.len());
        assert_eq!(Factor::Facet(Facet::Humidity).without(), Some("open"));
    }
}
