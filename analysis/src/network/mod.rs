//! Several methods compared in trials that share some of them.

mod components;
mod contrasts;
mod laplace;
mod normal_model;
mod ranks;
mod splitting;

pub use components::{Component, components};
pub use contrasts::{NetworkTrial, TrialArm, usable};
pub use laplace::{NetworkFit, NetworkOptions, bayes};
pub use normal_model::{NetworkEstimate, binomial_common, common_effect, inconsistency, random_effects};
pub use ranks::{RankTable, p_scores, rank_probabilities};
pub use splitting::{NetworkHeterogeneity, Split, dersimonian_laird, split_nodes};
