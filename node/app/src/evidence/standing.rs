//! How the authors of some evidence stand to this home.

use std::collections::BTreeMap;

use propagule_protocol::AuthorKey;
use propagule_protocol::state::Resolved;

use crate::App;
use propagule_answer::behind::{Footing, Footings};
use propagule_evidence::{Circle, Evidence};
use propagule_files::fault::Fault;
use propagule_network::admission::{AuthorClass, DayNumber};

/// What changes when anybody's standing may have: the day, and how often something was written down.
pub(crate) fn changes(app: &App) -> (DayNumber, u64) {
    (app.clock.moment().day(), app.gate.admission().changes())
}

/// The standing of every author that has rows: a chain of keys stands as its best does.
pub(crate) fn of(
    app: &App,
    resolved: &Resolved<'_>,
    evidence: &Evidence,
    circle: &Circle,
) -> Result<Footings, Fault> {
    let now = app.clock.moment();
    let mut admission = app.gate.admission();
    let mut authors = BTreeMap::new();
    for row in &evidence.rows {
        if authors.contains_key(&row.publisher) {
            continue;
        }
        let Some(author) = row.publisher.parse::<AuthorKey>().ok() else { continue };
        if row.own || circle.holds(&author) {
            authors.insert(row.publisher.clone(), (Footing::Backed, None));
            continue;
        }
        let keys = resolved.keys_of(&author).into_iter().chain([author]);
        let mut best = AuthorClass::New;
        let mut first: Option<DayNumber> = None;
        for key in keys {
            // Who has records here and is not written down is from before that was done.
            best = best.min(admission.class(&key, now, || Ok(key == author))?);
            let seen = admission.first_seen(&key).filter(|day| *day > 0);
            first = first.into_iter().chain(seen).min();
        }
        authors.insert(row.publisher.clone(), (standing(best), first));
    }
    let home_since = admission.since();
    let has_circle = !circle.is_empty();
    Ok(Footings { authors, home_since, today: now.day(), has_circle })
}

fn standing(class: AuthorClass) -> Footing {
    match class {
        AuthorClass::Backed => Footing::Backed,
        AuthorClass::Known => Footing::Known,
        AuthorClass::New => Footing::New,
    }
}
