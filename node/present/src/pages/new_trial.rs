//! Setting up a trial: what its size can show, and everything once more before it is kept.

use propagule_app::outcome::new_trial::{CanShow, NewTrialFacts, OutlookLine};
use propagule_app::outcome::said::Said;

use crate::chart::{Behind, Mark, Pieces, PotTray, PotTrays, Share};
use crate::document::{Document, List, Phrase};
use crate::kind::KindWords;
use crate::outcome::{new_trial as lines, outlook, said, trial};
use crate::words::InWords;
use crate::words::headline;
use crate::words::new_trial as words;

/// Pots that are drawn; a picture of more says nothing more.
const MOST_POTS: usize = 48;

/// What a size can show.
#[derive(Clone, Debug, Default)]
pub struct SizeScreen {
    /// The answer in one line.
    pub title: String,
    /// How often a difference would be seen.
    pub chances: Document,
    /// What is said beside that.
    pub more: Document,
}

/// What the size of a trial can show.
pub fn size(new: &NewTrialFacts) -> SizeScreen {
    let kind_words = KindWords::of_trial(&new.trial);
    match &new.can_show {
        CanShow::Lot(lot) => SizeScreen {
            title: words::batch_of(&kind_words, lot.pieces),
            chances: Document::new().each(&lot.words, |document, line| document.say(said::line(line))),
            more: Document::new(),
        },
        CanShow::Arms(arms) => {
            let each = arms.power.first().map_or(0, |power| power.per_arm);
            let chances = arms.power.iter().map(|power| {
                let rates = Phrase::new().strong(words::against(power.rate_a, power.rate_b)).then(": ");
                (rates.then(outlook::times(power)), Share { share: power.leading() })
            });
            let beside =
                arms.words.iter().filter(|said| !matches!(said, Said::Outlook(OutlookLine::Chance(_))));
            SizeScreen {
                title: words::reach(each, arms.reach()),
                chances: Document::new()
                    .section(words::IF_TRUE, |under| {
                        under.each(chances, |under, (said, share)| under.say(said).chart(share))
                    })
                    .each(beside, |document, line| document.note(said::line(line))),
                more: Document::new()
                    .when(!new.assured.is_empty(), |document| {
                        document.section(words::BY_OTHERS, |under| {
                            under.each(&new.assured, |under, row| under.say(row.sentence.words()))
                        })
                    })
                    .section(words::WHAT_DIFFERS, |under| {
                        under.list(List::points(arms.pairs.iter().map(|pair| said::line(&pair.words))))
                    }),
            }
        }
    }
}

/// Its pots with what is to stand in each, before anything does.
pub fn trays(new: &NewTrialFacts) -> Document {
    let kind_words = KindWords::of_trial(&new.trial);
    let arms = &new.trial.arms;
    let all: Vec<PotTray> = arms
        .iter()
        .flat_map(|arm| arm.replicates.iter().map(move |pot| (arm, pot)))
        .map(|(arm, pot)| PotTray {
            code: pot.code.clone(),
            of: if arm.label == pot.code { String::new() } else { arm.label.clone() },
            tray: trial::dots(vec![Pieces {
                mark: Mark::Uncounted,
                words: words::TO_COME.to_owned(),
                count: u32::from(pot.started),
            }]),
            holds: kind_words.many(pot.started),
        })
        .collect();
    let (pots, left) = (all.len(), all.len().saturating_sub(MOST_POTS));
    let trays = PotTrays {
        pots: all.into_iter().take(MOST_POTS).collect(),
        heads: headline::POT_HEADS.map(str::to_owned),
        behind: Behind::new(words::WHAT_STANDS),
    };
    Document::new().section(words::WHAT_STANDS, |under| {
        under
            .say(words::would_stand(&kind_words, arms.len(), pots, new.trial.started()))
            .chart(trays)
            .when(left > 0, |under| under.note(words::more_pots(left)))
    })
}

/// All of it before it is kept: what it would be, and what is unusual about it.
pub fn checked(new: &NewTrialFacts) -> Document {
    Document::new().append(lines::described(&new.trial, false)).each(&new.questions, |document, question| {
        document.warn(Phrase::new().strong(words::UNUSUAL).then(format!(" {}.", said::line(question))))
    })
}
