//! Pages that show more of an outcome than a command prints, composed as documents.

mod life;
pub mod new_trial;
mod trial;

pub use trial::{TrialScreen, tray, trial};
