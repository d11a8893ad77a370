//! All waiting of a node in one place, so that tests can set it.

use std::time::Duration;

use crate::limits::{RELAY_CIRCUIT_TIME, REPLY_TIME, SESSION_TIME};

/// Hours of a month.
const MONTH: u64 = 30 * 24;

/// All waiting of a node. Tests and the demo use [`Timing::quick`].
#[derive(Clone, Copy, Debug)]
pub struct Timing {
    /// Between two sessions of pulling from one peer while there is something left to pull.
    pub session_gap: Duration,
    /// The same once a session has found nothing new: gossip brings what comes meanwhile.
    pub in_step_gap: Duration,
    /// How long one session runs before another begins beside it, which would mostly bring the same.
    pub head_start: Duration,
    /// After a session that brought nothing and was not complete, doubled each time.
    pub back_off: Duration,
    /// The longest back-off.
    pub back_off_limit: Duration,
    /// Dials are spread over this long, since two nodes that dial each other at once may both fail.
    pub dial_jitter: Duration,
    /// Between two attempts to reach known peers that are not connected.
    pub redial: Duration,
    /// Between two signs of life on a connection; one that gives none for twice as long is closed.
    pub ping: Duration,
    /// How long a peer that came by itself may take to say that it belongs to this network.
    pub greeting: Duration,
    /// Gossip heartbeat.
    pub heartbeat: Duration,
    /// How long a misbehaving peer stays blocked.
    pub block: Duration,
    /// An own record leaves at a random time within this long.
    pub publish_delay: Duration,
    /// A record of somebody else that was passed on, and is not seen to be public, is gossiped after a random time between
    /// these.
    pub embargo: (Duration, Duration),
    /// A record of somebody else whose stem ends here is gossiped after a random time between these.
    pub stem_end: (Duration, Duration),
    /// An own record that is not seen to be public goes to the next guard after a random time between these.
    pub hand_again: (Duration, Duration),
    /// How long an own record waits for a guard that is not there, before the next one is taken.
    pub guard_wait: Duration,
    /// Days on which a peer must have been connected before it can be a guard.
    pub guard_days: u32,
    /// How long a guard is kept, a random time between these.
    pub guard_life: (Duration, Duration),
    /// A guard that was not met for this long is asked after those that were.
    pub guard_missed: Duration,
    /// An own record that is not public by then has its grower asked whether to gossip it from here.
    pub stuck_after: Duration,
    /// How long a peer may take to reply.
    pub reply: Duration,
    /// A session of pulling ends after this long.
    pub session: Duration,
    /// How long one circuit through this node lasts.
    pub circuit: Duration,
    /// From the day on which an author was first seen until it counts as known.
    pub known_after: Duration,
}

impl Timing {
    /// For homes.
    pub fn home() -> Self {
        Self {
            session_gap: Duration::from_mins(1),
            in_step_gap: Duration::from_mins(15),
            head_start: Duration::from_secs(5),
            back_off: Duration::from_mins(10),
            back_off_limit: Duration::from_hours(24),
            dial_jitter: Duration::from_secs(2),
            redial: Duration::from_secs(30),
            ping: Duration::from_secs(15),
            greeting: Duration::from_secs(10),
            heartbeat: Duration::from_secs(1),
            block: Duration::from_hours(1),
            publish_delay: Duration::from_hours(48),
            embargo: (Duration::from_hours(6), Duration::from_hours(24)),
            stem_end: (Duration::ZERO, Duration::from_mins(10)),
            hand_again: (Duration::from_hours(24), Duration::from_hours(48)),
            guard_wait: Duration::from_hours(72),
            guard_days: 3,
            guard_life: (Duration::from_hours(9 * MONTH), Duration::from_hours(15 * MONTH)),
            guard_missed: Duration::from_hours(14 * 24),
            stuck_after: Duration::from_hours(14 * 24),
            reply: REPLY_TIME,
            session: SESSION_TIME,
            circuit: RELAY_CIRCUIT_TIME,
            known_after: Duration::from_hours(30 * 24),
        }
    }

    /// For nodes that meet on one machine.
    pub fn quick() -> Self {
        Self {
            session_gap: Duration::from_millis(500),
            in_step_gap: Duration::from_millis(500),
            head_start: Duration::from_millis(200),
            back_off: Duration::from_secs(2),
            back_off_limit: Duration::from_secs(8),
            dial_jitter: Duration::from_millis(50),
            redial: Duration::from_millis(500),
            ping: Duration::from_secs(1),
            heartbeat: Duration::from_millis(200),
            block: Duration::from_hours(1),
            publish_delay: Duration::from_millis(100),
            embargo: (Duration::from_secs(2), Duration::from_secs(3)),
            stem_end: (Duration::ZERO, Duration::from_millis(200)),
            hand_again: (Duration::from_secs(2), Duration::from_secs(3)),
            guard_wait: Duration::from_secs(2),
            guard_days: 0,
            known_after: Duration::ZERO,
            ..Self::home()
        }
    }
}
