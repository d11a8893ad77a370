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

/// Reads `peat 50 + perlite 50`, `50 % peat, 50 % perlite`, `peat` or `1:1 peat:perlite`.
pub(super) fn read(text: &str) -> Result<Vec<(Code, u8)>, Refused> {
    let parts =
        by_ratio(text).unwrap_or_else(|| text.split(['+', ',', ';', '&', '/']).map(str::to_owned).collect());
    let components = parts.iter().map(|part| component(part)).collect::<Result<Vec<_>, _>>()?;
    if components.len() > MEDIUM_COMPONENTS {
        return Err(Refused::because(format!("more than {MEDIUM_COMPONENTS} components")));
    }
    check_shares(&components)?;
    Ok(components)
}

/// `1:1 peat:perlite` as parts with shares in per cent.
fn by_ratio(text: &str) -> Option<Vec<String>> {
    let (ratio, names) = text.trim().split_once(' ')?;
    let shares = ratio.split(':').map(number).collect::<Option<Vec<f64>>>()?;
    let names: Vec<&str> = names.split([':', '/']).collect();
    let total: f64 = shares.iter().sum();
    let fits = shares.len() >= 2 && shares.len() == names.len() && shares.iter().all(|s| *s > 0.0);
    let part = |(name, share): (&&str, &f64)| format!("{name} {}", (share / total * 100.0).round());
    fits.then(|| names.iter().zip(&shares).map(part).collect())
}

fn component(text: &str) -> Result<(Code, u8), Refused> {
    let text = text.trim();
    if let Some(code) = list::code(MEDIUM, text) {
        return Ok((code, 0));
    }
    let (name, share) = match leading_number(text) {
        Some((share, rest)) => (rest.trim_start_matches('%').trim(), share),
        None => trailing_share(text).ok_or_else(|| Refused::unlisted(MEDIUM, text))?,
    };
    let code = list::code(MEDIUM, name).ok_or_else(|| Refused::unlisted(MEDIUM, name))?;
    if (0.0..=100.0).contains(&share) && share.fract() == 0.0 {
        Ok((code, share as u8))
    } else {
        Err(Refused::because(format!("a share of {share} % is not a whole number from 0 to 100")))
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
