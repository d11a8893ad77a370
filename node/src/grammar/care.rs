//! Care of a spot as typed: which kind, and how often or how much.

use propagule_protocol::FacetError;
use propagule_protocol::vocab::Measure;

use propagule_bench::spot::{Care, CareFault, Mist, read_light};

/// Kinds of care by the word that they are typed with, and how each can be written.
pub(crate) const KINDS: [(&str, &[&str]); 8] = [
    ("mist", &["8 s every 4 min 07:00-20:00"]),
    ("shade", &["40 % blocked", "60 % let through"]),
    ("heat", &["22", "72F"]),
    ("measured", &["21", "70F"]),
    ("water", &["every 2 days"]),
    ("feed", &["half strength"]),
    ("spray", &["what was sprayed"]),
    ("vents", &["open by day"]),
];

/// How care of a kind can be written.
pub(crate) fn ways(kind: &str) -> &'static [&'static str] {
    KINDS.iter().find(|(known, _)| *known == kind).map_or(&[], |(_, ways)| ways)
}

/// Reads care of a kind.
///
/// # Errors
/// A kind that there is not, or what is not understood of it.
pub(crate) fn read(kind: &str, text: &str) -> Result<Care, CareFault> {
    let text = text.trim();
    if text.is_empty() {
        return Err(CareFault::Empty);
    }
    let words = text.to_owned();
    Ok(match kind {
        "mist" => Care::Mist(Mist::read(text)?),
        "shade" => Care::Light { let_through: read_light(text)? },
        "heat" => Care::Heat { set: Some(celsius(text)?), measured: None },
        "measured" => Care::Heat { set: None, measured: Some(celsius(text)?) },
        "water" => Care::Water { words },
        "feed" => Care::Feed { words },
        "spray" => Care::Spray { words },
        "vents" => Care::Vents { words },
        _ => return Err(CareFault::KindUnknown),
    })
}

fn celsius(text: &str) -> Result<i8, CareFault> {
    let no_temperature = |error: FacetError| CareFault::NotATemperature { why: error.to_string() };
    let reading = Measure::MediumTemperature.read(text).map_err(no_temperature)?;
    Ok(reading.value.round() as i8)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_is_read_as_it_is_shown_and_none_without_words() {
        for (kind, ways) in KINDS {
            for way in ways {
                let care = read(kind, way).unwrap_or_else(|fault| panic!("{kind}: {fault:?}"));
                assert!(!care.to_string().is_empty() && !care.word().is_empty());
            }
            assert_eq!(read(kind, " "), Err(CareFault::Empty));
        }
        assert_eq!(read("musik", "loud"), Err(CareFault::KindUnknown));
    }

    #[test]
    fn heat_is_set_or_measured() {
        assert_eq!(read("heat", "72F"), Ok(Care::Heat { set: Some(22), measured: None }));
        assert_eq!(read("measured", "21"), Ok(Care::Heat { set: None, measured: Some(21) }));
        assert!(read("heat", "hot").is_err());
    }
}
