//! How much growers, trials, stock plants and blocks differ, as standard deviations of log odds.

/// Between growers: skill and site.
pub const SKILL_SD: f64 = 0.5;
/// Between trials of one grower.
pub const TRIAL_SD: f64 = 0.35;
/// Between stock plants.
pub const STOCK_PLANT_SD: f64 = 0.4;
/// Between blocks of a trial.
pub const BLOCK_SD: f64 = 0.25;
/// What a place at the edge of the bench costs.
pub const EDGE: f64 = -0.4;
/// Share of replicates at an edge.
pub const EDGE_SHARE: f64 = 0.25;
/// Share of trials in which each arm came from a stock plant of its own.
pub const CONFOUNDED_SHARE: f64 = 0.2;
/// Share of pieces lost before anybody scored them.
pub const LOST_SHARE: f64 = 0.02;
/// Share of scratch tests that are wrong, both ways.
pub const SCRATCH_ERROR: f64 = 0.03;
/// Share of a winter bed that a vole takes.
pub const VOLE_SHARE: f64 = 0.6;
/// Pieces of one replicate.
pub const REPLICATE_SIZES: [u16; 6] = [5, 6, 8, 10, 12, 20];
