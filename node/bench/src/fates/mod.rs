//! The fate of each piece: every piece of a unit is in exactly one state, and all figures are sums over these states.

mod fault;
mod first;
mod gone;
mod row;
mod settle;
mod standing;

pub use fault::{FateFault, Part, Whole};
pub use row::Row;
pub use standing::{Rest, Standing, Taken};

/// Pieces of one state, by whether roots were seen on them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Column {
    /// No roots were seen.
    pub without: u16,
    /// They had roots.
    pub with: u16,
}

impl Column {
    /// All of them.
    pub fn all(self) -> u16 {
        self.without + self.with
    }
}

/// Where the pieces of a unit are. They add up to what was put in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Fates {
    /// Here and alive, without roots: green, callused or not.
    pub waiting: u16,
    /// Here and alive, with roots (taken, germinated).
    pub rooted: u16,
    /// Here, and neither known alive nor known dead.
    pub not_known: Column,
    /// Dead.
    pub dead: Column,
    /// Unscored.
    pub lost: Column,
    /// Left at the grower's own grade.
    pub finished: Column,
    /// Left below grade.
    pub below: Column,
}

impl Fates {
    /// All `started` pieces alive and without roots.
    pub fn fresh(started: u16) -> Self {
        Self { waiting: started, ..Self::default() }
    }

    /// Living pieces that are here.
    pub fn alive(self) -> u16 {
        self.waiting + self.rooted
    }

    /// Pieces that the next count has to account for.
    pub fn left_to_count(self) -> u16 {
        self.alive() + self.not_known.all()
    }

    /// Pieces that ever had roots, whatever became of them: the fewest that the counts allow.
    pub fn ever_rooted(self) -> u16 {
        self.rooted
            + self.not_known.with
            + self.dead.with
            + self.lost.with
            + self.finished.with
            + self.below.with
    }

    /// All pieces, whatever became of them.
    pub fn sum(self) -> u16 {
        self.alive()
            + [self.not_known, self.dead, self.lost, self.finished, self.below]
                .iter()
                .map(|column| column.all())
                .sum::<u16>()
    }
}

#[cfg(test)]
mod tests;
