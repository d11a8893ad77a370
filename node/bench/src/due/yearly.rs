//! Days of the growing year, by hemisphere.

use propagule_protocol::Date;
use propagule_protocol::place::Hemisphere;

/// Month and day of leaf fall in the north, after which suckers are not looked for (common practice, no source).
const LEAF_FALL: (u8, u8) = (10, 31);
/// Month and day of the spring count in the north, about bud break (common practice, no source).
const SPRING: (u8, u8) = (4, 20);

/// The first such day of a year that is not before `from`; shifted six months in the south.
fn next_yearly(from: Date, (month, day): (u8, u8), hemisphere: Hemisphere) -> Option<Date> {
    let month = match hemisphere {
        Hemisphere::North => month,
        Hemisphere::South => (month + 5) % 12 + 1,
    };
    (from.year()..=from.year() + 1)
        .filter_map(|year| Date::new(year, month, day.min(if month == 2 { 28 } else { 30 })))
        .find(|found| *found >= from)
}

/// The next leaf fall.
pub(super) fn leaf_fall(from: Date, hemisphere: Hemisphere) -> Option<Date> {
    next_yearly(from, LEAF_FALL, hemisphere)
}

/// The latest leaf fall that is over on a day.
pub(super) fn last_leaf_fall(day: Date, hemisphere: Hemisphere) -> Option<Date> {
    let a_year_before = day.plus_days(-365)?;
    leaf_fall(a_year_before, hemisphere).filter(|found| *found < day)
}

/// The next bud break.
pub(super) fn bud_break(from: Date, hemisphere: Hemisphere) -> Option<Date> {
    next_yearly(from, SPRING, hemisphere)
}

/// The spring after the season of starting: three months after it at least, so that what is put in in spring is
/// counted a year later.
pub(super) fn in_spring(started: Date, hemisphere: Hemisphere) -> Option<Date> {
    bud_break(started.plus_days(92)?, hemisphere)
}

/// The bud break that ends the rest in which a day lies; `None` while plants grow.
pub(super) fn rests_until(day: Date, hemisphere: Hemisphere) -> Option<Date> {
    let bud_break = bud_break(day, hemisphere)?;
    (bud_break < leaf_fall(day, hemisphere)?).then_some(bud_break)
}
