//! Media: components with their shares by volume.

use super::codes::MEDIUM;
use super::list;
use super::quantity::{leading_number, number};
use super::set::Refused;
use crate::code::Code;
use crate::limits::MEDIUM_COMPONENTS;

pub(super) fn word(components: &[(Code, u8)]) -> String {
    let one = |(code, share): &(Code, u8)| match share {
        0 => list::word(MEDIUM, *code),
        share => format!("{} {share}", list::word(MEDIUM, *code)),
    };
    components.iter().map(one).collect::<Vec<_>>().join(" + ")
}

/// Reads `peat 50 + perlite 50`, `50 % peat, 50 % perlite`, `peat`, `1:1 peat:perlite` or `2 parts sand to 1 peat`.
pub(super) fn read(text: &str) -> Result<Vec<(Code, u8)>, Refused> {
    let components = parts(text).iter().map(Part::component).collect::<Result<Vec<_>, _>>()?;
    if components.len() > MEDIUM_COMPONENTS {
        return Err(Refused::because(format!("more than {MEDIUM_COMPONENTS} components")));
    }
    check_shares(&components)?;
    Ok(components)
}

/// A component as it was typed.
#[derive(Clone, Debug)]
pub(super) struct Part {
    pub(super) name: String,
    /// Per cent by volume.
    share: Option<f64>,
}

impl Part {
    fn component(&self) -> Result<(Code, u8), Refused> {
        let code = list::code(MEDIUM, &self.name).ok_or_else(|| Refused::unlisted(MEDIUM, &self.name))?;
        match self.share {
            None => Ok((code, 0)),
            Some(share) if (0.0..=100.0).contains(&share) && share.fract() == 0.0 => Ok((code, share as u8)),
            Some(share) => {
                Err(Refused::because(format!("a share of {share} % is not a whole number from 0 to 100")))
            }
        }
    }
}

/// Components in the words in which [`read`] takes them.
pub(super) fn typed(parts: &[Part]) -> String {
    let one = |part: &Part| match part.share {
        None => part.name.clone(),
        Some(share) => format!("{} {share}", part.name),
    };
    parts.iter().map(one).collect::<Vec<_>>().join(" + ")
}

/// The components of a text, whether there are such or not.
pub(super) fn parts(text: &str) -> Vec<Part> {
    by_ratio(text)
        .or_else(|| by_parts(text))
        .or_else(|| by_halves(text))
        .unwrap_or_else(|| text.split(['+', ',', ';', '&', '/']).flat_map(with_shares).collect())
}

/// A component, or several that a word joins; a word within the name of a component joins nothing.
fn with_shares(text: &str) -> Vec<Part> {
    let one = with_share(text.trim());
    if list::code(MEDIUM, &one.name).is_some() {
        return vec![one];
    }
    text.split(" and ").flat_map(|part| part.split(" with ")).map(|part| with_share(part.trim())).collect()
}

/// `1:1 peat:perlite` or `peat/perlite 50:50`, with shares in per cent.
fn by_ratio(text: &str) -> Option<Vec<Part>> {
    let text = text.trim();
    let before = text.split_once(' ').and_then(|(ratio, names)| Some((ratio_of(ratio)?, names)));
    let (ratio, names) = before
        .or_else(|| text.rsplit_once(' ').and_then(|(names, ratio)| Some((ratio_of(ratio)?, names))))?;
    let signs: Vec<&str> = names.split([':', '/', '+', ',', '&']).map(str::trim).collect();
    let names = if signs.len() == 1 { names.split_whitespace().collect() } else { signs };
    in_ratio(&names, &ratio)
}

fn ratio_of(text: &str) -> Option<Vec<f64>> {
    let shares = text.split([':', '/']).map(number).collect::<Option<Vec<f64>>>()?;
    (shares.len() >= 2).then_some(shares)
}

fn in_ratio(names: &[&str], ratio: &[f64]) -> Option<Vec<Part>> {
    let total: f64 = ratio.iter().sum();
    let fits = ratio.len() == names.len() && ratio.iter().all(|share| *share > 0.0);
    let part = |(name, share): (&&str, &f64)| Part {
        name: name.trim().to_owned(),
        share: Some((share / total * 100.0).round()),
    };
    fits.then(|| names.iter().zip(ratio).map(part).collect())
}

/// `2 parts sand to 1 part peat`.
fn by_parts(text: &str) -> Option<Vec<Part>> {
    let lower = text.to_lowercase();
    let joined = lower.contains(" part").then(|| lower.replace(" to ", "+").replace(" and ", "+"))?;
    let (mut names, mut ratio) = (Vec::new(), Vec::new());
    for part in joined.split(['+', ',', '&', ':']) {
        let (share, rest) = leading_number(part)?;
        let name = rest.strip_prefix("parts").or_else(|| rest.strip_prefix("part")).unwrap_or(rest).trim();
        names.push(name.strip_prefix("of ").unwrap_or(name));
        ratio.push(share);
    }
    in_ratio(&names, &ratio).filter(|parts| parts.len() >= 2)
}

/// `half peat half perlite`.
fn by_halves(text: &str) -> Option<Vec<Part>> {
    let lower = text.to_lowercase();
    let names: Vec<&str> = lower
        .strip_prefix("half ")?
        .split("half ")
        .map(|name| name.trim().trim_end_matches([',', '+', '&']).trim_end_matches(" and").trim())
        .collect();
    (names.len() == 2).then(|| in_ratio(&names, &[1.0, 1.0]))?
}

fn with_share(text: &str) -> Part {
    let alone = || Part { name: text.to_owned(), share: None };
    if list::code(MEDIUM, text).is_some() {
        return alone();
    }
    match leading_number(text) {
        Some((share, rest)) => {
            Part { name: rest.trim_start_matches('%').trim().to_owned(), share: Some(share) }
        }
        None => trailing_share(text)
            .map_or_else(alone, |(name, share)| Part { name: name.to_owned(), share: Some(share) }),
    }
}

fn trailing_share(text: &str) -> Option<(&str, f64)> {
    let (name, share) = text.trim_end_matches('%').trim_end().rsplit_once(' ')?;
    Some((name, number(share)?))
}

fn check_shares(components: &[(Code, u8)]) -> Result<(), Refused> {
    let codes: Vec<Code> = components.iter().map(|(code, _)| *code).collect();
    if codes.iter().enumerate().any(|(at, code)| code.0 > 1 && codes[..at].contains(code)) {
        return Err(Refused::because("the same component twice".to_owned()));
    }
    let sum: u16 = components.iter().map(|(_, share)| u16::from(*share)).sum();
    let all_known = components.iter().all(|(_, share)| *share > 0);
    if sum > 101 || all_known && sum < 99 {
        Err(Refused::because(format!("the shares add up to {sum} %, not 100")))
    } else {
        Ok(())
    }
}
