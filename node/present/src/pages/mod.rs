//! Pages that show more of an outcome than a command prints, composed as documents.

mod life;
mod trial;

pub use trial::{TrialScreen, tray, trial};
