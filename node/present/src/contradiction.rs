//! Why counts and entries cannot be, in the words of the trial's kind, with what can be done.

use crate::kind::KindWords;
use crate::words::sentences::when;
use propagule_bench::{FateFault, Part, SeasonFault, Stage, Whole};

/// Why an entry cannot be, after those before it.
pub fn season(fault: &SeasonFault, words: &KindWords) -> String {
    match fault {
        SeasonFault::Fate(fault) => fate(fault, words),
        SeasonFault::Order { counted: (stage, on), before: (other, day) } => format!(
            "the {} on {} comes after the {} on {}, and is an earlier stage",
            words.name(*stage),
            when(words, on),
            words.name(*other),
            when(words, day)
        ),
        SeasonFault::Gone(place) => {
            format!("there is no {} any more", place.as_deref().unwrap_or("such treatment"))
        }
    }
}

/// Why a count cannot be.
pub fn fate(fault: &FateFault, words: &KindWords) -> String {
    match *fault {
        FateFault::Sum { alive, dead, lost, not_known, sum, base } => format!(
            "{alive} alive + {dead} dead + {lost} lost + {not_known} not seen = {sum}, but {base} were left at the last \
             count"
        ),
        FateFault::TooMany { part, count, of, whole } => {
            format!("{count} {}, but only {of} {}", self::part(part, words), self::whole(whole, words))
        }
        FateFault::Unaccounted { count, base } => {
            let is = if count == 1 { "is" } else { "are" };
            format!("{count} of {base} {is} not accounted for")
        }
        FateFault::GreenOnly { green, alive } => {
            format!("{green} {} of {alive} alive: say what the other {} are", words.green, alive - green)
        }
        FateFault::RootsGone { short, since } => {
            let before = since.map_or("before".to_owned(), |day| format!("on {}", when(words, &day)));
            format!("{short} fewer {} than {before}, and nothing died or left since", words.lead)
        }
    }
}

fn part(part: Part, words: &KindWords) -> String {
    match part {
        Part::Rooted => words.lead.to_owned(),
        Part::Green => words.green.to_owned(),
        Part::Callused => "callused".to_owned(),
        Part::Established => words.established.to_owned(),
        Part::Finished => "finished".to_owned(),
        Part::Left => "left".to_owned(),
        Part::FoundAlive => "found alive".to_owned(),
        Part::Living => "counted as alive".to_owned(),
        Part::GoneWith => format!("of them {}", words.lead),
        Part::GoneWithout => format!("of them gone {}", words.without()),
    }
}

fn whole(whole: Whole, words: &KindWords) -> String {
    match whole {
        Whole::Alive => "alive".to_owned(),
        Whole::Rooted => words.lead.to_owned(),
        Whole::Left => "left at the last count".to_owned(),
        Whole::WereAlive => "were alive at the last count".to_owned(),
        Whole::WereDead => "were dead".to_owned(),
        Whole::HadRoots => format!("living ones had {}", words.oked),
        Whole::HadNone => format!("living ones had not {}", words.oked),
    }
}

/// How the cell of a check is written.
pub fn cell(words: &KindWords) -> String {
    format!(
        "write 11, or 11r3 (3 of them {}), 8l2 (2 lost), 8d2 (2 died), 11! (found alive), = as before, . not checked",
        words.lead
    )
}

/// How the cell of a stage is written.
pub fn cell_at_a_stage(words: &KindWords) -> String {
    format!(
        "write how many {}, then others by letter: 4g1d1l1 is 4, 1 {}, 1 dead, 1 lost; . is not counted",
        words.ok,
        words.typed_green()
    )
}

/// What can be counted.
pub fn states(words: &KindWords) -> String {
    format!(
        "alive, {} ({}), dead, of-rooted (of the dead, those that had {}), lost, not-seen, found-alive, {}, callused, \
         {}, finished",
        words.typed_green(),
        words.green,
        words.oked,
        words.lead,
        words.established.replace(' ', "-")
    )
}

/// Marks that may be given, those about roots only where roots are looked for.
pub fn marks(all: &[&str], words: &KindWords) -> Vec<String> {
    let is_told = |mark: &&&str| words.has_roots() || !mark.starts_with("roots");
    all.iter().filter(is_told).map(|mark| words.typed_mark(mark)).collect()
}

/// What an entry was, by the word that the bench has for it.
pub fn entered(what: &str, kind: &KindWords) -> String {
    let stage = serde_json::from_value::<Stage>(serde_json::Value::String(what.to_owned()));
    match what {
        "looked" | "check" => "checked".to_owned(),
        "move" => "moved".to_owned(),
        "left" => "sold, given or planted out".to_owned(),
        "stood" => "put on a bench".to_owned(),
        "care" => "logged".to_owned(),
        "suckers" => "suckers removed".to_owned(),
        "wrap cut" => kind.trade("tape cut").to_owned(),
        other => stage.map_or_else(|_| other.to_owned(), |stage| kind.name(stage).to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use propagule_bench::dates::When;
    use propagule_bench::kind::Kind;

    #[test]
    fn a_fault_is_said_in_the_words_of_its_kind() {
        let gone =
            FateFault::RootsGone { short: 1, since: Some(When::day("2026-08-03".parse().expect("a day"))) };
        let said = |kind| fate(&gone, &KindWords::of(kind));
        assert_eq!(said(Kind::Cutting), "1 fewer rooted than on Aug 3, 2026, and nothing died or left since");
        assert!(said(Kind::Graft).starts_with("1 fewer taken than on"));
        assert!(said(Kind::Seed).starts_with("1 fewer germinated than on"));
        let green = FateFault::GreenOnly { green: 3, alive: 5 };
        let said = |kind| fate(&green, &KindWords::of(kind));
        assert_eq!(said(Kind::Cutting), "3 still green, not rooted of 5 alive: say what the other 2 are");
        assert_eq!(said(Kind::Seed), "3 still sound, not germinated of 5 alive: say what the other 2 are");
    }

    #[test]
    fn too_many_names_part_and_whole() {
        let graft = KindWords::of(Kind::Graft);
        let fault = |part, whole| fate(&FateFault::TooMany { part, count: 4, of: 0, whole }, &graft);
        assert_eq!(fault(Part::Rooted, Whole::Alive), "4 taken, but only 0 alive");
        assert_eq!(
            fault(Part::GoneWith, Whole::HadRoots),
            "4 of them taken, but only 0 living ones had taken"
        );
        assert_eq!(
            fault(Part::GoneWithout, Whole::HadNone),
            "4 of them gone before taking, but only 0 living ones had not taken"
        );
        assert_eq!(fault(Part::Left, Whole::WereAlive), "4 left, but only 0 were alive at the last count");
    }

    #[test]
    fn an_order_names_both_stages() {
        let day = |text: &str| When::day(text.parse().expect("a day"));
        let fault = SeasonFault::Order {
            counted: (Stage::Lift, day("2026-09-02")),
            before: (Stage::Spring, day("2026-09-01")),
        };
        let said = season(&fault, &KindWords::of(Kind::Graft));
        assert!(said.starts_with("the take count on Sep 2, 2026 comes after the spring count on"), "{said}");
    }

    #[test]
    fn what_can_be_typed_is_what_is_read() {
        assert!(cell(&KindWords::of(Kind::Seed)).contains("11r3 (3 of them germinated)"));
        assert!(cell_at_a_stage(&KindWords::of(Kind::Bud)).contains("1 undecided"));
        assert!(states(&KindWords::of(Kind::Division)).contains("those that had grown"));
        let marked = |kind| marks(&["yellow", "roots_at_hole"], &KindWords::of(kind));
        assert_eq!(marked(Kind::Cutting), ["yellow", "roots-showing"]);
        assert_eq!(marked(Kind::Bud), ["yellow"]);
    }

    /// Whatever a hint says may be counted is read, for each kind at each stage and in each dialect.
    #[test]
    fn each_word_that_a_hint_offers_is_read() {
        use propagule_bench::locale::Dialect;
        use propagule_bench::typed::tally::{MARKS, PlaceCount, read_more};
        use propagule_bench::{TrialUnits, UnitKey};

        for kind in Kind::ALL {
            for dialect in [Dialect::Us, Dialect::Uk, Dialect::Au] {
                let words = KindWords::of(kind).in_dialect_of(dialect);
                let offered = states(&words);
                let offered = offered
                    .split(", ")
                    .filter_map(|word| word.split(' ').next())
                    .filter(|word| !matches!(*word, "not" | "those"));
                for word in offered.map(str::to_owned).chain(marks(&MARKS, &words)) {
                    let word = word.trim_end_matches([')', ',']);
                    let mut count = PlaceCount::at(UnitKey { arm: 1, replicate: None });
                    let read = read_more(&mut count, &format!("{word}=1"), &TrialUnits::nowhere(), None);
                    assert!(read.is_ok(), "{kind:?}, {dialect:?}: {word}");
                }
            }
        }
    }
}
