//! Pages that show more of an outcome than a command prints, composed as documents.

mod life;
mod mending;
pub mod new_trial;
mod trial;

pub use mending::{Mends, on_page};
pub use trial::{TrialScreen, tray, trial};
