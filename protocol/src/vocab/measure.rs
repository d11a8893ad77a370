//! Measures of the bench: units, hard limits that are refused, usual ranges that are asked about.
//!
//! Ranges follow the trade notes of this project (common practice and the trials cited there); records carry
//! none of these numbers but through facets.

use super::FacetError;
use super::quantity::{leading_number, shown};

/// A measured quantity.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Measure {
    /// Seconds in a quick dip.
    QuickDip,
    /// Hours in a long soak.
    Soak,
    /// Per cent of alcohol in a dip, by volume.
    Alcohol,
    /// Temperature of the medium in °C.
    MediumTemperature,
    /// Seconds of mist.
    MistOn,
    /// Minutes between two mists.
    MistInterval,
    /// Per cent of light blocked.
    Shade,
    /// Relative humidity under cover in per cent.
    RelativeHumidity,
    /// Air-filled porosity of the medium in per cent.
    AirPorosity,
    /// Length of a cutting in cm.
    CuttingLength,
    /// Diameter of a cutting, scion or stock in mm.
    Diameter,
    /// Age of the stock plant in years.
    StockAge,
    /// Weeks from starting to lift.
    WeeksToLift,
    /// Weeks of warm or cold stratification.
    Stratification,
    /// Temperature of stratification in °C.
    StratificationTemperature,
    /// Pieces in a replicate.
    ReplicateSize,
    /// Temperature at a graft union while it heals, in °C.
    GraftHealing,
}

/// What holds of a measure.
struct Row {
    name: &'static str,
    unit: &'static str,
    hard: (f64, f64),
    usual: (f64, f64),
}

/// A number in its unit, and whether it is unusual.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// In the unit of the measure.
    pub value: f64,
    /// A question to ask when the value is unusual.
    pub question: Option<String>,
}

impl Measure {
    fn row(self) -> Row {
        let row = |name, unit, hard, usual| Row { name, unit, hard, usual };
        match self {
            Self::QuickDip => row("quick dip", "s", (0.5, 120.0), (1.0, 30.0)),
            Self::Soak => row("soak", "h", (0.1, 72.0), (2.0, 24.0)),
            Self::Alcohol => row("alcohol", "%", (0.0, 100.0), (0.0, 50.0)),
            Self::MediumTemperature => row("medium temperature", "°C", (-5.0, 40.0), (15.0, 27.0)),
            Self::MistOn => row("mist on", "s", (0.5, 120.0), (2.0, 15.0)),
            Self::MistInterval => row("mist interval", "min", (0.2, 240.0), (2.0, 30.0)),
            Self::Shade => row("shade", "%", (0.0, 98.0), (30.0, 80.0)),
            Self::RelativeHumidity => row("relative humidity", "%", (0.0, 100.0), (70.0, 100.0)),
            Self::AirPorosity => row("air-filled porosity", "%", (0.0, 80.0), (15.0, 45.0)),
            Self::CuttingLength => row("cutting length", "cm", (0.5, 200.0), (3.0, 30.0)),
            Self::Diameter => row("diameter", "mm", (0.5, 60.0), (2.0, 15.0)),
            Self::StockAge => row("stock age", "years", (0.0, 1000.0), (0.0, 60.0)),
            Self::WeeksToLift => row("weeks to lift", "weeks", (0.0, 104.0), (3.0, 20.0)),
            Self::Stratification => row("stratification", "weeks", (0.0, 104.0), (0.0, 40.0)),
            Self::StratificationTemperature => {
                row("stratification temperature", "°C", (-2.0, 35.0), (1.0, 30.0))
            }
            Self::ReplicateSize => row("pieces in a replicate", "", (1.0, 10_000.0), (5.0, 100.0)),
            Self::GraftHealing => row("graft healing temperature", "°C", (0.0, 35.0), (18.0, 29.0)),
        }
    }

    /// Unit in which the measure is kept.
    pub fn unit(self) -> &'static str {
        self.row().unit
    }

    /// Reads a number with or without its unit; other units of the same kind are converted.
    pub fn read(self, text: &str) -> Result<Reading, FacetError> {
        let Row { name, unit, hard, usual } = self.row();
        let refused = |why: String, suggestions: Vec<String>| FacetError {
            field: name,
            value: text.trim().to_owned(),
            why,
            suggestions,
        };
        let (number, typed) =
            leading_number(text).ok_or_else(|| refused("not a number".to_owned(), Vec::new()))?;
        let value = converted(number, typed, unit)
            .ok_or_else(|| refused(format!("`{typed}` is not a unit here, use {unit}"), Vec::new()))?;
        if !(hard.0..=hard.1).contains(&value) {
            let suggestions = other_unit(number, typed, unit, usual).into_iter().collect();
            return Err(refused(
                format!("not from {} to {} {unit}", hard.0, hard.1).trim_end().to_owned(),
                suggestions,
            ));
        }
        Ok(Reading { value, question: question(name, value, unit, usual) })
    }
}

fn question(name: &str, value: f64, unit: &str, (low, high): (f64, f64)) -> Option<String> {
    let is_usual = (low..=high).contains(&value);
    let text = || format!("{name} {} {unit}: {low} to {high} {unit} is usual; is it a slip?", shown(value));
    (!is_usual).then(text)
}

/// The number in `unit`; `None` for a unit of another kind.
#[expect(clippy::match_same_arms, reason = "one row for each kind of unit")]
fn converted(number: f64, typed: &str, unit: &str) -> Option<f64> {
    let typed = typed.trim_start_matches(['°', 'º']).trim_end_matches('.').to_lowercase();
    let factor = match (unit.trim_start_matches('°'), typed.as_str()) {
        (_, "") => 1.0,
        ("C", "f") => return Some((number - 32.0) / 1.8),
        ("C", "c") | ("%", "%" | "per cent" | "percent") => 1.0,
        ("s", "s" | "sec" | "secs" | "seconds") | ("min", "min" | "mins" | "minutes") => 1.0,
        ("h", "h" | "hr" | "hours" | "hour") | ("cm", "cm") | ("mm", "mm") => 1.0,
        ("min", "h" | "hours" | "hour" | "hr") => 60.0,
        ("s", "min" | "mins" | "minutes") => 60.0,
        ("min", "s" | "sec" | "secs" | "seconds") | ("h", "min" | "mins" | "minutes") => 1.0 / 60.0,
        ("h", "d" | "day" | "days") => 24.0,
        ("cm", "mm") => 0.1,
        ("mm", "cm") => 10.0,
        ("cm", "in" | "inch" | "inches" | "\"") => 2.54,
        ("mm", "in" | "inch" | "inches" | "\"") => 25.4,
        ("weeks", "wk" | "wks" | "w" | "week" | "weeks")
        | ("years", "y" | "yr" | "yrs" | "year" | "years") => 1.0,
        ("weeks", "d" | "day" | "days") => 1.0 / 7.0,
        ("years", "month" | "months") => 1.0 / 12.0,
        _ => return None,
    };
    Some(number * factor)
}

/// For a bare number that would be usual in the other common unit.
fn other_unit(number: f64, typed: &str, unit: &str, usual: (f64, f64)) -> Option<String> {
    let other = match unit {
        "°C" => "°F",
        "min" => "s",
        "mm" | "cm" => "in",
        _ => return None,
    };
    let value = converted(number, other, unit)?;
    (typed.is_empty() && (usual.0..=usual.1).contains(&value)).then(|| format!("{} {other}", shown(number)))
}

#[cfg(test)]
mod tests {
    use super::Measure;

    #[test]
    fn units_are_converted() {
        // 1 in = 2.54 cm and °F = 1.8 °C + 32 by definition.
        for (measure, text, value) in [
            (Measure::MediumTemperature, "72 °F", 22.222_222),
            (Measure::MediumTemperature, "22", 22.0),
            (Measure::CuttingLength, "4 in", 10.16),
            (Measure::CuttingLength, "80 mm", 8.0),
            (Measure::Diameter, "0,8 cm", 8.0),
            (Measure::Soak, "1 day", 24.0),
            (Measure::Soak, "90 min", 1.5),
            (Measure::QuickDip, "1 min", 60.0),
            (Measure::MistInterval, "240 s", 4.0),
            (Measure::WeeksToLift, "84 days", 12.0),
            (Measure::Alcohol, "50 %", 50.0),
        ] {
            let read = measure.read(text).expect(text).value;
            assert!((read - value).abs() < 1e-5, "{text}: {read}");
        }
    }

    #[test]
    fn impossible_values_are_refused_with_the_unit_perhaps_meant() {
        let error = Measure::MediumTemperature.read("72").expect_err("too hot").to_string();
        assert_eq!(error, "medium temperature: `72`: not from -5 to 40 °C; did you mean 72 °F?");
        assert!(Measure::Shade.read("99 %").expect_err("dark").to_string().contains("not from 0 to 98 %"));
        assert!(Measure::CuttingLength.read("8 kg").expect_err("a weight").to_string().contains("use cm"));
        assert!(Measure::Soak.read("long").expect_err("no number").to_string().contains("not a number"));
    }

    #[test]
    fn unusual_values_are_asked_about() {
        let question = |measure: Measure, text| measure.read(text).expect(text).question;
        assert_eq!(question(Measure::QuickDip, "5 s"), None);
        let dip = question(Measure::QuickDip, "100 s").expect("unusual");
        assert_eq!(dip, "quick dip 100 s: 1 to 30 s is usual; is it a slip?");
        assert!(question(Measure::WeeksToLift, "30").is_some());
    }
}
