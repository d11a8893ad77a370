//! Ending a key from a month on, by the key itself.

use propagule_protocol::record::{Head, Revocation};
use propagule_protocol::{AuthorKey, Body, Month, RecordId, Signed, StandingPage};

use super::{end, short, signed};
use crate::outcome::Outcome;
use crate::outcome::key::{KeyRevoke, RevokeStep, StandingResult};
use crate::signing_day::check_clock;
use crate::{App, Reply};
use propagule_files::fault::Fault;

/// Fewest digits by which a record is named.
const FEWEST_DIGITS: usize = 8;

/// What is asked for.
#[derive(Debug)]
pub(super) struct Wish<'a> {
    /// How the key begins; none means the current one.
    pub(super) key: Option<&'a str>,
    /// The first month in which nothing of it counts.
    pub(super) from: Month,
    /// Records of earlier months that do not stand all the same.
    pub(super) except: &'a [String],
}

/// Revokes a key of this home from a month on, with a list of what it signed before and stands; a home that loses its
/// current key goes on with a fresh one.
pub(super) fn revoke(app: &App, wish: &Wish<'_>, confirmed: bool) -> Result<Reply, Fault> {
    check_clock(app)?;
    let current = app.keys().current().author();
    let key = wish.key.map_or(Ok(current), |start| find(app, start))?;
    check_month(app, key, current, wish.from)?;
    let own = app.own()?;
    let ended = own.ended(&key);
    // A revocation without a list, such as a thief's, is no reason not to give one.
    if let Some(ended) = ended.filter(|ended| ended.from <= wish.from && ended.is_listed()) {
        return Ok(Reply::done(outcome(key, RevokeStep::Stands { from: ended.from, record: None })));
    }
    let from = ended.map_or(wish.from, |ended| ended.from.min(wish.from));
    let signed_by = signed_by(app, &key)?;
    let standing = standing(&signed_by, from, wish.except)?;
    if !confirmed {
        let step = preview(app, key == current, from, &signed_by, &standing);
        return Ok(Reply::proposed(outcome(key, step)));
    }
    let ids = standing.iter().map(|record| &record.id);
    let pages =
        StandingPage::of(ids).ok_or_else(|| Fault::user("too-many-stand").with("count", standing.len()))?;
    let head = Head::new(app.clock.month());
    let revocation = |page: StandingPage| {
        let body = Revocation { head, from: Some(from), extensions: page.written() };
        signed(app, &Body::Revocation(body), &key)
    };
    let revocations = pages.into_iter().map(revocation).collect::<Result<Vec<_>, _>>()?;
    let record = revocations.first().map(|first| first.id).expect("a list has a page at least");
    let new = end(app, key, revocations)?;
    Ok(Reply::done(outcome(key, RevokeStep::Revoked { from, record, new })))
}

/// All that a key signed and this home holds, its revocations apart, oldest first.
fn signed_by(app: &App, key: &AuthorKey) -> Result<Vec<Signed>, Fault> {
    let mut ids = app.store.signer_ids()?;
    ids.extend(app.store.summaries_signed_by(key)?);
    let mut records = app.store.records(&ids)?;
    records.retain(|record| record.author == *key && !matches!(record.body, Body::Revocation(_)));
    records.sort_by_key(|record| (record.head().signed, record.id));
    Ok(records)
}

/// The records of months before `from`, but for those that the grower disowns.
fn standing<'a>(records: &'a [Signed], from: Month, except: &[String]) -> Result<Vec<&'a Signed>, Fault> {
    let disowned = except.iter().map(|start| of_start(records, start)).collect::<Result<Vec<_>, _>>()?;
    let is_own = |record: &&Signed| record.head().signed < from && !disowned.contains(&record.id);
    Ok(records.iter().filter(is_own).collect())
}

/// The record whose id begins so.
fn of_start(records: &[Signed], start: &str) -> Result<RecordId, Fault> {
    let digits = start.trim().to_lowercase();
    let begins =
        |record: &&Signed| digits.len() >= FEWEST_DIGITS && record.id.to_string().starts_with(&digits);
    let mut found = records.iter().filter(begins).map(|record| record.id);
    match (found.next(), found.next()) {
        (Some(id), None) => Ok(id),
        _ => Err(Fault::user("except-unknown").with("start", start).in_field("except")),
    }
}

/// What came of ending a key.
pub(super) fn outcome(key: AuthorKey, step: RevokeStep) -> Outcome {
    let revoked = !matches!(step, RevokeStep::Preview { .. } | RevokeStep::PreviewSheet { .. });
    Outcome::KeyRevoke(KeyRevoke { key, revoked, step })
}

/// The key of this home that begins with `start`.
fn find(app: &App, start: &str) -> Result<AuthorKey, Fault> {
    let start = start.trim().to_lowercase();
    let found: Vec<AuthorKey> =
        app.keys().public().into_iter().filter(|key| key.to_string().starts_with(&start)).collect();
    match found[..] {
        [key] if !start.is_empty() => Ok(key),
        [] => Err(Fault::user("key-unknown").with("start", &start)),
        _ => Err(Fault::user("key-ambiguous").with("start", &start)),
    }
}

/// The current key cannot be ended in the future only: until then it would sign what falls later.
fn check_month(app: &App, key: AuthorKey, current: AuthorKey, from: Month) -> Result<(), Fault> {
    if key != current || from <= app.clock.month() {
        return Ok(());
    }
    Err(Fault::user("revocation-in-future").with("from", from).with("key", short(&key)))
}

fn preview(
    app: &App,
    is_current: bool,
    from: Month,
    signed_by: &[Signed],
    standing: &[&Signed],
) -> RevokeStep {
    let standing = results(app, standing);
    let all = signed_by.iter().filter(|record| matches!(record.body, Body::Summary(_))).count();
    let (stay, fall) = (standing.len(), all - standing.len());
    let rotations = signed_by.iter().filter(|record| matches!(record.body, Body::Rotation(_)));
    let rotated_in = rotations.map(|record| record.head().signed).max().filter(|signed| *signed >= from);
    RevokeStep::Preview { from, stay, fall, standing, is_current, rotated_in }
}

/// Which results those are, with the trial of this bench that each is of.
fn results(app: &App, records: &[&Signed]) -> Vec<StandingResult> {
    let bench = app.bench();
    let code = |series: &[u8; 16]| {
        let of_series = bench.trials().find(|trial| trial.series_bytes().as_ref() == Some(series));
        of_series.map(|trial| trial.code.clone())
    };
    let result = |record: &&Signed| {
        let Body::Summary(summary) = &record.body else { return None };
        Some(StandingResult {
            record: record.id,
            species: summary.taxon.to_string(),
            signed: record.head().signed,
            trial: code(&summary.series),
        })
    };
    records.iter().filter_map(result).collect()
}

/// Months in which a key signed the summaries that this home holds.
pub(super) fn months_signed(app: &App, key: &AuthorKey) -> Result<Vec<Month>, Fault> {
    let records = app.store.records(&app.store.summaries_signed_by(key)?)?;
    Ok(records.iter().map(|record| record.head().signed).collect())
}
