//! What to do now, as the page says it: a fault leads to the page that mends it, and an option is named by its field.

use propagule_files::fault::Fault;

use crate::document::{Document, Phrase};
use crate::fault;
use crate::outcome::command::ending_in_command;

/// A page that mends a fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mends {
    /// Where one grows.
    Site,
    /// Benches, beds and houses.
    Benches,
    /// Stock plants.
    StockPlants,
}

/// Faults whose own hint is a command that a page of its own stands for.
const PAGES: &[(&str, Mends, &str)] = &[
    ("place-unknown", Mends::Site, "Describe your site: zone and hemisphere are enough."),
    ("place-not-described", Mends::Site, "Describe your site: zone and hemisphere are enough."),
    ("place-missing", Mends::Site, "Describe your site: zone and hemisphere are enough."),
    ("spot-unknown", Mends::Benches, "Add the bench first."),
    ("stock-plant-unknown", Mends::StockPlants, "Add the stock plant first."),
];

/// Hints that name an option, by the field that the page has for it.
const FIELDS: &[(&str, &str)] = &[
    ("say-what-became-of-the-rest", "Say what became of the rest."),
    ("order-of-days", "Say below which comes first, the day or the month."),
    ("order-of-months", "Say below which comes first, the day or the month."),
    ("order-and-year-of-days", "Say below which comes first, and write the year too."),
    ("year-of-days", "Write the year too."),
    ("rest-of-a-table", "Say what became of the rest."),
    ("year-of-the-table", "Write the year too."),
    ("dates-of-the-table", "Say below which comes first, the day or the month."),
    ("dates-and-year-of-the-table", "Say below which comes first, and write the year too."),
];

/// What to do now, on the page; `address` says where a page is.
pub fn on_page(failure: &Fault, address: impl Fn(Mends) -> &'static str) -> Document {
    if let Some((_, mends, words)) = PAGES.iter().find(|(code, ..)| failure.code == **code) {
        let near =
            fault::hints(failure).into_iter().filter(|_| !failure.near.is_empty()).map(|hint| said(&hint));
        return Document::new().each(near, Document::say).say(Phrase::new().link(*words, address(*mends)));
    }
    let by_field = |code: &str| FIELDS.iter().find(|(known, _)| *known == code).map(|(_, words)| *words);
    let of_problems = failure.problems.iter().flat_map(|problem| &problem.fault.hints);
    let mut named: Vec<&str> =
        failure.hints.iter().chain(of_problems).filter_map(|code| by_field(code)).collect();
    named.dedup();
    let replaced: Vec<&str> = FIELDS.iter().filter_map(|(code, _)| fault::named_hint(code)).collect();
    let others = fault::hints(failure).into_iter().filter(|hint| !replaced.contains(&hint.as_str()));
    Document::new().each(named, Document::say).each(others, |document, hint| document.say(said(&hint)))
}

/// A hint as it is; where it is a command or names an option, it says that the terminal has it.
fn said(hint: &str) -> Phrase {
    let hint = crate::screens::plain(hint);
    if hint.starts_with("propagule ") || hint.contains("--") && !hint.contains(": propagule ") {
        Phrase::from("In the terminal: ").code(hint)
    } else {
        ending_in_command(&hint)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::html;

    fn shown(fault: &Fault) -> String {
        let address = |mends| match mends {
            Mends::Site => "/site",
            Mends::Benches => "/benches",
            Mends::StockPlants => "/stock",
        };
        html::render(&on_page(fault, address)).into_string()
    }

    #[test]
    fn a_fault_leads_to_the_page_that_mends_it() {
        let said = shown(&Fault::user("place-missing"));
        assert!(said.contains("href=\"/site\"") && !said.contains("propagule "), "{said}");
        let said = shown(&Fault::user("spot-unknown").with("name", "shed").near(&["shade".to_owned()]));
        assert!(said.contains("did you mean shade?") && said.contains("href=\"/benches\""), "{said}");
    }

    #[test]
    fn an_option_is_named_by_its_field_and_a_command_stays_one() {
        let said = shown(&Fault::user("page-sheet-empty").hint_named("say-what-became-of-the-rest"));
        assert!(said.starts_with("<p>Say what became of the rest.</p>") && !said.contains("--"), "{said}");
        let said = shown(&Fault::user("spot-empty").with("spot", "shed"));
        assert!(said.contains("<code>propagule bench shed --trials CODE,CODE</code>"), "{said}");
    }

    #[test]
    fn every_fault_and_hint_that_it_replaces_is_one() {
        for (code, ..) in PAGES {
            assert!(fault::of(code).is_some(), "{code}");
        }
        for (code, _) in FIELDS {
            assert!(fault::named_hint(code).is_some(), "{code}");
        }
    }
}
