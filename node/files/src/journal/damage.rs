//! What is wrong with a journal, stretch by stretch.

use std::path::Path;

use super::JournalKind;
use super::end::{self, Reach};
use super::segment::{self, Scan};

/// Damage that was found when a journal was opened or verified.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize, schemars::JsonSchema)]
pub struct Damage {
    /// File name of the segment.
    pub file: String,
    /// First damaged byte.
    pub from: u64,
    /// First byte after the damage.
    pub to: u64,
    /// File to which a torn tail was moved.
    pub moved_to: Option<String>,
    /// Whether something that had been acknowledged stood there.
    pub is_loss: bool,
}

/// The end file does not say anything. Nothing is lost with it; it is written anew when the journal is opened.
pub(super) fn unreadable_end(folder: &Path, kind: JournalKind) -> Damage {
    Damage { file: file_name(&end::path(folder, kind)), from: 0, to: 0, moved_to: None, is_loss: false }
}

/// Segments that must be there and are not.
pub(super) fn missing_segments(kind: JournalKind, numbers: &[u32], reach: Option<Reach>) -> Vec<Damage> {
    let first = reach.map(|reach| reach.first).or(numbers.first().copied()).unwrap_or(1);
    let last = numbers.last().copied().max(reach.map(|reach| reach.end.segment)).unwrap_or(0);
    let missing = (first..=last).filter(|number| !numbers.contains(number));
    let name = |number: u32| file_name(&segment::path(Path::new(""), kind, number));
    let damage = |number| Damage {
        file: name(number),
        from: 0,
        to: u64::from(u32::MAX),
        moved_to: None,
        is_loss: true,
    };
    missing.map(damage).collect()
}

/// How far segment `number` had been acknowledged, as far as that is known.
pub(super) fn acknowledged_in(number: u32, reach: Option<Reach>) -> Option<u64> {
    let end = reach?.end;
    match number.cmp(&end.segment) {
        std::cmp::Ordering::Less => None,
        std::cmp::Ordering::Equal => Some(end.offset.into()),
        std::cmp::Ordering::Greater => Some(0),
    }
}

/// The damage of one segment of `length` bytes, of which the first `acknowledged` were acknowledged.
pub(super) fn damages(path: &Path, scan: &Scan, length: usize, acknowledged: Option<u64>) -> Vec<Damage> {
    let stretch = |from: usize, to: usize, is_loss: bool| Damage {
        file: file_name(path),
        from: from as u64,
        to: to as u64,
        moved_to: None,
        is_loss,
    };
    // A gap has frames behind it, so what stood in it was acknowledged before them.
    let mut damage: Vec<Damage> = scan.gaps.iter().map(|&(from, to)| stretch(from, to, true)).collect();
    let whole = scan.torn_at.unwrap_or(length);
    let reached = acknowledged.unwrap_or(whole as u64) as usize;
    if scan.torn_at.is_some() || whole < reached {
        damage.push(stretch(whole, length.max(reached), whole < reached || acknowledged.is_none()));
    }
    damage
}

pub(super) fn file_name(path: &Path) -> String {
    path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default()
}
