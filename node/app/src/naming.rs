//! Plant names as growers type them: what was understood is said before anything is saved.

use propagule_protocol::{Note, Taxon, names};

use super::outcome::plant::NameTaken;
use propagule_bench::doing::Doing;
use propagule_files::fault::Fault;

/// A name that was taken.
#[derive(Clone, Debug)]
pub(super) struct Named {
    /// As it will be shown and published.
    pub(super) taxon: Taxon,
    /// What was changed or left out on the way; empty for most names.
    pub(super) notes: Vec<Note>,
}

impl Named {
    /// What was understood; none where the name was taken as typed.
    pub(super) fn taken(&self) -> Option<NameTaken> {
        let taken = || NameTaken { name: self.taxon.to_string(), notes: self.notes.clone() };
        (!self.notes.is_empty()).then(taken)
    }
}

/// Reads a plant name at any door; with `yes` also one of which more is left out than goes without saying.
pub(super) fn read(what: Doing, typed: &str, yes: bool) -> Result<Named, Fault> {
    let noting = Taxon::parse_noting(typed);
    let notes: Vec<String> = noting.notes.iter().map(ToString::to_string).collect();
    let said = notes.join("; ");
    let needs_yes = noting.needs_yes();
    let Some(taxon) = noting.taxon else {
        return Err(Fault::user("plant-name-malformed")
            .with("what", what)
            .with("typed", typed)
            .with("said", &said)
            .near(&noting.offers));
    };
    if needs_yes && !yes {
        return Err(Fault::user("plant-name-needs-yes")
            .with("what", what)
            .with("typed", typed)
            .with("taxon", &taxon)
            .with("said", &said)
            .near(&names::suggest(typed).into_iter().map(str::to_owned).collect::<Vec<_>>()));
    }
    Ok(Named { taxon, notes: noting.notes })
}

/// The name as typed, where it is not as it is shown.
pub(super) fn species_typed(typed: &str, named: &Named) -> Option<String> {
    (typed.trim() != named.taxon.to_string()).then(|| typed.trim().to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_left_out_needs_a_yes_and_is_said() {
        let dropped = "Morus nigra bought 2019";
        let asked = read(Doing::SettingUp, dropped, false).expect_err("asked");
        assert_eq!(
            (asked.code.as_ref(), asked.params["taxon"].as_str()),
            ("plant-name-needs-yes", "Morus nigra")
        );
        let taken = read(Doing::SettingUp, dropped, true).expect("taken");
        let notes = vec![Note::Dropped("bought 2019".to_owned())];
        assert_eq!(taken.taken(), Some(NameTaken { name: "Morus nigra".to_owned(), notes }));
        assert_eq!(read(Doing::SettingUp, "morus nigra", false).expect("taken").taken(), None);
        assert!(read(Doing::SettingUp, "Total", true).is_err(), "a yes does not make a plant of a total");
    }

    #[test]
    fn a_common_name_offers_what_it_may_be() {
        let asked = read(Doing::SettingUp, "mulberry", true).expect_err("which one?");
        assert!(asked.near.iter().any(|name| name == "Morus nigra"), "{asked}");
    }
}
