//! Random benches for property tests: trials of every kind with all that can happen to them, as events of a journal.
//!
//! [`events`] gives what a home of `seasons` trials would have written. Everything that is typed is tried on the season
//! as it stands, and what contradicts it is left out, as the commands do; so each bench is one that could be typed. The
//! names are invented, and the same seed gives the same bench.

use std::collections::BTreeMap;

use propagule_protocol::SecretKey;
use propagule_protocol::place::{Climate, Hemisphere, Place};

use super::entry::{Entry, Fate, Law, Mark, Tally, What};
use super::spot::{Care, Spot};
use super::stock::StockPlant;
use super::trial::{Arm, EnteredFor, Relation, Replicate, Stage, Trial};
use super::{Event, KnownGrower, Season};
use crate::dates::When;

/// Draws that follow from a seed (`SplitMix64`, Steele, Lea and Flood 2014).
#[derive(Clone, Debug)]
pub struct Draws(u64);

impl Draws {
    /// The draws of a seed.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A number from 0 up to and without `end`.
    pub fn below(&mut self, end: u64) -> u64 {
        self.next() % end.max(1)
    }

    /// Whether something happens that happens once in `times`.
    pub fn once_in(&mut self, times: u64) -> bool {
        self.below(times) == 0
    }

    fn of<T: Copy>(&mut self, some: &[T]) -> T {
        some[self.below(some.len() as u64) as usize]
    }
}

const KINDS: [&str; 6] = ["stem cutting", "root cutting", "graft", "bud", "seed", "division"];
const SPECIES: [&str; 4] = ["Morus nigra", "morus alba", "Ribes nigrum", "Cornus mas 'Lumetta'"];
const SPOTS: [&str; 2] = ["mist house", "cold frame"];
const CAUSES: [&str; 3] = ["basal rot", "dried out", "slugs"];

/// The events of a bench with so many trials.
pub fn events(seed: u64, seasons: usize) -> Vec<Event> {
    let mut maker =
        Maker { draws: Draws::new(seed), events: Vec::new(), trials: Vec::new(), entries: BTreeMap::new() };
    maker.surroundings();
    for number in 1..=seasons {
        maker.trial(number);
    }
    maker.corrections();
    maker.events
}

struct Maker {
    draws: Draws,
    events: Vec<Event>,
    trials: Vec<Trial>,
    entries: BTreeMap<u64, Entry>,
}

fn day(text: &str) -> When {
    When::day(text.parse().expect("a day"))
}

impl Maker {
    fn number(&self) -> u64 {
        self.events.len() as u64 + 1
    }

    fn surroundings(&mut self) {
        let zone = "8b".parse().ok();
        let place = Place { hemisphere: Hemisphere::North, climate: Climate::None, zone };
        self.events.push(Event::PlaceSet { name: "home".to_owned(), place });
        for (name, humidity) in SPOTS.into_iter().zip(["mist", "dome"]) {
            let facets = [("humidity".to_owned(), humidity.to_owned())].into();
            self.events.push(Event::SpotSet { spot: Spot { name: name.to_owned(), facets } });
        }
        let facets = [("stock_age".to_owned(), "8 years".to_owned())].into();
        let stock = StockPlant {
            name: "old tree".to_owned(),
            species: None,
            facets,
            note: Some("by the wall".into()),
        };
        self.events.push(Event::StockSet { stock });
        let key = SecretKey::from_bytes(&[self.draws.below(200) as u8 + 1; 32]).author();
        let grower = KnownGrower {
            name: Some("Ana".to_owned()),
            trusted: self.draws.once_in(2),
            ..KnownGrower::new(key)
        };
        self.events.push(Event::GrowerKnown { grower });
        let same = Some("Morus nigra".to_owned()).filter(|_| self.draws.once_in(2));
        self.events.push(Event::SynonymSet { synonym: "Morus laciniata".to_owned(), accepted: same });
        let columns = [("Sorte".to_owned(), "cultivar".to_owned())].into();
        self.events.push(Event::ColumnsMapped { columns, headings: vec!["Sorte".to_owned()] });
        self.events.push(Event::OpeningChosen { opens: false });
        let care =
            What::Cared { spot: SPOTS[0].to_owned(), care: Care::Light { let_through: 60 }, until: None };
        self.enter(Entry { on: day("2026-06-20"), what: care, note: None, files: Vec::new(), once: None });
    }

    fn enter(&mut self, entry: Entry) {
        self.entries.insert(self.number(), entry.clone());
        self.events.push(Event::Entered { entry });
    }

    fn trial(&mut self, number: usize) {
        let planned = self.described(number);
        let stays_planned = self.draws.once_in(8);
        if stays_planned || self.draws.once_in(2) {
            self.events.push(Event::TrialRecorded { trial: Trial { is_planned: true, ..planned.clone() } });
        }
        self.trials.push(Trial { is_planned: stays_planned, ..planned.clone() });
        if stays_planned {
            return;
        }
        self.events.push(Event::TrialRecorded { trial: planned.clone() });
        let mut on = planned.started_on.middle();
        for step in 0..self.draws.below(9) {
            on = on.plus_days(self.draws.below(40) as i32 + i32::from(step > 0)).expect("a day");
            let when = if self.draws.once_in(6) { When::about(on) } else { When::day(on) };
            self.happening(&planned, when);
        }
        if self.draws.once_in(5) {
            let corrected = Trial { note: Some("label rewritten; was smudged".to_owned()), ..planned };
            self.events.push(Event::TrialRecorded { trial: corrected });
        }
    }

    fn described(&mut self, number: usize) -> Trial {
        let code = format!("T{number}");
        let begun = day("2026-06-01").middle().plus_days(self.draws.below(30) as i32).expect("a day");
        let parent = (number > 1 && self.draws.once_in(4)).then(|| self.trials[number / 2 - 1].code.clone());
        let grower = EnteredFor { name: "Ben".to_owned(), mark: "00112233aabbccdd".to_owned() };
        let arms: Vec<Arm> = (1..=self.draws.below(3) as u8 + 1).map(|arm| self.arm(arm)).collect();
        Trial {
            series: format!("{number:032x}"),
            question: (arms.len() > 1).then(|| "which is better, \"dip\" or none?".to_owned()),
            entered_for: self.draws.once_in(5).then_some(grower),
            relation: parent.as_ref().and(Some(self.draws.of(&[
                Relation::Replaces,
                Relation::Regraft,
                Relation::Repeat,
            ]))),
            parent,
            control: self.draws.once_in(3).then_some(1),
            unit_is_piece: self.draws.once_in(6),
            is_randomised: self.draws.once_in(2),
            is_private: self.draws.once_in(8),
            note: self.draws.once_in(4).then(|| "first line\nsecond, with a comma".to_owned()),
            arms,
            ..Trial::empty(&code, self.draws.of(&SPECIES), When::day(begun))
        }
    }

    fn arm(&mut self, number: u8) -> Arm {
        let pots = self.draws.below(4) as u16;
        let pieces = self.draws.below(7) as u16 + 1;
        let replicate = |pot: u16, draws: &mut Draws| Replicate {
            code: format!("P{}", u16::from(number) * 10 + pot),
            started: pieces,
            pot: draws.once_in(4).then(|| format!("row {pot}")),
            stock_plant: draws.once_in(4).then(|| "old tree".to_owned()),
            operator: draws.once_in(4).then(|| "Ana".to_owned()),
        };
        let replicates: Vec<Replicate> = if pots > 1 {
            (1..=pots).map(|pot| replicate(pot, &mut self.draws)).collect()
        } else {
            Vec::new()
        };
        let auxin = ["none", "IBA 3000 mg/L quick dip", "IBA powder 3000 mg/kg"][usize::from(number - 1)];
        let kind = self.draws.of(&KINDS);
        Arm {
            number,
            label: ["dip", "none", "powder"][usize::from(number - 1)].to_owned(),
            started: if replicates.is_empty() { pieces } else { pieces * pots },
            facets: [("kind", kind), ("auxin", auxin)]
                .map(|(name, words)| (name.to_owned(), words.to_owned()))
                .into(),
            replicates,
            stock_plant: self.draws.once_in(4).then(|| "old tree".to_owned()),
            operator: self.draws.once_in(4).then(|| "Ben".to_owned()),
            spot: self.draws.once_in(2).then(|| self.draws.of(&SPOTS).to_owned()),
            ..Arm::default()
        }
    }

    /// Something that happens to a trial, unless it contradicts what was entered before.
    fn happening(&mut self, trial: &Trial, on: When) {
        let what = self.what(trial);
        let note = self.draws.once_in(6).then(|| "seen by lamplight; \u{e9}tiol\u{e9}".to_owned());
        let entry = Entry { on, what, note, files: Vec::new(), once: None };
        if self.fits(trial, self.number(), Some(&entry)) {
            self.enter(entry);
        }
    }

    fn fits(&self, trial: &Trial, number: u64, entry: Option<&Entry>) -> bool {
        let mut entries: BTreeMap<u64, &Entry> = self.entries.iter().map(|(n, entry)| (*n, entry)).collect();
        entries.remove(&number);
        entries.extend(entry.map(|entry| (number, entry)));
        Season::new(trial, entries.into_iter()).faults.is_empty()
    }

    fn what(&mut self, trial: &Trial) -> What {
        let (code, arm) =
            (trial.code.clone(), trial.arms[self.draws.below(trial.arms.len() as u64) as usize].clone());
        match self.draws.below(12) {
            0 => What::Looked { trial: code },
            1 => What::Moved {
                trial: code,
                arms: vec![arm.number],
                spot: Some(self.draws.of(&SPOTS).to_owned()),
                facets: [("container".to_owned(), "pot".to_owned())].into(),
            },
            2 => What::Stood { trial: code, arms: vec![arm.number], spot: SPOTS[0].to_owned() },
            3 | 4 => What::Left {
                trial: code,
                arm: arm.number,
                replicate: arm.replicates.first().map(|one| one.code.clone()),
                pieces: self.draws.below(3) as u16 + 1,
                how: self.draws.of(&["sold", "given", "planted out"]).to_owned(),
                at_grade: self.draws.once_in(2),
            },
            5 => What::Suckers { trial: code, removed: vec![(arm.number, self.draws.below(4) as u16)] },
            6 => What::WrapCut { trial: code },
            7 => What::Noted { subject: code },
            8 if self.draws.once_in(3) => What::Closed {
                trial: code,
                because: Some("done".to_owned()),
                rest: self.draws.of(&[None, Some(Fate::Dead), Some(Fate::Lost), Some(Fate::NotKnown)]),
            },
            _ => self.count(trial),
        }
    }

    fn count(&mut self, trial: &Trial) -> What {
        let stage = self.draws.of(&[
            None,
            None,
            Some(Stage::Lift),
            Some(Stage::Season),
            Some(Stage::Spring),
            Some(Stage::Final),
        ]);
        let season = Season::new(trial, self.entries.iter().map(|(n, entry)| (*n, entry)));
        let units: Vec<(u8, Option<String>, u16)> = season
            .units
            .iter()
            .map(|unit| (unit.arm, unit.replicate.clone(), unit.standing().base()))
            .collect();
        let mut tallies = Vec::new();
        for (arm, replicate, base) in units {
            if stage.is_some() || self.draws.once_in(2) {
                tallies.push(Tally { arm, replicate, ..self.tally(base) });
            }
        }
        What::Counted {
            trial: trial.code.clone(),
            stage,
            tallies,
            is_blind: self.draws.once_in(5),
            law: Law::Fates,
        }
    }

    /// Every piece that is left gets a state, more often than not.
    fn tally(&mut self, base: u16) -> Tally {
        let mut left = base;
        let mut some = |draws: &mut Draws| {
            let these = draws.below(u64::from(left) + 1) as u16;
            left -= these;
            these
        };
        let (dead, lost, rooted) =
            (some(&mut self.draws) / 2, some(&mut self.draws) / 3, some(&mut self.draws));
        let left = base - dead - lost - rooted;
        let is_known = !self.draws.once_in(6);
        Tally {
            dead: Some(dead).filter(|n| *n > 0),
            cause: (dead > 0 && self.draws.once_in(2)).then(|| self.draws.of(&CAUSES).to_owned()),
            lost: Some(lost).filter(|n| *n > 0),
            rooted: self.draws.once_in(2).then_some(rooted),
            alive: is_known.then_some(rooted + left),
            not_known: (!is_known).then_some(rooted + left),
            marks: if self.draws.once_in(5) {
                [("leaves".to_owned(), Mark::Some)].into()
            } else {
                BTreeMap::new()
            },
            ..Tally::default()
        }
    }

    /// Entries that are taken back, or stand on another day.
    fn corrections(&mut self) {
        let numbers: Vec<u64> = self.entries.keys().copied().collect();
        for target in numbers {
            let entry = self.entries[&target].clone();
            let Some(trial) =
                self.trials.iter().find(|trial| entry.what.trial() == Some(&trial.code)).cloned()
            else {
                continue;
            };
            if !self.draws.once_in(6) {
                continue;
            }
            let later = When::day(entry.on.middle().plus_days(1).expect("a day"));
            let corrected = self.draws.once_in(2).then_some(Entry { on: later, ..entry });
            if self.fits(&trial, target, corrected.as_ref()) {
                match &corrected {
                    Some(entry) => self.entries.insert(target, entry.clone()),
                    None => self.entries.remove(&target),
                };
                self.events.push(Event::Corrected { target, entry: corrected });
            }
        }
    }
}
