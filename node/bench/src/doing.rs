//! What a grower was about when something typed could not be taken.

use std::fmt;

/// What was being done; shown by its id, which `present` puts into words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doing {
    /// A trial is set up.
    SettingUp,
    /// Pieces are put in.
    PuttingIn,
    /// A description is corrected.
    Correcting,
    /// Pieces are moved.
    Moving,
    /// A spot is described.
    Spot,
    /// A stock plant is described.
    Stock,
    /// A plant is looked up.
    Plant,
}

impl Doing {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::SettingUp,
        Self::PuttingIn,
        Self::Correcting,
        Self::Moving,
        Self::Spot,
        Self::Stock,
        Self::Plant,
    ];
}

impl fmt::Display for Doing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::SettingUp => "set-up",
            Self::PuttingIn => "put-in",
            Self::Correcting => "correct",
            Self::Moving => "move",
            Self::Spot => "spot",
            Self::Stock => "stock",
            Self::Plant => "plant",
        })
    }
}
