//! Records out of and into the set, part by part.

use propagule_protocol::RecordId;
use serde_json::json;

use super::{App, Reply};
use crate::error::Failure;
use crate::hex;
use crate::intake::{Verdict, Way};

/// Record bytes in one part; as hex they take twice as much of a message of 1 MiB.
const PART_BYTES: usize = 400 << 10;

/// The next part of the set, in order of month and id.
pub(super) fn out(app: &App, after: Option<RecordId>) -> Result<Reply, Failure> {
    let ids = app.store.all_ids()?;
    let begin = after.map_or(0, |last| ids.iter().position(|id| *id == last).map_or(ids.len(), |at| at + 1));
    let (mut records, mut total, mut next) = (Vec::new(), 0, None);
    for id in &ids[begin..] {
        if total >= PART_BYTES {
            return Ok(Reply::Records { records, next });
        }
        next = Some(*id);
        if let Some(bytes) = app.store.bytes(id)? {
            total += bytes.len();
            records.push(hex::encode(&bytes));
        }
    }
    Ok(Reply::Records { records, next: None })
}

/// Judges and keeps the records of one part.
pub(super) fn take(app: &App, records: &[String]) -> Result<Reply, Failure> {
    let bytes: Option<Vec<Vec<u8>>> = records.iter().map(|record| hex::decode(record)).collect();
    let bytes = bytes.ok_or_else(|| Failure::usage("a record of the bundle is not hex"))?;
    let verdicts = app.gate.take(&app.store, &bytes, Way::Bundle)?;
    let count = |wanted: fn(&Verdict) -> bool| verdicts.iter().filter(|verdict| wanted(verdict)).count();
    let refused = verdicts.iter().filter_map(|verdict| match verdict {
        Verdict::Refused(reason) => Some(*reason),
        _ => None,
    });
    let mut reasons = std::collections::BTreeMap::<&str, u64>::new();
    refused.for_each(|reason| *reasons.entry(reason).or_default() += 1);
    Ok(Reply::report(
        String::new(),
        json!({
            "new": count(|verdict| matches!(verdict, Verdict::New(_))),
            "known": count(|verdict| matches!(verdict, Verdict::Known(_))),
            "aside": count(|verdict| matches!(verdict, Verdict::Aside(_))),
            "refused": reasons,
        }),
    ))
}
