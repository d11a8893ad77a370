//! Newton's method with halved steps, for log densities that are concave but for rounding.
//!
//! A point is taken only where a whole Newton step no longer changes the value: half steps that have become short
//! change it little wherever they are, and would pass for having arrived.

use crate::FitError;
use crate::matrix::Matrix;

/// Most steps, and how far one is shortened before it is given up: concave functions with a proper prior need a dozen
/// steps, and hardly ever a half one.
const MOST_STEPS: usize = 60;
const SHORTEST: f64 = 1e-4;
/// A step has arrived where it changes the value by less than this part of it.
const ARRIVED: f64 = 1e-9;
/// Falls of this part of the value are rounding.
const ROUNDING: f64 = 1e-12;

/// Global parameters, and deviations from them.
#[derive(Clone, Debug)]
pub(crate) struct Latent {
    pub(crate) global: Vec<f64>,
    pub(crate) deviations: Vec<f64>,
}

/// A point, and the inverse of the deviations' covariance times the deviations.
#[derive(Clone, Debug)]
pub(crate) struct Point {
    pub(crate) at: Latent,
    pub(crate) multipliers: Vec<f64>,
}

impl Point {
    fn between(&self, other: &Self, share: f64) -> Self {
        let at = Latent {
            global: mix(&self.at.global, &other.at.global, share),
            deviations: mix(&self.at.deviations, &other.at.deviations, share),
        };
        Self { at, multipliers: mix(&self.multipliers, &other.multipliers, share) }
    }
}

fn mix(a: &[f64], b: &[f64], share: f64) -> Vec<f64> {
    a.iter().zip(b).map(|(x, y)| x + share * (y - x)).collect()
}

/// Climbs from `point` to the maximum of `value`, where `aim` leads a whole Newton step on; the maximum and its value.
///
/// # Errors
/// [`FitError::NotConverged`] where the steps do not end, or the value is no number; whatever `aim` fails with.
pub(crate) fn ascend(
    mut point: Point,
    value: impl Fn(&Point) -> f64,
    aim: impl Fn(&Latent) -> Result<Point, FitError>,
) -> Result<(Latent, f64), FitError> {
    let mut here = value(&point);
    for _ in 0..MOST_STEPS {
        let whole = aim(&point.at)?;
        let there = value(&whole);
        if (there - here).abs() < ARRIVED * (1.0 + here.abs()) {
            return Ok((whole.at, there));
        }
        (point, here) =
            shortened(&point, here, whole, there, &value).ok_or(FitError::not_converged("mode", None))?;
    }
    Err(FitError::not_converged("mode", None))
}

/// The whole step, or the longest of its halves that does not fall; nothing where all do.
fn shortened(
    point: &Point,
    here: f64,
    whole: Point,
    there: f64,
    value: &impl Fn(&Point) -> f64,
) -> Option<(Point, f64)> {
    let falls = |next: f64| next.is_nan() || next < here - ROUNDING * here.abs();
    if !falls(there) {
        return Some((whole, there));
    }
    let shares = std::iter::successors(Some(0.5), |share| Some(0.5 * share)).take_while(|s| *s > SHORTEST);
    shares
        .map(|share| {
            let next = point.between(&whole, share);
            let reached = value(&next);
            (next, reached)
        })
        .find(|(_, reached)| !falls(*reached))
}

/// The Cholesky factor of an information.
///
/// # Errors
/// [`FitError::NotConverged`] where it is not positive definite: with proper priors it is, unless numbers ran out of range.
pub(crate) fn factored(information: &Matrix) -> Result<Matrix, FitError> {
    information.cholesky().ok_or(FitError::not_converged("mode", None))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(x: f64) -> Point {
        Point { at: Latent { global: vec![x], deviations: Vec::new() }, multipliers: Vec::new() }
    }

    /// Newton's steps on a function of one parameter, from its slope and bend.
    fn climb(
        from: f64,
        value: impl Fn(f64) -> f64,
        slopes: impl Fn(f64) -> (f64, f64),
    ) -> Result<f64, FitError> {
        let step = |point: &Latent| {
            let (slope, bend) = slopes(point.global[0]);
            Ok(at(point.global[0] - slope / bend))
        };
        ascend(at(from), |point| value(point.at.global[0]), step).map(|(latent, _)| latent.global[0])
    }

    #[test]
    fn whole_steps_that_overshoot_are_halved_until_they_climb() {
        // From 3 a whole step of -ln cosh leads to -98, and from there away for good.
        let found = climb(3.0, |x| -x.cosh().ln(), |x| (-x.tanh(), -x.cosh().powi(-2)));
        assert!(found.as_ref().is_ok_and(|x| x.abs() < 1e-4), "{found:?}");
    }

    #[test]
    fn what_does_not_arrive_is_refused() {
        // Exponentials climb for ever; each step is as long as the last.
        let forever = climb(0.0, f64::exp, |x| (x.exp(), -x.exp()));
        assert_eq!(forever, Err(FitError::not_converged("mode", None)));
        // A step that leads downhill all the way: half steps get short, which is no arrival.
        let downhill = climb(1.0, |x| -x * x, |x| (-2.0 * x, 0.5));
        assert_eq!(downhill, Err(FitError::not_converged("mode", None)));
        let no_number = climb(0.0, |_| f64::NAN, |_| (1.0, -1.0));
        assert_eq!(no_number, Err(FitError::not_converged("mode", None)));
    }

    #[test]
    fn an_information_of_no_numbers_is_refused() {
        assert_eq!(
            factored(&Matrix::from_fn(1, 1, |_, _| f64::NAN)).err(),
            Some(FitError::not_converged("mode", None))
        );
        assert_eq!(
            factored(&Matrix::from_fn(2, 2, |_, _| 1.0)).err(),
            Some(FitError::not_converged("mode", None))
        );
    }
}
