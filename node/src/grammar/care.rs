//! Care of a spot as typed: which kind, and how often or how much.

use propagule_protocol::vocab::Measure;

use propagule_bench::spot::{Care, Mist, read_light};
use propagule_bench::typed::TypedFault;

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

/// Reads care of a kind; how it can be written is the hint of what is not understood.
///
/// # Errors
/// A kind that there is not, or what is not understood of it.
pub(crate) fn read(kind: &str, text: &str) -> Result<Care, TypedFault> {
    understood(kind, text.trim()).map_err(|why| {
        let ways = KINDS.iter().find(|(known, _)| *known == kind).map_or(&[][..], |(_, ways)| ways);
        ways.iter().fold(TypedFault::new(text, why), |fault, way| fault.hint(*way))
    })
}

fn understood(kind: &str, text: &str) -> Result<Care, String> {
    if text.is_empty() {
        return Err("nothing is written down of it".to_owned());
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
        _ => return Err(format!("there is no care of the kind {kind}")),
    })
}

fn celsius(text: &str) -> Result<i8, String> {
    let reading = Measure::MediumTemperature.read(text).map_err(|e| e.to_string())?;
    Ok(reading.value.round() as i8)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_is_read_as_it_is_shown_and_none_without_words() {
        for (kind, ways) in KINDS {
            for way in ways {
                let care = read(kind, way).unwrap_or_else(|fault| panic!("{kind}: {fault}"));
                assert!(!care.to_string().is_empty() && !care.word().is_empty());
            }
            assert_eq!(read(kind, " ").expect_err("nothing").hints, *ways);
        }
        assert!(read("musik", "loud").expect_err("no such kind").why.contains("musik"));
    }

    #[test]
    fn heat_is_set_or_measured() {
        assert_eq!(read("heat", "72F"), Ok(Care::Heat { set: Some(22), measured: None }));
        assert_eq!(read("measured", "21"), Ok(Care::Heat { set: None, measured: Some(21) }));
        assert!(read("heat", "hot").is_err());
    }
}
