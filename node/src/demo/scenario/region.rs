//! The six invented regions and their climates by the month.

use propagule_protocol::{Climate, HalfZone, Hemisphere, Place};

use super::stable::{exp, ln};
use super::stream::Stream;

/// An invented region.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InventedRegion {
    /// Its name.
    pub name: &'static str,
    /// Köppen class that its means have.
    pub koppen: &'static str,
    /// Hardiness half-zone.
    pub zone: &'static str,
    /// Share of the growers, in fortieths.
    pub weight: f64,
    /// Monthly means in °C, January first.
    pub temperature: [f64; 12],
    /// Monthly rain in mm.
    pub rain: [f64; 12],
}

/// All regions; the first is the one that winter losses are measured from.
pub const REGIONS: [InventedRegion; 6] = [
    InventedRegion {
        name: "Marrowfen",
        koppen: "Cfb",
        zone: "8b",
        weight: 12.0,
        temperature: [4.5, 4.8, 6.9, 9.2, 12.5, 15.4, 17.4, 17.2, 14.6, 11.0, 7.3, 5.0],
        rain: [62.0, 48.0, 51.0, 47.0, 53.0, 52.0, 50.0, 60.0, 55.0, 68.0, 70.0, 66.0],
    },
    InventedRegion {
        name: "Stonehythe",
        koppen: "Dfb",
        zone: "5a",
        weight: 8.0,
        temperature: [-9.0, -7.5, -1.5, 6.0, 13.0, 17.8, 20.3, 19.2, 14.4, 8.1, 1.4, -5.6],
        rain: [58.0, 50.0, 60.0, 70.0, 80.0, 88.0, 92.0, 86.0, 82.0, 78.0, 74.0, 66.0],
    },
    InventedRegion {
        name: "Amberdry",
        koppen: "Csa",
        zone: "9b",
        weight: 6.0,
        temperature: [8.2, 9.0, 11.3, 14.0, 18.0, 22.2, 25.4, 25.2, 22.0, 17.4, 12.4, 9.2],
        rain: [92.0, 78.0, 66.0, 45.0, 26.0, 9.0, 3.0, 5.0, 24.0, 66.0, 98.0, 110.0],
    },
    InventedRegion {
        name: "Low Sallow",
        koppen: "Cfa",
        zone: "7b",
        weight: 7.0,
        temperature: [3.4, 5.2, 9.8, 15.4, 20.3, 24.7, 27.4, 26.6, 22.6, 16.0, 10.0, 5.0],
        rain: [88.0, 84.0, 104.0, 92.0, 102.0, 98.0, 108.0, 96.0, 92.0, 86.0, 90.0, 92.0],
    },
    InventedRegion {
        name: "Tarnmoor",
        koppen: "Cfc",
        zone: "8a",
        weight: 3.0,
        temperature: [1.8, 1.7, 2.6, 4.6, 7.3, 9.9, 11.4, 11.2, 9.0, 6.2, 3.6, 2.2],
        rain: [120.0, 98.0, 102.0, 84.0, 70.0, 74.0, 86.0, 98.0, 118.0, 130.0, 128.0, 132.0],
    },
    InventedRegion {
        name: "Ullage Flats",
        koppen: "BSk",
        zone: "6a",
        weight: 4.0,
        temperature: [-4.5, -2.0, 3.6, 9.4, 14.8, 19.9, 23.6, 22.6, 17.2, 10.6, 3.2, -3.0],
        rain: [14.0, 13.0, 20.0, 30.0, 46.0, 44.0, 34.0, 30.0, 26.0, 22.0, 18.0, 15.0],
    },
];

impl InventedRegion {
    /// Mean of the coldest month.
    pub fn coldest(&self) -> f64 {
        self.temperature.iter().copied().fold(f64::INFINITY, f64::min)
    }

    /// Mean of the hottest month.
    pub fn hottest(&self) -> f64 {
        self.temperature.iter().copied().fold(f64::NEG_INFINITY, f64::max)
    }

    fn half_zone(&self) -> HalfZone {
        self.zone.parse().expect("the table holds half-zones")
    }

    /// A place with the region's own means.
    pub fn mean_place(&self) -> Place {
        self.place(0.0, 1.0)
    }

    /// A place of the region: one shift of all temperatures, one factor on all rain.
    pub(super) fn some_place(&self, stream: &mut Stream) -> Place {
        let shift = stream.normal(1.0);
        let factor = exp(stream.normal(0.15));
        self.place(shift, factor)
    }

    fn place(&self, shift: f64, factor: f64) -> Place {
        let climate = Climate::Twelve {
            temperature: self.temperature.map(|mean| mean + shift),
            rain: self.rain.map(|mean| mean * factor),
        };
        Place { hemisphere: Hemisphere::North, climate, zone: Some(self.half_zone()) }
    }

    /// Climate distance from the first region by means: root of the mean of squared steps in coldest month (3 °C),
    /// hottest month (3 °C), logarithm of rain (0.35) and half-zones.
    pub fn distance(&self) -> f64 {
        let home = &REGIONS[0];
        let rain = |region: &Self| region.rain.iter().sum::<f64>();
        let steps = [
            (self.coldest() - home.coldest()) / 3.0,
            (self.hottest() - home.hottest()) / 3.0,
            ln(rain(self) / rain(home)) / 0.35,
            self.half_zones() - home.half_zones(),
        ];
        (steps.iter().map(|step| step * step).sum::<f64>() / steps.len() as f64).sqrt()
    }

    fn half_zones(&self) -> f64 {
        let zone = self.half_zone();
        2.0 * f64::from(zone.whole()) + if zone.half() == 'b' { 1.0 } else { 0.0 }
    }
}

#[cfg(test)]
mod tests {
    use propagule_protocol::place::koppen;

    use super::*;

    #[test]
    fn means_have_the_class_they_were_invented_for() {
        for region in REGIONS {
            assert_eq!(
                koppen(&region.temperature, &region.rain).to_string(),
                region.koppen,
                "{}",
                region.name
            );
        }
        assert!((REGIONS.iter().map(|region| region.weight).sum::<f64>() - 40.0).abs() < 1e-12);
    }

    #[test]
    fn distance_is_nothing_at_home_and_grows_with_frost() {
        assert!(REGIONS[0].distance() < 1e-12);
        assert!(REGIONS[1].distance() > REGIONS[4].distance());
    }
}
