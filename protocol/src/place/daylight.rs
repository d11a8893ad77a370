//! Day length by latitude and day of the year.

use std::f64::consts::PI;

/// What counts as the edge of the day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DayEdge {
    /// The sun's upper rim on the horizon, with refraction: 0.8333° below.
    Sunrise,
    /// The sun's centre on the horizon, without refraction.
    Geometric,
    /// Civil twilight: 6° below.
    Civil,
}

impl DayEdge {
    fn degrees_below(self) -> f64 {
        match self {
            Self::Sunrise => 0.8333,
            Self::Geometric => 0.0,
            Self::Civil => 6.0,
        }
    }
}

/// Hours of day at a latitude in degrees (south negative) on a day of the year, 1 to 366.
///
/// The CBM model of Forsythe et al. 1995, Ecological Modelling 80:87. Polar day and night give 24 and 0.
pub fn day_length(latitude: f64, day_of_year: u16, edge: DayEdge) -> f64 {
    let revolution =
        0.216_310_8 + 2.0 * (0.967_139_6 * (0.008_60 * (f64::from(day_of_year) - 186.0)).tan()).atan();
    let declination = (0.397_95 * revolution.cos()).asin();
    let latitude = latitude.clamp(-90.0, 90.0).to_radians();
    let below = edge.degrees_below().to_radians();
    let cosine = (below.sin() + latitude.sin() * declination.sin()) / (latitude.cos() * declination.cos());
    24.0 - 24.0 / PI * cosine.clamp(-1.0, 1.0).acos()
}

#[cfg(test)]
mod tests {
    use super::{DayEdge, day_length};

    /// Values computed apart from this code by the formula of Forsythe 1995, to 0.01 h.
    #[test]
    fn day_lengths_of_the_model() {
        let table = [
            (0.0, [12.11, 12.12, 12.12]),
            (30.0, [12.12, 14.08, 10.21]),
            (40.0, [12.14, 15.02, 9.32]),
            (50.0, [12.16, 16.37, 8.07]),
            (60.0, [12.20, 18.87, 5.87]),
            (-35.0, [12.14, 9.80, 14.51]),
            (-45.0, [12.17, 8.76, 15.62]),
        ];
        for (latitude, hours) in table {
            for (day, expected) in [80, 172, 355].into_iter().zip(hours) {
                let found = day_length(latitude, day, DayEdge::Sunrise);
                assert!((found - expected).abs() <= 0.0051, "{latitude} on day {day}: {found}");
            }
        }
        for (day, expected) in [(80, 11.99), (172, 14.85), (355, 9.16)] {
            assert!((day_length(40.0, day, DayEdge::Geometric) - expected).abs() <= 0.0051);
        }
    }

    #[test]
    fn poles_have_day_and_night() {
        assert!((day_length(80.0, 172, DayEdge::Sunrise) - 24.0).abs() < 1e-9);
        assert!(day_length(-80.0, 172, DayEdge::Sunrise).abs() < 1e-9);
        assert!(day_length(60.0, 172, DayEdge::Civil) > day_length(60.0, 172, DayEdge::Sunrise));
    }
}
