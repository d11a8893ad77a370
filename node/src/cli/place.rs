//! `propagule place`

use clap::{Args, ValueEnum};
use propagule_protocol::place::{Climate, HalfZone, Hemisphere, Place};

use super::{Context, ask};
use propagule_app::Request;
use propagule_files::fault::Fault;
use propagule_present::words::counted;

/// Describe where you grow, or show it; only a coarse region is ever published
///
/// Examples:
///   propagule place --zone 8b --hemisphere north
///   propagule place garden --zone 8b --hemisphere north \
///     --temperature 5,5,7,9,13,16,18,18,15,12,8,5 --rain 80,60,60,50,55,55,50,60,60,80,85,85
///   propagule place garden --zone 9a --latitude -37.5
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct PlaceArgs {
    /// Your own name for the place
    #[arg(default_value = "home")]
    name: String,
    /// Half of the earth: it sets the season
    #[arg(long, value_enum)]
    hemisphere: Option<Half>,
    /// Latitude in degrees, south negative: sets the hemisphere and shows the day length; it is not kept
    #[arg(long, allow_hyphen_values = true, value_name = "DEGREES")]
    latitude: Option<f64>,
    /// Hardiness zone or half-zone, such as 8b
    #[arg(long)]
    zone: Option<String>,
    /// Mean temperature of the twelve months from January, °C (or 41F)
    #[arg(long, value_delimiter = ',', allow_hyphen_values = true, value_name = "T,T,…")]
    temperature: Vec<String>,
    /// Six numbers instead of twelve months: mean of the coldest and of the hottest month (°C, or 41F), rain of a year
    /// (mm, or 30in), its share in the warm half of the year (%), rain of the driest month of the warm half and of the
    /// cold half
    #[arg(
        long, value_delimiter = ',', allow_hyphen_values = true, value_name = "T,T,RAIN,SHARE,RAIN,RAIN",
        conflicts_with_all = ["temperature", "rain"]
    )]
    six: Vec<String>,
    /// Rain of the twelve months from January, mm (or 3in)
    #[arg(long, value_delimiter = ',', value_name = "MM,MM,…")]
    rain: Vec<String>,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Half {
    North,
    South,
}

pub(super) async fn cmd_place(context: &Context, args: PlaceArgs) -> Result<(), Fault> {
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
fn hemisphere(args: &PlaceArgs) -> Result<Hemisphere, Fault> {
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

fn place(args: &PlaceArgs) -> Result<Place, Fault> {
    let zone = args.zone.as_deref().map(|text| {
        text.parse::<HalfZone>().map_err(|e| Fault::usage("half-zone-malformed").with("error", &e))
    });
    Ok(Place { hemisphere: hemisphere(args)?, climate: climate(args)?, zone: zone.transpose()? })
}

fn climate(args: &PlaceArgs) -> Result<Climate, Fault> {
    let PlaceArgs { temperature, rain, six, .. } = args;
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
    match unit {
        "" | "C" | "°C" => Some(number),
        "F" | "°F" => Some((number - 32.0) / 1.8),
        _ => None,
    }
}

fn millimetres(number: f64, unit: &str) -> Option<f64> {
    match unit {
        "" | "mm" => Some(number),
        "in" => Some(number * 25.4),
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
