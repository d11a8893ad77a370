//! Keys that appeared together: one source looks like this, and growers do not.

use std::collections::BTreeSet;

use super::Footings;
use crate::said::Burst;
use propagule_files::clock::day_text;

/// Days that are looked at as one.
const WEEK: u32 = 7;
/// Days for which a burst is remembered.
const REMEMBERED: u32 = 180;
/// Keys of one answer within a week from which on they may be a burst.
const FEWEST_KEYS: usize = 30;
/// So many times as many as in a usual week.
const TIMES_USUAL: usize = 10;
/// Days of a young home in which everybody appears at once.
const YOUNG: u32 = 14;

/// The days of a burst.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Window {
    days: BTreeSet<u32>,
    keys: usize,
}

impl Window {
    pub(super) fn holds(&self, day: u32) -> bool {
        self.days.contains(&day)
    }

    pub(super) fn told(&self) -> Burst {
        let text = |day: Option<&u32>| day.map_or_else(String::new, |day| day_text(*day));
        Burst { keys: self.keys, from: text(self.days.first()), to: text(self.days.last()) }
    }
}

/// The days within the last half year on which keys of these authors appeared in a week that brought thirty of them at
/// least, and ten times what its median week brought.
pub(super) fn of(authors: &BTreeSet<&str>, standings: &Footings) -> Option<Window> {
    let begin = standings.today.saturating_sub(REMEMBERED);
    let settled = standings.home_since.unwrap_or(standings.today).saturating_add(YOUNG);
    let seen = standings.authors.iter().filter(|(author, _)| authors.contains(author.as_str()));
    let mut days: Vec<u32> = seen.filter_map(|(_, (_, day))| *day).collect();
    days.retain(|day| *day >= begin.max(settled) && *day <= standings.today);
    days.sort_unstable();
    let most = FEWEST_KEYS.max(TIMES_USUAL * usual(&days, begin.max(settled), standings.today));
    let mut window = BTreeSet::new();
    for (place, day) in days.iter().enumerate() {
        let end = days.partition_point(|other| *other < day + WEEK);
        if end - place >= most {
            window.extend(&days[place..end]);
        }
    }
    let keys = days.iter().filter(|day| window.contains(*day)).count();
    (keys > 0).then_some(Window { days: window, keys })
}

/// Keys that the median week brought.
fn usual(days: &[u32], begin: u32, today: u32) -> usize {
    let weeks = (today.saturating_sub(begin) / WEEK).max(1);
    let in_week = |week: u32| {
        let first = begin + week * WEEK;
        days.partition_point(|day| *day < first + WEEK) - days.partition_point(|day| *day < first)
    };
    let mut counts: Vec<usize> = (0..weeks).map(in_week).collect();
    counts.sort_unstable();
    counts[counts.len() / 2]
}
