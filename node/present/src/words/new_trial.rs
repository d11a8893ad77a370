//! Setting up a trial step by step: what is asked, and what the answers are called.

mod choices;

pub use choices::{Piece, choice, factor, label, piece};

use crate::kind::{KindWords, capital};
use crate::words::sentences::{number_of, per_cent};
use propagule_app::outcome::new_trial::DifferenceShown;
use propagule_bench::Stage;
use propagule_bench::kind::Kind;

/// A step of setting up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SetUpStep {
    /// Which plant, and what is put in.
    Plant,
    /// What is to be found out.
    Differs,
    /// What each treatment gets, and what is the same for all.
    Treatments,
    /// How many, and what they can show.
    Size,
    /// Everything once more, with code and day.
    Check,
}

impl SetUpStep {
    /// In their order.
    pub const ALL: [Self; 5] = [Self::Plant, Self::Differs, Self::Treatments, Self::Size, Self::Check];

    /// Where it stands among them, from 1.
    pub const fn number(self) -> usize {
        self as usize + 1
    }

    /// Its short name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Plant => "plant",
            Self::Differs => "question",
            Self::Treatments => "treatments",
            Self::Size => "size",
            Self::Check => "check",
        }
    }

    /// Where one is: `Step 3 of 5, treatments`.
    pub fn here(self) -> String {
        format!("Step {} of {}, {}", self.number(), Self::ALL.len(), self.name())
    }

    /// What it asks; the size is asked under what it can show.
    pub fn asks(self, is_batch: bool) -> &'static str {
        match self {
            Self::Plant => "What plant, and what do you put in?",
            Self::Differs => "What do you want to find out?",
            Self::Treatments if is_batch => "How do you do it?",
            Self::Treatments => "What does each treatment get?",
            Self::Size => "How many?",
            Self::Check => "Check it, then set it up",
        }
    }

    /// The button that goes on from it.
    pub const fn next(self) -> &'static str {
        match self {
            Self::Plant => "Next: what to find out",
            Self::Differs => "Next: treatments",
            Self::Treatments => "Next: how many",
            Self::Size => "Next: check it",
            Self::Check => "Set it up",
        }
    }
}

/// What the page is called.
pub const TITLE: &str = "New trial";
/// The way back from a step.
pub const BACK: &str = "Back";
/// Leads to what was begun and left.
pub const GO_ON: &str = "Go on with the trial you began";

/// A field: what it is called, and what helps to fill it in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FieldWords {
    /// Its label.
    pub label: &'static str,
    /// What helps; may be empty.
    pub help: &'static str,
}

const fn field(label: &'static str, help: &'static str) -> FieldWords {
    FieldWords { label, help }
}

/// The plant.
pub const PLANT: FieldWords = field("Plant", "Genus and species; a cultivar in single quotes.");
/// Plants that are on the bench already.
pub const YOUR_PLANTS: &str = "On your bench already";
/// What is put in.
pub const KIND: FieldWords = field("Kind of propagation", "");
/// Kinds that are rarer.
pub const MORE_KINDS: &str = "Other kinds";
/// The stock plant.
pub const FROM: FieldWords = field("From which stock plant", "Its name stays at home.");
/// What differs.
pub const DIFFERS: FieldWords =
    field("The treatments differ in", "Change one thing only, or the trial cannot say which one mattered.");
/// Nothing differs.
pub const NOTHING: &str = "Nothing: a plain batch";
/// Details that are asked about less often.
pub const SOMETHING_ELSE: &str = "Something else";
/// Several things differ.
pub const ALSO: FieldWords =
    field("More than one thing differs", "Then a difference cannot be put down to one of them.");
/// What is said where they do.
pub const CONFOUNDED: &str =
    "More than one thing differs between these treatments. The trial cannot say which one mattered.";
/// A treatment's label.
pub const LABEL: FieldWords =
    field("Name on the label", "May stay empty: it is then called by what it gets.");
/// What is seldom said of a treatment.
pub const NAME_OF_TREATMENT: &str = "Its name, and more";
/// One more treatment.
pub const ADD: &str = "Add a treatment";
/// The one the others are compared with.
pub const CONTROL: &str = "The others are compared with this one";
/// What is the same for all.
pub const SAME: FieldWords = field("The same for all", "");
/// Nothing is said.
pub const NOT_SAID: &str = "not said";
/// A hormone of which one does not know what is in it.
pub const NOT_KNOWN: &str = "do not know";
/// A hormone by its label: another strength, thinned.
pub const AS_BOUGHT: &str = "As bought: its strength, how far diluted";
/// More words of a detail.
pub const MORE: &str = "More";
/// Pots.
pub const POTS: FieldWords =
    field("Pots per treatment", "3 or more, so that a pot is not mistaken for a treatment.");
/// Pots of a batch.
pub const POTS_OF_BATCH: FieldWords = field("Pots, trays or rows", "");
/// Looks at what the size can show.
pub const LOOK: &str = "See what this size can show";
/// Other layouts.
pub const OTHER_LAYOUTS: &str = "Other layouts";
/// Pots that hold pieces of all.
pub const SHARED: FieldWords =
    field("Pots shared by all treatments", "Or stock plants with one of each treatment.");
/// Places in them.
pub const SHARED_PLACES: FieldWords = field("Places in each", "");
/// Pieces that stand by themselves.
pub const SINGLE: &str = "Each one stands by itself, in no shared pot or tray";
/// How many stock plants.
pub const STOCK_PLANTS: FieldWords = field("Number of stock plants", "");
/// The code.
pub const CODE: FieldWords = field("Code", "Short enough for a tag, such as M1.");
/// The bench.
pub const BENCH: FieldWords = field("Bench", "");
/// The site.
pub const SITE: FieldWords = field("Site", "");
/// The question in own words.
pub const QUESTION: FieldWords = field("What do you want to find out?", "May stay empty.");
/// An earlier trial.
pub const FOLLOWS: FieldWords = field("It follows", "An earlier trial of yours.");
/// How it follows it.
pub const RELATION: FieldWords = field("How it follows that", "");
/// How a trial follows an earlier one: the word that is sent, and what is read.
pub const RELATIONS: [(&str, &str); 3] = [
    ("replaces", "new ones for those that failed"),
    ("regraft", "worked again on its failed stocks"),
    ("repeat", "the same question again"),
];
/// Another grower.
pub const ENTERED_FOR: FieldWords = field("Entered for another grower", "The name stays at home.");
/// The standard of a finished plant.
pub const GRADE: FieldWords = field("Your standard for \u{201c}finished\u{201d}", "");
/// A note.
pub const NOTE: FieldWords = field("Note", "Private; it is never published.");
/// What is rarely needed.
pub const RARER: &str = "Question, site, note and more";
/// Hides a caution.
pub const HIDE: &str = "Hide this season";
/// What is unusual.
pub const UNUSUAL: &str = "Unusual, is it a slip?";
/// Nothing was saved so far.
pub const NOT_SAVED: &str = "Nothing is saved yet.";

/// Hides one caution, as it is read aloud.
pub fn hide(line: &str) -> String {
    format!("{HIDE}: {line}")
}

/// A usual strength: in water and in talc, so many parts of a million.
pub fn dose(ppm: u16) -> String {
    format!("{ppm} ppm")
}

/// How many cautions its methods have.
pub fn cautions(count: usize) -> String {
    number_of(count, "caution for this method", "cautions for this method")
}

/// The name of a treatment's card.
pub fn treatment(number: usize) -> String {
    format!("Treatment {number}")
}

/// Takes a treatment away.
pub fn take_away(number: usize) -> String {
    format!("Take treatment {number} away")
}

/// How many in each pot.
pub fn pieces_per_pot(words: &KindWords) -> String {
    format!("{} per pot", capital(words.plural()))
}

/// The day on which they are started.
pub fn day(words: &KindWords) -> String {
    format!("Day they are {}", words.started)
}

/// The day of the first count.
pub fn lift_day(words: &KindWords) -> String {
    format!("Planned {}", words.title(Stage::Lift).to_lowercase())
}

/// The rule by which one counts as rooted.
pub fn rule(words: &KindWords) -> String {
    format!("Your test for \u{201c}{}\u{201d}", words.lead)
}

/// Pots of one treatment alone.
pub fn own_pots(number: usize) -> String {
    format!("Pots of treatment {number} alone")
}

/// The same of what is in each of them.
pub fn own_pieces(words: &KindWords, number: usize) -> String {
    format!("{} per pot of treatment {number} alone", capital(words.plural()))
}

/// How small a difference a size shows: the answer that the sizes stand under.
pub fn reach(each: u32, reach: DifferenceShown) -> String {
    match reach {
        DifferenceShown::Modest => format!("{each} each shows a modest difference too"),
        DifferenceShown::Large => format!("{each} each shows only a big difference"),
        DifferenceShown::Nothing => format!("{each} each may miss even a big difference"),
    }
}

/// The same of a batch, which shows none.
pub fn batch_of(words: &KindWords, units: u32) -> String {
    format!("A batch of {}", words.many(units))
}

/// The heading of the pots.
pub const WHAT_STANDS: &str = "What would stand there";
/// The state of what is not there yet.
pub const TO_COME: &str = "still to come";

/// How many there would be: `3 treatments, 9 pots, 36 cuttings`.
pub fn would_stand(words: &KindWords, treatments: usize, pots: usize, started: u32) -> String {
    let of = |count: usize, one, many| number_of(count as u64, one, many);
    let treatments = (treatments > 1).then(|| of(treatments, "treatment", "treatments"));
    let parts = treatments.into_iter().chain([of(pots, "pot", "pots"), words.many(started)]);
    parts.collect::<Vec<_>>().join(", ") + "."
}

/// That not every pot is drawn.
pub fn more_pots(count: usize) -> String {
    format!("And {}.", number_of(count as u64, "more pot", "more pots"))
}

/// The heading of the chances.
pub const IF_TRUE: &str = "If these were the true rates, you would see the difference";
/// The heading of what others' results say.
pub const BY_OTHERS: &str = "By what growers of this plant reported";
/// The heading of what differs.
pub const WHAT_DIFFERS: &str = "What differs";

/// Two true rates: `20% against 80%`.
pub fn against(low: f64, high: f64) -> String {
    format!("{} against {}", per_cent(low), per_cent(high))
}

/// A kind as a card: what is put in, and what is meant by it.
pub const fn kind_card(kind: Kind) -> (&'static str, &'static str) {
    match kind {
        Kind::Cutting | Kind::Mixed => ("Cuttings", "stem, leaf or root"),
        Kind::Graft => ("Grafts", "whip, cleft, side"),
        Kind::Bud => ("Buds", "chip, T, patch"),
        Kind::Seed => ("Seed", "cold, warm, nicked"),
        Kind::Layer => ("Layers", "ground or air"),
        Kind::Division => ("Division", "crowns, clumps"),
        Kind::Micropropagation => ("Micropropagation", "shoots in vessels"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_counted_from_one_and_named() {
        let here: Vec<String> = SetUpStep::ALL.map(SetUpStep::here).to_vec();
        assert_eq!(here[0], "Step 1 of 5, plant");
        assert_eq!(here[4], "Step 5 of 5, check");
    }

    #[test]
    fn the_answer_names_the_size() {
        let said = [DifferenceShown::Nothing, DifferenceShown::Large, DifferenceShown::Modest]
            .map(|of| reach(12, of));
        assert_eq!(said[0], "12 each may miss even a big difference");
        assert_eq!(said[1], "12 each shows only a big difference");
        assert_eq!(said[2], "12 each shows a modest difference too");
        assert_eq!(batch_of(&KindWords::of(Kind::Cutting), 1), "A batch of 1 cutting");
        assert_eq!(against(0.2, 0.8), "20% against 80%");
    }

    #[test]
    fn a_grafter_is_asked_in_words_of_grafts() {
        let words = KindWords::of(Kind::Graft);
        let said = [pieces_per_pot(&words), day(&words), lift_day(&words), rule(&words)];
        let expected = [
            "Grafts per pot",
            "Day they are grafted",
            "Planned take count",
            "Your test for \u{201c}taken\u{201d}",
        ];
        assert_eq!(said, expected);
    }
}
