//! Random-effects pooling of small binomial propagation trials: numbers in, numbers out.
//!
//! Counts of pieces started and pieces that succeeded enter as [`Count`] and [`Grower`]; what comes out are
//! posterior summaries, predictive laws, exact tests and intervals. Everything is deterministic: integrals are
//! computed by quadrature, never by sampling, and the order of growers does not matter.
//!
//! ```
//! use propagule_analysis::{Count, Grower, rate};
//!
//! let growers = vec![
//!     Grower::new(vec![Count::new(24, 0)?], 1.0),
//!     Grower::new(vec![Count::new(20, 3)?], 1.0),
//! ];
//! let fit = rate::fit(&growers, &rate::Options::default())?;
//! let [low, _, high] = fit.summary().average_grower_rate_q;
//! assert!(low > 0.0 && high < 1.0);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod binomial;
mod chi_squared;
pub mod compare;
pub mod contrast;
mod count;
#[cfg(test)]
mod dense;
mod error;
pub mod exact;
pub mod facets;
mod gauss_hermite;
mod glm;
pub mod interval;
pub mod joint;
mod laplace;
mod logit;
mod marginal;
mod matrix;
pub mod meta;
pub mod mixed;
mod mixture;
pub mod network;
mod newton;
mod normal;
mod optimise;
pub mod overdispersion;
pub mod planning;
mod posterior;
pub mod rate;
mod shape;
pub mod shrunk;
mod side_by_side;
mod sine_integral;
mod sparse;
mod student;
pub mod survival;
pub mod table;
pub mod verdict;

pub use count::{Count, CountError, Grower, Pair};
pub use error::FitError;
pub use side_by_side::{KnownRate, SharedTrial, SideBySide, expected_gain};
