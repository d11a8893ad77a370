//! Köppen classes, zones, bins and seasons against their sources.

use propagule_protocol::place::{Class, Climate, HalfZone, Hemisphere, Place, koppen, koppen_of_six, season};
use propagule_protocol::record::{Code, Region};
use propagule_protocol::{Date, limits};

struct Vector {
    id: &'static str,
    class: &'static str,
    temperature: [f64; 12],
    rain: [f64; 12],
}

/// Sources stand at the head of the file.
fn vectors() -> Vec<Vector> {
    let rows = include_str!("data/koppen.tsv").lines().filter(|line| !line.starts_with('#'));
    rows.map(|row| {
        let columns: Vec<&'static str> = row.split('\t').collect();
        Vector {
            id: columns[0],
            class: columns[1],
            temperature: months(columns[2]),
            rain: months(columns[3]),
        }
    })
    .collect()
}

fn months(text: &str) -> [f64; 12] {
    let numbers: Vec<f64> = text.split(' ').map(|n| n.parse().expect("a number")).collect();
    numbers.try_into().expect("twelve months")
}

#[test]
fn classes_agree_with_the_vectors() {
    let vectors = vectors();
    assert_eq!(vectors.len(), 33);
    for vector in vectors {
        assert_eq!(koppen(&vector.temperature, &vector.rain).to_string(), vector.class, "{}", vector.id);
    }
}

#[test]
fn classes_do_not_hang_on_the_hemisphere() {
    for Vector { id, class, mut temperature, mut rain } in vectors() {
        temperature.rotate_left(6);
        rain.rotate_left(6);
        assert_eq!(koppen(&temperature, &rain).to_string(), class, "{id} moved by six months");
    }
}

fn class(temperature: [f64; 12], rain: [f64; 12]) -> String {
    koppen(&temperature, &rain).to_string()
}

/// Temperatures that run from `coldest` to `hottest` and back.
fn wave(coldest: f64, hottest: f64) -> [f64; 12] {
    std::array::from_fn(|month| {
        let height = f64::from(6 - (month as i32 - 6).abs()) / 6.0;
        coldest + (hottest - coldest) * height
    })
}

/// Edges of the rule in the form of Peel 2007 and Beck 2018, as the rule is written out.
#[test]
fn edges_fall_on_the_side_of_the_rule() {
    assert_eq!(class(wave(18.0, 24.0), [100.0; 12]), "Af");
    assert_eq!(class(wave(17.9, 24.0), [100.0; 12]), "Cfa");
    assert!(class(wave(0.0, 20.0), [100.0; 12]).starts_with('D'));
    assert!(class(wave(0.1, 20.0), [100.0; 12]).starts_with('C'));
    assert_eq!(class(wave(-5.0, 10.0), [100.0; 12]), "ET");
    assert_eq!(class(wave(5.0, 22.0), [100.0; 12]), "Cfa");
    assert_eq!(class(wave(5.0, 21.9), [100.0; 12]), "Cfb");
    let yearly = |mm: f64| std::array::from_fn(|month| if month == 0 { mm - 11.0 * 28.3 } else { 28.3 });
    assert_eq!(class([10.0; 12], yearly(340.0)), "ET");
    assert_eq!(class([10.0; 12], yearly(339.9)), "BSk");
    assert_eq!(class(wave(-40.0, 15.0), [40.0; 12]), "Dfd");
    assert_eq!(class(wave(-37.9, 15.0), [40.0; 12]), "Dfc");
}

/// Exactly 70 % of the rain in the warm half does not yet raise the dryness limit: 10 Pth = 10 (2 · 15 + 14)
/// = 440 mm; 1 mm more in summer makes it 10 (2 · 15 + 28) = 580 mm.
#[test]
fn seventy_per_cent_is_exact() {
    let year = |summer: f64, winter: f64| {
        std::array::from_fn(|month| if (3..9).contains(&month) { summer / 6.0 } else { winter / 6.0 })
    };
    assert!(!class(wave(5.0, 25.0), year(315.0, 135.0)).starts_with('B'));
    assert!(class(wave(5.0, 25.0), year(318.0, 135.0)).starts_with('B'));
}

fn six(vector: &Vector) -> Climate {
    let summer_is =
        |from: usize| (0..12).filter(move |month| (from..from + 6).contains(&((month + 12 - 3) % 12)));
    let mean = |half: usize| summer_is(half).map(|month| vector.temperature[month]).sum::<f64>();
    let (summer, winter) = if mean(0) >= mean(6) { (0, 6) } else { (6, 0) };
    let total = |half: usize| summer_is(half).map(|month| vector.rain[month]).sum::<f64>();
    let driest = |half: usize| summer_is(half).map(|month| vector.rain[month]).fold(f64::INFINITY, f64::min);
    Climate::Six {
        coldest: vector.temperature.iter().copied().fold(f64::INFINITY, f64::min),
        hottest: vector.temperature.iter().copied().fold(f64::NEG_INFINITY, f64::max),
        rain: vector.rain.iter().sum(),
        summer_share: total(summer) / vector.rain.iter().sum::<f64>(),
        driest_summer: driest(summer),
        driest_winter: driest(winter),
    }
}

/// The six numbers lead to the same published letters as all twelve months; the vectors that differ are named.
#[test]
fn six_numbers_lead_to_the_same_letters_on_all_vectors() {
    let published = |class: Class| class.published();
    let differing: Vec<&str> = vectors()
        .iter()
        .filter(|v| {
            let from_six = koppen_of_six(&six(v)).expect("six numbers");
            published(from_six) != published(koppen(&v.temperature, &v.rain))
        })
        .map(|v| v.id)
        .collect();
    assert_eq!(differing, [] as [&str; 0]);
}

fn place(climate: Climate, zone: Option<&str>) -> Place {
    let zone = zone.map(|zone| zone.parse().expect("a zone"));
    Place { hemisphere: Hemisphere::North, climate, zone }
}

#[test]
fn rare_second_letters_are_not_published() {
    for vector in vectors() {
        let climate = Climate::Twelve { temperature: vector.temperature, rain: vector.rain };
        let word = place(climate, None).region().koppen_word().expect("a class");
        let expected = match vector.class {
            "ET" | "EF" => "E",
            "Dsb" => "D",
            other => &other[..2],
        };
        assert_eq!(word, expected, "{}", vector.id);
    }
}

#[test]
fn zone_alone_makes_a_region() {
    let region = place(Climate::None, Some("8b")).region();
    assert_eq!((region.zone, region.koppen, region.rule), (Some(8), None, Code(0)));
    assert_eq!(region.words()[0], ("hardiness zone", "8".to_owned()));
}

fn region(coldest: f64, hottest: f64, rain: f64) -> Region {
    let (summer_share, driest_summer, driest_winter) = (0.5, 0.0, 0.0);
    place(Climate::Six { coldest, hottest, rain, summer_share, driest_summer, driest_winter }, None).region()
}

#[test]
fn bins_have_a_closed_lower_end() {
    let bins = |region: Region| (region.coldest, region.hottest, region.rain);
    assert_eq!(bins(region(0.0, 20.0, 100.0)), (Some(0), Some(5), Some(0)));
    assert_eq!(bins(region(-0.1, 19.9, 149.9)), (Some(-1), Some(4), Some(0)));
    assert_eq!(bins(region(-4.0, 4.0, 150.0)), (Some(-1), Some(1), Some(1)));
    // 100 · 1.5² = 225 and 100 · 1.5⁵ = 759.375.
    assert_eq!(region(0.0, 20.0, 225.0).rain, Some(2));
    assert_eq!(region(0.0, 20.0, 759.3).rain, Some(4));
    assert_eq!(region(0.0, 20.0, 759.4).rain, Some(5));
    assert_eq!(bins(region(-60.0, -50.0, 0.0)), (Some(-15), Some(limits::HOTTEST.0), Some(0)));
}

#[test]
fn midpoints_lie_in_the_middle_of_the_bins() {
    let middle = region(1.0, 18.0, 600.0).midpoints();
    assert_eq!((middle.coldest, middle.hottest, middle.zone), (Some(2.0), Some(18.0), None));
    let mm = middle.ln_rain.expect("rain is known").exp();
    assert!((mm - (506.25_f64 * 759.375).sqrt()).abs() < 1e-9, "{mm}");
    // Zone 8 spans 10 to 20 °F, so its middle is 15 °F = -9.44 °C.
    let zone = place(Climate::None, Some("8a")).region().midpoints().zone.expect("a zone");
    assert!((zone - -9.444).abs() < 1e-3, "{zone}");
}

/// Bounds of plant hardiness zones: 10 °F zones from −60 °F in halves of 5 °F.
#[test]
fn half_zones_by_fahrenheit_and_by_printed_celsius() {
    for step in 0..26 {
        let fahrenheit = -60.0 + 5.0 * f64::from(step);
        let by_fahrenheit = HalfZone::from_fahrenheit(fahrenheit);
        let printed = ((fahrenheit - 32.0) / 1.8 * 10.0).round() / 10.0;
        assert_eq!(HalfZone::from_celsius(printed), by_fahrenheit, "{fahrenheit} °F");
        assert_eq!(by_fahrenheit.to_string().parse(), Ok(by_fahrenheit));
    }
    assert_eq!(HalfZone::from_celsius(-9.4).to_string(), "8b");
    assert_eq!(HalfZone::from_celsius(-9.5).to_string(), "8a");
    assert_eq!(HalfZone::from_celsius(-80.0).to_string(), "1a");
    assert_eq!(HalfZone::from_celsius(30.0).to_string(), "13b");
    assert!(["", "8", "0a", "14a", "8c", "b", "+8b"].iter().all(|wrong| wrong.parse::<HalfZone>().is_err()));
}

#[test]
fn seasons_move_six_months_in_the_south() {
    let day = |text: &str| text.parse::<Date>().expect("a day");
    assert_eq!(season(day("2026-06-06"), Hemisphere::North).to_string(), "2026-06");
    assert_eq!(season(day("2026-12-31"), Hemisphere::South).to_string(), "2027-06");
}

#[test]
fn impossible_climates_are_named() {
    let twelve = Climate::Twelve { temperature: [72.0; 12], rain: [50.0; 12] };
    assert_eq!(
        twelve.check().expect_err("72 °C").to_string(),
        "a month's temperature 72 is not from -60 to 45"
    );
    let swapped = Climate::Six {
        coldest: 20.0,
        hottest: 1.0,
        rain: 600.0,
        summer_share: 0.5,
        driest_summer: 0.0,
        driest_winter: 0.0,
    };
    assert!(swapped.check().expect_err("swapped").to_string().starts_with("hottest month"));
    let nan = Climate::Twelve { temperature: [f64::NAN; 12], rain: [50.0; 12] };
    assert!(nan.check().is_err());
}
