//! What is simulated.

use std::time::Duration;

use propagule_network::timing::Timing;

/// Size and troubles of the network.
#[derive(Clone, Copy, Debug)]
pub struct Settings {
    /// Nodes.
    pub nodes: usize,
    /// Days in which records are published; some quiet days follow.
    pub days: u64,
    /// Where all chance comes from.
    pub seed: u64,
    /// Records published by honest nodes.
    pub records: usize,
    /// Share of nodes that lie.
    pub liars: f64,
    /// Share of honest nodes whose clock is wrong by up to a year.
    pub wrong_clocks: f64,
    /// Share of messages that are lost.
    pub loss: f64,
    /// Whether nodes come and go.
    pub is_churning: bool,
    /// Times at which the network falls into two parts for 1 to 30 days.
    pub partitions: usize,
    /// All waiting.
    pub timing: Timing,
}

/// Days after the last record in which everybody is there: the longest wait to leave, and some exchanges.
pub(super) const QUIET_DAYS: u64 = 12;

impl Settings {
    /// A network with every trouble that is known.
    pub fn troubled(nodes: usize, days: u64, seed: u64) -> Self {
        Self {
            nodes,
            days,
            seed,
            records: nodes,
            liars: 0.1,
            wrong_clocks: 0.05,
            loss: 0.02,
            is_churning: true,
            partitions: 3,
            timing: slow(),
        }
    }
}

/// As at home but for sessions, which are hours apart: months go by here in seconds.
fn slow() -> Timing {
    Timing {
        session_gap: Duration::from_hours(12),
        in_step_gap: Duration::from_hours(12),
        back_off: Duration::from_hours(24),
        back_off_limit: Duration::from_hours(96),
        dial_jitter: Duration::from_mins(5),
        redial: Duration::from_hours(2),
        ..Timing::home()
    }
}
