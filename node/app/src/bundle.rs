//! Records out of and into the set, part by part.

use propagule_protocol::{Month, RecordId};

use super::outcome::bundle::Tally;
use super::{App, Reply};
use propagule_files::fault::Fault;
use propagule_files::hex;
use propagule_network::bundle::short;
use propagule_network::intake::{Verdict, Way};

/// Record bytes in one part; as hex they take twice as much of a message of 1 MiB.
const PART_BYTES: usize = 400 << 10;

/// Records looked up for one part; the smallest record has about 200 bytes.
const PART_RECORDS: usize = 2_000;

/// The next part of the set, in order of month and id.
pub(super) fn out(app: &App, after: Option<RecordId>, since: Month) -> Result<Reply, Fault> {
    let ids = match after {
        Some(_) => app.store.ids_behind(after, PART_RECORDS)?,
        None => app.store.ids_from(since, PART_RECORDS)?,
    };
    let (mut records, mut total, mut last) = (Vec::new(), 0, None);
    for id in &ids {
        if total >= PART_BYTES {
            break;
        }
        last = Some(*id);
        if let Some(bytes) = app.store.bytes(id)? {
            total += bytes.len();
            records.push(hex::encode(&bytes));
        }
    }
    let is_last = ids.len() < PART_RECORDS && last == ids.last().copied();
    Ok(Reply::Records { records, next: if is_last { None } else { last } })
}

/// The beginnings of all ids of a month.
pub(super) fn short_ids(app: &App, month: Month) -> Result<Reply, Fault> {
    let ids = app.store.ids_in_month(month)?;
    Ok(Reply::ShortIds(ids.iter().map(|id| hex::encode(&short(id))).collect()))
}

/// Judges and keeps the records of one part; their authors are known from now on where the grower says so.
pub(super) fn take(app: &App, records: &[String], as_known: bool) -> Result<Reply, Fault> {
    let bytes: Option<Vec<Vec<u8>>> = records.iter().map(|record| hex::decode(record)).collect();
    let bytes = bytes.ok_or_else(|| Fault::usage("bundle-record-malformed"))?;
    let way = if as_known { Way::KnownBundle } else { Way::Bundle };
    let verdicts = app.gate.take(&*app.store, &bytes, way)?;
    let mut tally = Tally::default();
    for verdict in verdicts {
        match verdict {
            Verdict::New(_) => tally.new += 1,
            Verdict::Known(_) => tally.known += 1,
            Verdict::Aside(_) => tally.aside += 1,
            Verdict::Dropped => tally.dropped += 1,
            Verdict::Refused(reason) => *tally.refused.entry(reason.to_owned()).or_default() += 1,
            Verdict::Delayed => tally.delayed += 1,
        }
    }
    Ok(Reply::Taken(tally))
}
