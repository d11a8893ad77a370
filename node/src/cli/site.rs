//! `propagule site`

use clap::{Args, ValueEnum};
use propagule_protocol::place::{Climate, HalfZone, Hemisphere, Place};

use super::{Context, ask};
use propagule_app::Request;
use propagule_files::fault::Fault;
use propagule_present::words::counted;

#[derive(Debug, Args)]
pub(crate) struct SiteArgs {
    #[arg(default_value = "home")]
    name: String,
    #[arg(long, value_enum)]
    hemisphere: Option<Half>,
    #[arg(long, allow_hyphen_values = true, value_name = "DEGREES")]
    latitude: Option<f64>,
    #[arg(long, allow_hyphen_values = true, value_name = "ZONE|NIGHT")]
    zone: Option<String>,
    #[arg(long, value_delimiter = ',', allow_hyphen_values = true, value_name = "T,T,…")]
    temperature: Vec<String>,
    #[arg(
        long, value_delimiter = ',', allow_hyphen_values = true, value_name = "T,T,RAIN,SHARE,RAIN,RAIN",
        conflicts_with_all = ["temperature", "rain"]
    )]
    six: Vec<String>,
    #[arg(long, value_delimiter = ',', value_name = "MM,MM,…")]
    rain: Vec<String>,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Half {
    North,
    South,
}

pub(super) async fn cmd_site(context: &Context, args: SiteArgs) -> Result<(), Fault> {
    let is_question = args.hemisphere.is_none()
        && args.latitude.is_none()
        && args.zone.is_none()
        && args.temperature.is_empty()
        && args.six.is_empty()
        && args.rain.is_empty();
    if is_question {
        return ask::show(context, Request::PlaceShow).await;
    }
    let place = place(&args)?;
    ask::show(context, Request::PlaceSet { name: args.name, place, latitude: args.latitude }).await
}

/// The half of the earth, as said or by the latitude.
fn hemisphere(args: &SiteArgs) -> Result<Hemisphere, Fault> {
    let by_latitude = args.latitude.map(|degrees| {
        if !(-90.0..=90.0).contains(&degrees) {
            return Err(Fault::usage("latitude-out-of-range").with("degrees", degrees));
        }
        Ok(if degrees < 0.0 { Hemisphere::South } else { Hemisphere::North })
    });
    let said = args.hemisphere.map(|half| match half {
        Half::North => Hemisphere::North,
        Half::South => Hemisphere::South,
    });
    match (said, by_latitude.transpose()?) {
        (Some(said), Some(other)) if said != other => {
            let latitude = args.latitude.unwrap_or_default();
            Err(Fault::usage("latitude-contradicts-hemisphere").with("latitude", latitude))
        }
        (Some(half), _) | (None, Some(half)) => Ok(half),
        (None, None) => Err(Fault::usage("hemisphere-missing")),
    }
}

fn place(args: &SiteArgs) -> Result<Place, Fault> {
    let zone = args.zone.as_deref().map(zone).transpose()?;
    Ok(Place { hemisphere: hemisphere(args)?, climate: climate(args)?, zone })
}

/// The coldest nights of normal winters in °F, from the coldest zone to above the warmest.
const WINTERS: std::ops::RangeInclusive<f64> = -60.0..=75.0;

/// A zone as `8b`, or by the coldest night of a normal winter with its unit.
fn zone(text: &str) -> Result<HalfZone, Fault> {
    let malformed = match text.parse::<HalfZone>() {
        Ok(zone) => return Ok(zone),
        Err(error) => Fault::usage("half-zone-malformed").with("error", &error),
    };
    let typed = text.trim().replace('\u{2212}', "-");
    let end = typed.find(|c: char| !(c.is_ascii_digit() || "+-.".contains(c))).unwrap_or(typed.len());
    let Ok(number) = typed[..end].parse::<f64>() else { return Err(malformed) };
    // `8c` may be a zone with a slip in its half, or a night in °C.
    let may_be_a_zone = number.fract() == 0.0 && (1.0..=13.0).contains(&number) && typed[end..] == *"c";
    if may_be_a_zone {
        return Err(Fault::usage("zone-or-celsius").with("number", number).with("text", &typed));
    }
    let fahrenheit = match typed[end..].trim().trim_start_matches('\u{b0}').to_lowercase().as_str() {
        "f" => number,
        "c" => number * 1.8 + 32.0,
        // `8` may be a zone that lacks its half, or a night that lacks its unit; neither is guessed.
        "" => {
            let of = |fahrenheit: f64| HalfZone::from_fahrenheit(fahrenheit);
            return Err(Fault::usage("winter-without-unit")
                .with("text", &typed)
                .with("by_fahrenheit", of(number))
                .with("by_celsius", of(number * 1.8 + 32.0)));
        }
        _ => return Err(malformed),
    };
    if !WINTERS.contains(&fahrenheit) {
        return Err(Fault::usage("winter-out-of-range").with("text", &typed));
    }
    Ok(HalfZone::from_fahrenheit(fahrenheit))
}

fn climate(args: &SiteArgs) -> Result<Climate, Fault> {
    let SiteArgs { temperature, rain, six, .. } = args;
    if !six.is_empty() {
        return six_numbers(six);
    }
    if temperature.is_empty() && rain.is_empty() {
        return Ok(Climate::None);
    }
    let temperature = months("temperature", temperature, celsius)?;
    let rain = months("rain", rain, millimetres)?;
    Ok(Climate::Twelve { temperature, rain })
}

fn celsius(number: f64, unit: &str) -> Option<f64> {
    match unit.to_lowercase().as_str() {
        "" | "c" | "°c" => Some(number),
        "f" | "°f" => Some((number - 32.0) / 1.8),
        _ => None,
    }
}

fn millimetres(number: f64, unit: &str) -> Option<f64> {
    match unit.to_lowercase().as_str() {
        "" | "mm" => Some(number),
        "in" | "inches" => Some(number * 25.4),
        _ => None,
    }
}

fn share(number: f64, unit: &str) -> Option<f64> {
    (unit.is_empty() || unit == "%").then_some(number / 100.0)
}

/// A number with its unit.
fn quantity(option: &str, text: &str, convert: impl Fn(f64, &str) -> Option<f64>) -> Result<f64, Fault> {
    let text = text.trim();
    let end = text.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-')).unwrap_or(text.len());
    let number: Option<f64> = text[..end].parse().ok();
    number
        .and_then(|number| convert(number, text[end..].trim()))
        .ok_or_else(|| Fault::usage("unit-not-understood").with("option", option).with("text", text))
}

fn six_numbers(typed: &[String]) -> Result<Climate, Fault> {
    let [coldest, hottest, rain, summer, driest_summer, driest_winter] = typed else {
        return Err(Fault::usage("six-values-needed").with("len", typed.len()));
    };
    Ok(Climate::Six {
        coldest: quantity("six", coldest, celsius)?,
        hottest: quantity("six", hottest, celsius)?,
        rain: quantity("six", rain, millimetres)?,
        summer_share: quantity("six", summer, share)?,
        driest_summer: quantity("six", driest_summer, millimetres)?,
        driest_winter: quantity("six", driest_winter, millimetres)?,
    })
}

fn months(
    what: &str,
    typed: &[String],
    convert: impl Fn(f64, &str) -> Option<f64>,
) -> Result<[f64; 12], Fault> {
    let numbers: Vec<f64> =
        typed.iter().map(|text| quantity(what, text, &convert)).collect::<Result<_, _>>()?;
    let given = counted(numbers.len(), "number", "numbers");
    numbers
        .try_into()
        .map_err(|_| Fault::usage("twelve-months-needed").with("what", what).with("given", &given))
}

#[cfg(test)]
mod tests {
    use super::zone;

    #[test]
    fn a_zone_is_its_name_or_the_coldest_night_with_its_unit() {
        // USDA half-zones are steps of 5 °F from -60 °F: 8b is 15 to 20 °F (-9.4 to -6.7 °C).
        for (typed, of) in [
            ("8b", "8b"),
            ("15 F", "8b"),
            ("19.9F", "8b"),
            ("20 f", "9a"),
            ("-9 C", "8b"),
            ("\u{2212}9 \u{b0}C", "8b"),
            ("-60 F", "1a"),
        ] {
            assert_eq!(zone(typed).map(|zone| zone.to_string()), Ok(of.to_owned()), "{typed}");
        }
        let code = |text: &str| zone(text).expect_err(text).code.to_string();
        assert!(["8", "-9"].iter().all(|text| code(text) == "winter-without-unit"));
        assert!(["8c", "13c"].iter().all(|text| code(text) == "zone-or-celsius"));
        assert!(["150 F", "-70 C"].iter().all(|text| code(text) == "winter-out-of-range"));
        assert!(["14a", "cold", "9 K"].iter().all(|text| code(text) == "half-zone-malformed"));
    }
}
