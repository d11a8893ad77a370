//! What was chosen or typed for a factor, as the one text that a command would be given for it.

use propagule_protocol::Facet;

use super::factor::Factor;
use crate::web::fields::Fields;

/// Where the fields of a factor are: those of one treatment, or those of all.
#[derive(Clone, Copy, Debug)]
pub(super) enum Of {
    All,
    Treatment(usize),
}

impl Of {
    /// The name of a field.
    pub(super) fn named(self, name: &str) -> String {
        match self {
            Self::All => name.to_owned(),
            Self::Treatment(number) => super::factor::of(name, number),
        }
    }

    fn given(self, fields: &Fields, name: &str) -> Option<String> {
        fields.owned(&self.named(name))
    }
}

/// What was said of a factor.
pub(super) fn heard(factor: Factor, of: Of, fields: &Fields) -> Option<String> {
    let given = |name: &str| of.given(fields, name);
    match factor {
        Factor::Facet(Facet::Auxin) => hormone(of, fields),
        Factor::Facet(Facet::Medium) => given("medium_own").or_else(|| given("medium")),
        Factor::Facet(Facet::BottomHeat) => given("bottom_heat_at").or_else(|| given("bottom_heat")),
        Factor::Facet(Facet::Stratification) => weeks(of, fields),
        other => given(other.name()),
    }
}

/// `IBA quick dip 1 % + NAA quick dip 0.5 % 1:10 5 s`: what is in it, how strong by its label, how it was thinned and used.
fn hormone(of: Of, fields: &Fields) -> Option<String> {
    let given = |name: &str| of.given(fields, name);
    let substance = given("auxin");
    let form = given("auxin_form");
    let strength = |name: &str| {
        given(name).map(|number| format!("{number} {}", given("unit").unwrap_or_else(|| "ppm".to_owned())))
    };
    let first = strength("strength").or_else(|| given("dose"));
    if substance.is_none() && form.is_none() && first.is_none() {
        return None;
    }
    let one = |parts: [Option<String>; 3]| parts.into_iter().flatten().collect::<Vec<_>>().join(" ");
    let mut words = one([substance, form.clone(), first]);
    if let Some(second) = given("auxin_second") {
        words = format!("{words} + {}", one([Some(second), form, strength("strength_second")]));
    }
    let thinned = given("dilution").map(|parts| format!("1:{parts}"));
    let seconds = given("seconds").map(|seconds| format!("{seconds} s"));
    Some(one([Some(words), thinned, seconds]))
}

fn weeks(of: Of, fields: &Fields) -> Option<String> {
    match (of.given(fields, "warm"), of.given(fields, "cold")) {
        (None, None) => of.given(fields, "stratification"),
        (warm, cold) => {
            let of = |weeks: Option<String>| weeks.unwrap_or_else(|| "0".to_owned());
            Some(format!("{}/{}", of(warm), of(cold)))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use propagule_protocol::vocab::{Dialect, Heard, hear};

    fn said(query: &str, facet: Facet) -> Option<String> {
        heard(Factor::Facet(facet), Of::Treatment(2), &Fields::read(query.as_bytes()))
    }

    /// As the record keeps it.
    fn kept(query: &str, facet: Facet) -> String {
        let words = said(query, facet).expect("something was said");
        match hear(facet, &words, Dialect::Uk).unwrap_or_else(|error| panic!("{words}: {error}")) {
            Heard::Understood(said) => said.facets[0].1.clone(),
            Heard::Asked { missing, .. } => panic!("{words}: {missing:?}"),
        }
    }

    #[test]
    fn a_hormone_as_bought_is_read_as_it_was_used() {
        // words.md, "hormone as bought": 1% IBA + 0.5% NAA, 1:10, 5 s is IBA dip 910 + NAA dip 450 mg/L.
        let bought = "auxin-2=IBA&auxin_form-2=quick+dip&strength-2=1&unit-2=%25&auxin_second-2=NAA\
                      &strength_second-2=0.5&dilution-2=10&seconds-2=5";
        assert_eq!(kept(bought, Facet::Auxin), "IBA quick dip 910 mg/L + NAA quick dip 450 mg/L");
        let powder = "auxin-2=IBA&auxin_form-2=powder&dose-2=3000+ppm";
        assert_eq!(kept(powder, Facet::Auxin), "IBA powder 3000 mg/kg");
        assert_eq!(kept("auxin-2=none", Facet::Auxin), "none");
        assert_eq!(kept("auxin-2=IBA+3000+mg%2FL+quick+dip", Facet::Auxin), "IBA quick dip 3000 mg/L");
        assert_eq!(said("auxin-1=IBA", Facet::Auxin), None);
    }

    #[test]
    fn own_words_and_numbers_stand_before_what_was_chosen() {
        assert_eq!(
            kept("medium-2=peat&medium_own-2=peat+50+%2B+perlite+50", Facet::Medium),
            "peat 50 + perlite 50"
        );
        assert_eq!(kept("bottom_heat-2=on&bottom_heat_at-2=72+F", Facet::BottomHeat), "22 °C");
        assert_eq!(kept("cold-2=12", Facet::Stratification), "cold 12 weeks");
        assert_eq!(kept("warm-2=0&cold-2=0", Facet::Stratification), "none");
        assert_eq!(kept("leaves-2=halved", Facet::Leaves), "halved");
    }
}
