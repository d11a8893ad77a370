//! Which grower a text means, and what growers are called.

use propagule_protocol::AuthorKey;
use propagule_protocol::state::Resolved;

use super::vouching::own_authors;
use crate::App;
use crate::outcome::circle::Called;
use propagule_bench::KnownGrower;
use propagule_files::fault::Fault;

/// The grower that is meant: a whole key, a name given before, or the beginning of a key that is known here.
pub(super) fn other_grower(app: &App, resolved: &Resolved<'_>, text: &str) -> Result<AuthorKey, Fault> {
    let key = find(app, resolved, text)?;
    let key = resolved.author_of(&key);
    if own_authors(app, resolved).contains(&key) {
        return Err(Fault::user("grower-key-is-own"));
    }
    Ok(key)
}

/// Fewest letters of a key that are taken as its beginning.
const LEAST_LETTERS: usize = 6;

fn find(app: &App, resolved: &Resolved<'_>, text: &str) -> Result<AuthorKey, Fault> {
    let text = text.trim();
    if let Ok(key) = text.parse::<AuthorKey>() {
        return key
            .check()
            .map(|()| key)
            .map_err(|fault| Fault::user("grower-key-malformed").with("text", text).with("fault", fault));
    }
    if let Some(known) = app.bench().growers().find(|grower| same_name(grower, text)) {
        return Ok(known.key);
    }
    let is_beginning = text.len() >= LEAST_LETTERS && text.bytes().all(|byte| byte.is_ascii_hexdigit());
    if !is_beginning {
        let names: Vec<String> = app.bench().growers().filter_map(|grower| grower.name.clone()).collect();
        let near = propagule_files::closest(text, names.iter().map(String::as_str), 3);
        return Err(Fault::user("grower-unknown").with("text", text).near(&near));
    }
    let begins = text.to_ascii_lowercase();
    let mut found = app.store.authors_beginning(&begins, 3)?;
    let others = resolved.vouches().flat_map(|pair| [pair.author, pair.subject]);
    let at_home = app.bench().growers().map(|grower| grower.key).collect::<Vec<_>>();
    found.extend(others.chain(at_home).filter(|key| key.to_string().starts_with(&begins)));
    found.sort_unstable();
    found.dedup();
    match found.as_slice() {
        [] => Err(Fault::user("grower-key-unknown").with("text", text)),
        [only] => Ok(*only),
        several => {
            let begin = |key: &AuthorKey| key.to_string()[..16].to_owned();
            let several = several.iter().take(3).map(begin).collect::<Vec<_>>().join(", ");
            Err(Fault::user("grower-key-ambiguous").with("text", text).with("several", several))
        }
    }
}

/// The first letters of a key.
pub(super) fn short(key: &AuthorKey) -> String {
    key.to_string()[..8].to_owned()
}

/// By what the grower goes here.
pub(super) fn called(app: &App, key: &AuthorKey) -> Called {
    Called::from(&app.bench().grower(key))
}

/// Whether a grower has this name here.
pub(super) fn same_name(grower: &KnownGrower, name: &str) -> bool {
    grower.name.as_deref().is_some_and(|known| known.eq_ignore_ascii_case(name))
}
