//! Checks every fortnight: deaths and rooting are seen only between checks.
//!
//! Times are numbers of one unit, days as a rule, from the day of sticking; one entry a piece. Intervals are half open, (last seen without, first seen with]. Pieces stuck are the denominator for ever; lost pieces
//! are lost at their last check, not dropped.

use statrs::distribution::{ChiSquared, ContinuousCDF};

use crate::normal;

/// When an event happened: after `left`, at `right` at the latest; `right` is infinite when it was never seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// Last check without the event.
    pub left: f64,
    /// First check with the event.
    pub right: f64,
}

/// Mass of one innermost interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TurnbullMass {
    /// Left end, not included.
    pub left: f64,
    /// Right end, included; may be infinite.
    pub right: f64,
    /// Probability of the event inside.
    pub mass: f64,
    /// Probability of no event up to the right end.
    pub survival_after: f64,
}

/// Nonparametric maximum likelihood for interval-censored times (Turnbull 1976, JRSS B 38:290), and the log likelihood.
///
/// ```
/// use propagule_analysis::survival::{Interval, turnbull};
///
/// // Two pieces rooted between days 0 and 14, one between 14 and 28, one never.
/// let event = |left, right| Interval { left, right };
/// let seen = [event(0.0, 14.0), event(0.0, 14.0), event(14.0, 28.0), event(28.0, f64::INFINITY)];
/// let (masses, _) = turnbull(&seen);
/// assert!((masses[0].mass - 0.5).abs() < 1e-9 && (masses[1].survival_after - 0.25).abs() < 1e-9);
/// ```
pub fn turnbull(events: &[Interval]) -> (Vec<TurnbullMass>, f64) {
    let cells = innermost(events);
    let covers = |event: &Interval, cell: &(f64, f64)| event.left <= cell.0 && event.right >= cell.1;
    let mut distinct: Vec<(Vec<usize>, f64)> = Vec::new();
    for event in events {
        let inside: Vec<usize> = (0..cells.len()).filter(|k| covers(event, &cells[*k])).collect();
        match distinct.iter_mut().find(|(known, _)| *known == inside) {
            Some((_, times)) => *times += 1.0,
            None => distinct.push((inside, 1.0)),
        }
    }
    let mass = self_consistent(&distinct, cells.len(), events.len() as f64);
    let log_likelihood = distinct
        .iter()
        .map(|(inside, times)| times * inside.iter().map(|k| mass[*k]).sum::<f64>().ln())
        .sum();
    let mut below = 0.0;
    let out = cells.iter().zip(&mass).map(|((left, right), mass)| {
        below += mass;
        TurnbullMass { left: *left, right: *right, mass: *mass, survival_after: (1.0 - below).max(0.0) }
    });
    (out.collect(), log_likelihood)
}

/// Intervals from a left end to the next right end, with no other end between.
fn innermost(events: &[Interval]) -> Vec<(f64, f64)> {
    let mut ends: Vec<(f64, bool)> = events.iter().flat_map(|e| [(e.left, false), (e.right, true)]).collect();
    // At one time right ends come before left ends: intervals are open on the left.
    ends.sort_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)));
    ends.dedup();
    ends.windows(2).filter(|w| !w[0].1 && w[1].1).map(|w| (w[0].0, w[1].0)).collect()
}

fn self_consistent(distinct: &[(Vec<usize>, f64)], cells: usize, total: f64) -> Vec<f64> {
    let mut mass = vec![1.0 / cells as f64; cells];
    for _ in 0..100_000 {
        let mut next = vec![0.0; cells];
        for (inside, times) in distinct {
            let sum: f64 = inside.iter().map(|k| mass[*k]).sum();
            for k in inside {
                next[*k] += times * mass[*k] / sum / total;
            }
        }
        let change = next.iter().zip(&mass).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        mass = next;
        if change < 1e-13 {
            break;
        }
    }
    mass
}

/// A time, and whether the event was seen then (else the piece was last seen then).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Observed {
    /// Check.
    pub time: f64,
    /// Whether the event was found at that check.
    pub event: bool,
}

/// One step of the Kaplan–Meier curve.
#[derive(Clone, Copy, Debug)]
pub struct KaplanMeierStep {
    /// Time of events.
    pub time: f64,
    /// Pieces still watched just before.
    pub at_risk: usize,
    /// Events then.
    pub events: usize,
    /// Share without the event from then on.
    pub survival: f64,
    /// Greenwood's standard error.
    pub se: f64,
    /// 95 % limits on the log(-log) scale.
    pub log_log: (f64, f64),
    /// 95 % limits on the log scale.
    pub log: (f64, f64),
}

/// Kaplan & Meier's estimate (1958, JASA 53:457) with the checks as times: right only if every piece was seen at every
/// check, and then it agrees with [`turnbull`].
///
/// ```
/// use propagule_analysis::survival::{Observed, kaplan_meier};
///
/// let piece = |time, event| Observed { time, event };
/// let steps = kaplan_meier(&[piece(14.0, true), piece(14.0, true), piece(28.0, true), piece(28.0, false)]);
/// assert_eq!(steps[0].at_risk, 4);
/// assert!((steps[1].survival - 0.25).abs() < 1e-12);
/// ```
pub fn kaplan_meier(observed: &[Observed]) -> Vec<KaplanMeierStep> {
    let (mut survival, mut greenwood) = (1.0, 0.0);
    event_times(observed)
        .into_iter()
        .map(|time| {
            let at_risk = observed.iter().filter(|o| o.time >= time).count();
            let events = observed.iter().filter(|o| o.event && o.time.total_cmp(&time).is_eq()).count();
            let (n, d) = (at_risk as f64, events as f64);
            survival *= 1.0 - d / n;
            greenwood += d / (n * (n - d));
            step(time, at_risk, events, survival, greenwood)
        })
        .collect()
}

fn event_times(observed: &[Observed]) -> Vec<f64> {
    let mut times: Vec<f64> = observed.iter().filter(|o| o.event).map(|o| o.time).collect();
    times.sort_by(f64::total_cmp);
    times.dedup();
    times
}

fn step(time: f64, at_risk: usize, events: usize, survival: f64, greenwood: f64) -> KaplanMeierStep {
    let z = normal::quantile(0.975);
    let root = greenwood.sqrt();
    let log_log = |sign: f64| survival.powf((sign * z * root / survival.ln()).exp());
    let log = |sign: f64| (survival * (sign * z * root).exp()).min(1.0);
    KaplanMeierStep {
        time,
        at_risk,
        events,
        survival,
        se: survival * root,
        // ln S is negative, so the signs swap.
        log_log: (log_log(-1.0), log_log(1.0)),
        log: (log(-1.0), log(1.0)),
    }
}

/// Comparison of two groups of pieces over time.
#[derive(Clone, Copy, Debug)]
pub struct LogRank {
    /// Statistic with one degree of freedom.
    pub chi2: f64,
    /// Its p value.
    pub p: f64,
    /// Events seen in each group.
    pub observed: [f64; 2],
    /// Events expected in each group.
    pub expected: [f64; 2],
}

/// Log-rank test that two groups have one curve (Mantel 1966, Cancer Chemother Rep 50:163), chi² on one degree of freedom; `None` when no event was seen while both groups were watched.
pub fn log_rank(first: &[Observed], second: &[Observed]) -> Option<LogRank> {
    let all: Vec<Observed> = first.iter().chain(second).copied().collect();
    let (mut seen, mut expected, mut variance) = (0.0, 0.0, 0.0);
    for time in event_times(&all) {
        let at_risk = |group: &[Observed]| group.iter().filter(|o| o.time >= time).count() as f64;
        let events = |group: &[Observed]| {
            group.iter().filter(|o| o.event && o.time.total_cmp(&time).is_eq()).count() as f64
        };
        let (n1, n, d) = (at_risk(first), at_risk(&all), events(&all));
        seen += events(first);
        expected += d * n1 / n;
        if n > 1.0 {
            variance += d * (n1 / n) * (1.0 - n1 / n) * (n - d) / (n - 1.0);
        }
    }
    let total = all.iter().filter(|o| o.event).count() as f64;
    let chi2 = (seen - expected).powi(2) / variance;
    let law = ChiSquared::new(1.0).ok()?;
    (variance > 0.0).then(|| LogRank {
        chi2,
        p: law.sf(chi2),
        observed: [seen, total - seen],
        expected: [expected, total - expected],
    })
}

/// How a piece's story ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Rooted at that check.
    Rooted,
    /// Dead at that check; it can never root.
    Dead,
    /// Last seen then.
    Watched,
}

/// Chance to have rooted, and to have died, by a time.
#[derive(Clone, Copy, Debug)]
pub struct Incidence {
    /// Check.
    pub time: f64,
    /// Rooted by then.
    pub rooted: f64,
    /// Dead by then.
    pub dead: f64,
}

/// Cumulative incidence, one entry a time of events in rising order, with death as a competing event (Aalen & Johansen 1978, Scand J Stat 5:141). Death taken as
/// censoring would answer what never happens: what if no piece could die.
pub fn cumulative_incidence(pieces: &[(f64, Outcome)]) -> Vec<Incidence> {
    let mut times: Vec<f64> = pieces.iter().map(|p| p.0).collect();
    times.sort_by(f64::total_cmp);
    times.dedup();
    let (mut free, mut rooted, mut dead) = (1.0, 0.0, 0.0);
    let mut out = Vec::new();
    for time in times {
        let at_risk = pieces.iter().filter(|p| p.0 >= time).count() as f64;
        let count = |outcome: Outcome| pieces.iter().filter(|p| **p == (time, outcome)).count() as f64;
        let (r, d) = (count(Outcome::Rooted), count(Outcome::Dead));
        if r + d > 0.0 {
            rooted += free * r / at_risk;
            dead += free * d / at_risk;
            free *= 1.0 - (r + d) / at_risk;
            out.push(Incidence { time, rooted, dead });
        }
    }
    out
}
