//! A detail that is typed without its name, as one speaks: `IBA 3000 ppm`, `softwood`, `hoop house`.

use propagule_app::{Hearing, give_facet};
use propagule_bench::given::FacetsGiven;
use propagule_files::fault::Fault;
use propagule_protocol::Facet;

/// The one detail whose words these are. Where they are those of none or of several, the name has to be typed, and
/// `refused` says so with the names that it could be.
pub(super) fn facet(hearing: Hearing, words: &str, refused: Fault) -> Result<Facet, Fault> {
    let of: Vec<Facet> = Facet::ALL.into_iter().filter(|facet| is_of(hearing, *facet, words)).collect();
    match of.as_slice() {
        [facet] => Ok(*facet),
        several => {
            let named = |facet: &Facet| {
                let name = facet.also_called().first().copied().unwrap_or(facet.name());
                format!("{}={words}", name.replace('_', " "))
            };
            Err(refused.near(&several.iter().map(named).collect::<Vec<_>>()))
        }
    }
}

/// Whether a detail understands the words. A figure alone could be of anything, and a cultivar may be called anything.
fn is_of(hearing: Hearing, facet: Facet, words: &str) -> bool {
    let is_worded = facet != Facet::Cultivar && words.chars().any(char::is_alphabetic);
    is_worded && give_facet(&mut FacetsGiven::default(), hearing, facet, words).is_ok()
}

#[cfg(test)]
mod tests {
    use propagule_bench::doing::Doing;
    use propagule_bench::locale::Dialect;

    use super::*;

    fn read(words: &str) -> Result<Facet, Fault> {
        let hearing = Hearing { what: Doing::SettingUp, dialect: Dialect::Us };
        let what = hearing.what;
        facet(hearing, words, Fault::user("arm-part-without-equals").with("what", what).with("text", words))
    }

    #[test]
    fn words_of_one_detail_need_no_name() {
        for (words, facet) in [
            ("IBA 3000 ppm, 5 s", Facet::Auxin),
            ("no hormone", Facet::Auxin),
            ("semi-hardwood", Facet::Wood),
            ("hoop house", Facet::GrowingPlace),
            ("humidity dome", Facet::Humidity),
            ("potting mix", Facet::Medium),
            ("72 cell", Facet::Container),
            ("stem cutting", Facet::Kind),
            ("heel", Facet::Form),
            ("bottom heat 21 C", Facet::BottomHeat),
        ] {
            assert_eq!(read(words), Ok(facet), "{words}");
        }
    }

    #[test]
    fn words_of_several_details_are_asked_and_those_of_none_are_refused() {
        let asked = read("none").expect_err("a no to what?");
        assert!(asked.near.iter().any(|name| name == "hormone=none"), "{:?}", asked.near);
        for of_none in ["blue", "30", "clean"] {
            assert!(read(of_none).expect_err("nothing is said").near.is_empty(), "{of_none}");
        }
    }
}
