//! The arms of a new trial: from what was given to numbered arms with their pots.

use std::collections::BTreeMap;

use propagule_protocol::Facets;
use propagule_protocol::vocab::{HomeDetail, Question};

use super::request::facet_refused;
use super::{ArmFacts, ArmGiven, NewTrial};
use propagule_bench::given::{FacetRefused, FacetsGiven};
use propagule_bench::spot::checked;
use propagule_bench::{Arm, Replicate};
use propagule_files::fault::Fault;

/// The most arms that a record can carry.
const MOST_ARMS: usize = 24;
/// The most replicates of an arm that a record can carry.
const MOST_POTS: u16 = 50;
/// Pieces that an arm can have.
const PIECES: std::ops::RangeInclusive<u16> = 1..=10_000;
/// The longest label.
const LABEL_CHARACTERS: usize = 40;

/// The arms of a trial; `like` are those of the trial that it is to be like.
pub(super) fn built(what: &str, new: &NewTrial, like: Option<Vec<ArmGiven>>) -> Result<Vec<Arm>, Fault> {
    let given = match like {
        Some(like) => like,
        None if new.arms.is_empty() => vec![ArmGiven::labelled("A")],
        None => new.arms.clone(),
    };
    if given.len() > MOST_ARMS {
        return Err(Fault::user("arms-too-many")
            .with("what", what)
            .with("arms", given.len())
            .with("most", MOST_ARMS)
            .in_field("arms"));
    }
    check_labels(what, &given)?;
    let mut next_pot = 1;
    let mut arms = Vec::new();
    for (given, number) in given.iter().zip(1..) {
        arms.push(build(what, new, given, number, &mut next_pot)?);
    }
    if let Some((pots, places)) = new.shared_pots {
        share_pots(what, &mut arms, pots, places)?;
    }
    Ok(arms)
}

/// What is unusual about facets, each once.
pub(super) fn questions(what: &str, arms: &[Arm]) -> Result<Vec<Question>, Fault> {
    let mut questions = Vec::new();
    for arm in arms {
        let facets: Facets = checked(&arm.facets).map_err(|error| facet_refused(what, &error))?;
        questions.extend(facets.questions());
    }
    questions.dedup();
    Ok(questions)
}

/// The facets of an arm that is there, as they would be given again.
pub(super) fn given_again(what: &str, facets: &BTreeMap<String, String>) -> Result<FacetsGiven, Fault> {
    FacetsGiven::of_names(facets).map_err(|refused| match refused {
        FacetRefused::Name(name) => Fault::user("arm-key-unknown").with("what", what).with("name", name),
        FacetRefused::Words(error) => facet_refused(what, &error),
    })
}

fn check_labels(what: &str, arms: &[ArmGiven]) -> Result<(), Fault> {
    for (index, ArmGiven { label, .. }) in arms.iter().enumerate() {
        let field = format!("arms.{index}.label");
        if !is_label(label) {
            return Err(Fault::user("arm-label-malformed")
                .with("what", what)
                .with("label", label)
                .with("most", LABEL_CHARACTERS)
                .in_field(field));
        }
        if arms[..index].iter().any(|other| other.label.eq_ignore_ascii_case(label)) {
            return Err(Fault::user("arm-label-twice")
                .with("what", what)
                .with("label", label)
                .in_field(field));
        }
    }
    Ok(())
}

/// Whether counts can be typed behind a label, and a tag can hold it.
fn is_label(label: &str) -> bool {
    (1..=LABEL_CHARACTERS).contains(&label.chars().count())
        && label.trim() == label
        && !label.starts_with('-')
        && !label.contains(|c: char| c.is_control() || "=,;".contains(c))
}

fn build(what: &str, new: &NewTrial, given: &ArmGiven, number: u8, next_pot: &mut u16) -> Result<Arm, Fault> {
    let ArmGiven { label, said } = given;
    let common = &new.common;
    let field = |name: &str, own: Option<u16>| match own {
        Some(_) => format!("arms.{}.{name}", number - 1),
        None => name.to_owned(),
    };
    let pots = said.pots.or(common.pots).or(new.pots).unwrap_or(1);
    if !(1..=MOST_POTS).contains(&pots) {
        return Err(Fault::user("pots-out-of-range")
            .with("what", what)
            .with("label", label)
            .with("pots", pots)
            .with("most", MOST_POTS)
            .in_field(field("pots", said.pots)));
    }
    let pieces = said.pieces.or(common.pieces).or(new.pieces).unwrap_or(0);
    let started = pieces.saturating_mul(pots);
    if new.shared_pots.is_none() && !PIECES.contains(&started) {
        return Err(Fault::user("pieces-missing")
            .with("what", what)
            .with("label", label)
            .in_field(field("pieces", said.pieces)));
    }
    let replicates = if pots > 1 && new.shared_pots.is_none() {
        let first = *next_pot;
        *next_pot += pots;
        (first..first + pots).map(|pot| replicate(format!("P{pot}"), pieces, None)).collect()
    } else {
        Vec::new()
    };
    let or_common = |of: fn(&ArmFacts) -> &Option<String>| of(said).clone().or_else(|| of(common).clone());
    Ok(Arm {
        number,
        label: label.clone(),
        started,
        facets: method(new, said),
        replicates,
        stock_plant: or_common(|facts| &facts.stock),
        operator: or_common(|facts| &facts.operator),
        spot: or_common(|facts| &facts.spot),
        at_home: at_home(new, said),
        unlisted: said.differs.clone(),
        ..Arm::default()
    })
}

/// What is said for all arms now goes before what the trial that this one is like had.
fn method(new: &NewTrial, said: &ArmFacts) -> BTreeMap<String, String> {
    let (common, own) = (new.common.facets.clone(), said.facets.clone());
    let given = if new.like.is_some() { own.with(&common) } else { common.with(&own) };
    let mut facets = BTreeMap::new();
    given.write_into(&mut facets);
    facets
}

/// The same order for what no facet holds.
fn at_home(new: &NewTrial, said: &ArmFacts) -> BTreeMap<HomeDetail, String> {
    let (common, own) = (new.common.at_home.clone(), said.at_home.clone());
    let (mut kept, before) = if new.like.is_some() { (own, common) } else { (common, own) };
    kept.extend(before);
    kept
}

fn replicate(code: String, started: u16, pot: Option<String>) -> Replicate {
    Replicate { code, started, pot, stock_plant: None, operator: None }
}

/// Pots that hold pieces of every arm: places are dealt to the arms in turn, so that no arm has more than one piece
/// more than another in a pot, nor over all pots together.
fn share_pots(what: &str, arms: &mut [Arm], pots: u16, places: u16) -> Result<(), Fault> {
    let count = arms.len() as u32;
    if count < 2 || u32::from(places) < count || !(1..=MOST_POTS).contains(&pots) {
        return Err(Fault::user("shared-pots-too-small")
            .with("what", what)
            .with("pots", pots)
            .with("places", places)
            .with("most", MOST_POTS)
            .with("arms", count)
            .in_field("shared_pots"));
    }
    for arm in arms.iter_mut() {
        arm.started = 0;
        arm.replicates.clear();
    }
    let mut dealt = 0_u32;
    for pot in 1..=pots {
        let mut here = vec![0_u16; arms.len()];
        for _ in 0..places {
            here[(dealt % count) as usize] += 1;
            dealt += 1;
        }
        for (index, (arm, pieces)) in arms.iter_mut().zip(here).enumerate() {
            let letter = char::from(b'A' + index as u8);
            arm.started += pieces;
            arm.replicates.push(replicate(format!("P{pot}{letter}"), pieces, Some(format!("P{pot}"))));
        }
    }
    Ok(())
}
