//! What everybody's figures say beside those of the growers asked for.

use super::rate::Rates;

/// Everybody's figures beside those of the growers asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EverybodyFacts {
    /// Clusters among everybody.
    pub growers: usize,
    /// Pieces put in by everybody.
    pub started: u32,
    /// Successes of everybody.
    pub succeeded: u32,
    /// What the model makes of everybody.
    pub rates: Rates,
    /// What it makes of the growers asked for.
    pub circle: Rates,
}

impl EverybodyFacts {
    /// Whether one average lies outside the other's interval.
    pub fn differs(&self) -> bool {
        let outside = |average: f64, points: [f64; 3]| average < points[0] || average > points[2];
        outside(self.rates.average, self.circle.average_points)
            || outside(self.circle.average, self.rates.average_points)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rates(average: f64, low: f64, high: f64) -> Rates {
        Rates { average, average_points: [low, average, high], new_grower_points: [0.0, average, 1.0] }
    }

    fn facts(circle: Rates, everybody: Rates) -> EverybodyFacts {
        EverybodyFacts { growers: 3, started: 60, succeeded: 12, rates: everybody, circle }
    }

    #[test]
    fn figures_differ_when_one_lies_outside_the_others_interval() {
        assert!(!facts(rates(0.3, 0.2, 0.4), rates(0.35, 0.25, 0.5)).differs());
        assert!(facts(rates(0.3, 0.2, 0.4), rates(0.41, 0.28, 0.5)).differs());
        assert!(facts(rates(0.3, 0.1, 0.6), rates(0.5, 0.4, 0.6)).differs());
    }
}
