//! The keys of this home, and what the records say of them.

use std::fmt::Write;

use propagule_protocol::AuthorKey;
use serde_json::{Value, json};

use super::revoke::months_signed;
use super::short;
use crate::app::own::Own;
use crate::app::{App, Reply};
use propagule_files::counted::counted;
use propagule_files::fault::Fault;

/// Every key with its author, its state and how much it signed.
pub(super) fn show(app: &App) -> Result<Reply, Fault> {
    let (keys, own) = (app.keys().public(), app.own()?);
    let (mut text, mut rows) = (String::new(), Vec::new());
    for (at, key) in keys.iter().enumerate() {
        let results = months_signed(app, key)?.len();
        let role = if at == 0 { "signs now" } else { "former" };
        let _ = write!(
            text,
            "{}  {role}, {}",
            short(key),
            counted(results, "published result", "published results")
        );
        text.push_str(&more(key, &own));
        text.push('\n');
        rows.push(row(key, at == 0, results, &own));
    }
    text.push_str(
        "These keys sign your records. The folder keys/ of your home holds them: copy it to a safe place.\n",
    );
    Ok(Reply::report(text, json!({ "format": "propagule.keys/1", "keys": rows })))
}

fn more(key: &AuthorKey, own: &Own) -> String {
    let author = own.author_of(key);
    let follows = if author == *key { String::new() } else { format!(", counted as {}", short(&author)) };
    let revoked = own.revoked_from(key).map(|from| match from.0 {
        0 => ", revoked".to_owned(),
        _ => format!(", revoked from {from} on"),
    });
    follows + &revoked.unwrap_or_default()
}

fn row(key: &AuthorKey, is_current: bool, results: usize, own: &Own) -> Value {
    json!({
        "key": key, "current": is_current, "author": own.author_of(key), "results": results,
        "revoked_from": own.revoked_from(key),
    })
}
