//! Which arm the others are held against.

use propagule_protocol::{Facet, Facets};

use super::trial::Arm;

/// Words of a facet that say that nothing was done.
const NOTHING: [&str; 3] = ["none", "untreated", "no"];

/// The control where none is named: the only arm whose single difference is that a facet says none, untreated or
/// solvent only. An arm in which a facet is not stated does not differ in it.
pub fn default_control(arms: &[Arm]) -> Option<u8> {
    if arms.len() < 2 {
        return None;
    }
    let methods: Vec<Facets> = arms.iter().map(facets).collect();
    let mut untreated = arms.iter().zip(&methods).filter(|(_, own)| is_untreated(own, &methods));
    let (only, _) = untreated.next()?;
    untreated.next().is_none().then_some(only.number)
}

fn facets(arm: &Arm) -> Facets {
    let mut facets = Facets::default();
    for (name, words) in &arm.facets {
        // Words were checked when they were typed; one that this version cannot read tells nothing apart.
        let _ = Facet::from_name(name).map(|facet| facets.set(facet, words));
    }
    facets
}

fn is_untreated(own: &Facets, all: &[Facets]) -> bool {
    let differs = |facet: &Facet| {
        own.word(*facet).is_some_and(|own| all.iter().any(|other| other.word(*facet).as_ref() != Some(&own)))
    };
    let differing: Vec<Facet> = Facet::ALL.into_iter().filter(differs).collect();
    let [only] = differing[..] else { return false };
    own.word(only).is_some_and(|words| says_nothing(&words))
}

fn says_nothing(words: &str) -> bool {
    NOTHING.contains(&words) || words.starts_with("carrier only")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn control(arms: &[&[(&str, &str)]]) -> Option<u8> {
        let arm = |(facets, number): (&&[(&str, &str)], u8)| Arm {
            number,
            facets: facets.iter().map(|(name, words)| ((*name).to_owned(), (*words).to_owned())).collect(),
            ..Arm::default()
        };
        default_control(&arms.iter().zip(1..).map(arm).collect::<Vec<_>>())
    }

    #[test]
    fn it_is_the_only_arm_that_went_without() {
        let dip = [("auxin", "IBA 3000 mg/L quick dip")];
        assert_eq!(control(&[&dip, &[("auxin", "untreated")]]), Some(2));
        assert_eq!(control(&[&[("auxin", "none")], &dip, &[("auxin", "IBA 8000 mg/L quick dip")]]), Some(1));
        assert_eq!(control(&[&[("wound", "light")], &[("wound", "none")]]), Some(2));
        // What is not stated is no difference: the powder's carrier says nothing of the arm without any.
        let powder = [("auxin", "IBA 0.3 % powder"), ("solvent", "talc")];
        assert_eq!(control(&[&powder, &[("auxin", "none")]]), Some(2));
    }

    #[test]
    fn there_is_none_where_it_is_not_plain() {
        let (none, dip) = (("auxin", "none"), ("auxin", "IBA 3000 mg/L quick dip"));
        let (soft, hard) = (("wood", "softwood"), ("wood", "hardwood"));
        assert_eq!(control(&[&[none]]), None, "a lot");
        assert_eq!(control(&[&[none], &[none]]), None, "two without");
        assert_eq!(control(&[&[soft], &[hard]]), None, "neither went without");
        assert_eq!(control(&[&[none, soft], &[none, hard], &[dip, soft], &[dip, hard]]), None, "two factors");
        assert_eq!(control(&[&[none, soft], &[dip, hard]]), None, "two differences");
    }
}
