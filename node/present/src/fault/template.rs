//! Filling parameters into the words of a fault. What they need beside names and numbers is worded in `slots`.

use std::borrow::Cow;
use std::collections::BTreeMap;

use super::slots;
use propagule_files::counted::counted;
use propagule_files::paste::pasteable;

/// The template with its parameters; one that is missing stays as it is written, so that it is seen.
pub(super) fn fill(template: &str, params: &BTreeMap<Cow<'static, str>, String>) -> String {
    let mut out = String::with_capacity(template.len());
    let mut rest = template;
    while let Some(at) = rest.find(['{', '}']) {
        out.push_str(&rest[..at]);
        let (brace, behind) = rest[at..].split_at(1);
        if let Some(doubled) = behind.strip_prefix(brace) {
            out.push_str(brace);
            rest = doubled;
        } else if let Some((slot, behind)) = behind.split_once('}') {
            out.push_str(&filled(slot, params).unwrap_or_else(|| format!("{{{slot}}}")));
            rest = behind;
        } else {
            out.push_str(brace);
            rest = behind;
        }
    }
    out.push_str(rest);
    out
}

fn filled(slot: &str, params: &BTreeMap<Cow<'static, str>, String>) -> Option<String> {
    if let Some(name) = slot.strip_suffix(":paste") {
        return params.get(name).map(|value| pasteable(value));
    }
    if let Some((name, how)) = slot.split_once(':') {
        return slots::filled(name, how, params);
    }
    if let [name, one, many] = slot.split('|').collect::<Vec<_>>()[..] {
        let count: u64 = params.get(name)?.parse().ok()?;
        return Some(counted(count, one, many));
    }
    params.get(slot).cloned()
}

/// The parameters that a template names.
#[cfg(test)]
pub(super) fn slots(template: &str) -> Vec<&str> {
    let plain = template.split("{{").flat_map(|part| part.split("}}"));
    plain
        .flat_map(|part| part.split('{').skip(1))
        .filter_map(|part| part.split(['}', ':', '|']).next())
        .collect()
}
