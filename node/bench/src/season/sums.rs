//! Sums over the units of a season on a day: what every figure of a trial is read from.

use propagule_protocol::Date;

use super::{Season, Unit};
use crate::fates::Row;

impl Unit {
    /// Its pieces after all that was entered for this day or earlier.
    pub fn row_on(&self, day: Date) -> Row {
        Row::of(self.started, &self.standing_on(day))
    }

    /// Its pieces now.
    pub fn row(&self) -> Row {
        Row::of(self.started, &self.standing())
    }
}

impl Season<'_> {
    /// Pieces of an arm on a day.
    pub fn arm_on(&self, arm: u8, day: Date) -> Row {
        self.of_arm(arm).map(|unit| unit.row_on(day)).sum()
    }

    /// Pieces of an arm now.
    pub fn arm_now(&self, arm: u8) -> Row {
        self.of_arm(arm).map(Unit::row).sum()
    }

    /// All pieces now.
    pub fn all_now(&self) -> Row {
        self.units.iter().map(Unit::row).sum()
    }

    /// All pieces on a day.
    pub fn all_on(&self, day: Date) -> Row {
        self.units.iter().map(|unit| unit.row_on(day)).sum()
    }

    /// Days on which something was entered that changes where pieces are, in order; those of counts that came with
    /// an old table among them.
    pub fn days(&self) -> Vec<crate::dates::When> {
        use crate::entry::What;
        let changes = |what: &What| {
            matches!(
                what,
                What::Counted { .. } | What::Looked { .. } | What::Left { .. } | What::Closed { .. }
            )
        };
        let entered =
            self.entries.iter().filter(|(_, entry)| changes(&entry.what)).map(|(_, entry)| entry.on);
        let points = self.units.iter().flat_map(|unit| unit.points.iter().map(|point| point.on));
        let mut days: Vec<_> = entered.chain(points).collect();
        days.sort_by_key(|day| (day.middle(), day.first, day.last));
        days.dedup_by_key(|day| day.middle());
        days
    }
}
