//! The page of a trial: what it shows in one sentence and one word, then the pieces, then everything behind it.

use propagule_analysis::verdict::Verdict;
use propagule_answer::trial::{NowRow, VerdictRow, lead};
use propagule_app::outcome::trial::{StageShown, TrialShown};
use propagule_app::viewed::{PotStands, TrialView};
use propagule_bench::{Arm, Row};
use propagule_protocol::Date;

use super::life::life_line;
use crate::chart::{Alive, AliveLine, Behind, Dots, Funnel, Mark, Pieces, PotTray, PotTrays, Step};
use crate::document::{Document, Fold, Item, List, Phrase};
use crate::kind::{KindWords, capital};
use crate::outcome::{said, trial as lines};
use crate::words::{headline, pieces, pots};

/// Comparisons that are told at once; more are folded.
const TOLD: usize = 1;
/// Lines of one curve.
const LINES: usize = 4;

/// The page of a trial, in the parts that a wide page sets beside each other.
#[derive(Clone, Debug, Default)]
pub struct TrialScreen {
    /// The sentence, the word and why.
    pub answer: Document,
    /// A tray for each treatment.
    pub trays: Document,
    /// The life line; empty before anything was started.
    pub life: Document,
    /// How many live, day by day; empty before anybody looked.
    pub curve: Document,
    /// Pot by pot; empty where there is but one.
    pub pots: Document,
    /// What is told when it is asked for.
    pub folds: Document,
}

/// The page of a trial as seen on a day.
pub fn trial(view: &TrialView, today: Date) -> TrialScreen {
    let (shown, words) = (&view.shown, KindWords::of(view.shown.kind));
    let latest = latest(shown);
    TrialScreen {
        answer: answer(shown, latest, &words),
        trays: trays(shown, latest, &words),
        life: life_line(shown, today, &words),
        curve: curve(shown),
        pots: by_pot(&view.pots, shown, &words),
        folds: folds(shown, latest, &words),
    }
}

fn latest(shown: &TrialShown) -> Option<&StageShown> {
    let counts = lead::latest(shown.stages.iter().map(|stage| &stage.counts))?;
    shown.stages.iter().find(|stage| stage.counts.stage == counts.stage)
}

fn answer(shown: &TrialShown, latest: Option<&StageShown>, words: &KindWords) -> Document {
    let verdicts = latest.map(|stage| stage.verdicts.as_slice()).unwrap_or_default();
    let leading = lead::pair(verdicts.iter().map(|verdict| &verdict.row));
    // The pair that leads stands first, then the others in the order of the answer.
    let told = leading
        .into_iter()
        .chain(verdicts.iter().map(|verdict| &verdict.row).filter(|row| Some(*row) != leading));
    let told: Vec<Phrase> = told.take(TOLD).filter_map(|row| why(latest?, row)).collect();
    Document::new()
        .title(sentence(shown, latest, leading, words))
        .each(&shown.trial.question, Document::note)
        .each(told, Document::say)
        .each(lines::left_lines(shown).into_iter().chain(lines::after_lines(shown)), Document::say)
        .each(&shown.left_out, |document, left_out| document.warn(lines::contradiction(left_out, shown.kind)))
}

/// The word of a pair in its box, and the whole sentence behind it.
fn why(stage: &StageShown, row: &VerdictRow) -> Option<Phrase> {
    let verdict = stage.verdicts.iter().find(|verdict| verdict.row == *row)?;
    Some(Phrase::new().boxed(headline::boxed(row.verdict)).then(" ").then(said::line(&verdict.sentence)))
}

fn sentence(
    shown: &TrialShown,
    latest: Option<&StageShown>,
    leading: Option<&VerdictRow>,
    words: &KindWords,
) -> String {
    let (started, alive) = (sum(&shown.now, |now| now.started), sum(&shown.now, |now| now.alive));
    let Some(stage) = latest else {
        return if shown.trial.is_planned {
            headline::planned(words, started, &shown.trial.started_on)
        } else {
            headline::awaited(words, alive, started, shown.trial.lift_on.as_ref())
        };
    };
    let at = stage.counts.stage;
    if let Some(([a, of_a, b, of_b], row)) = leading.and_then(|row| Some((row.numbers.totals?, row))) {
        let is_first = row.better.as_ref() == Some(&row.first);
        return match (&row.better, row.verdict) {
            (Some(better), Verdict::Better) if is_first => {
                headline::more(words, at, better, [a, of_a], [b, of_b])
            }
            (Some(better), Verdict::Better) => headline::more(words, at, better, [b, of_b], [a, of_a]),
            _ => headline::beside(words, at, [&row.first, &row.second], [a, of_a, b, of_b]),
        };
    }
    let arms = &stage.counts.arms;
    let counted: Option<u32> = arms.iter().map(|arm| arm.rate.map(|rate| rate.count)).sum();
    let (of, waiting) = (arms.iter().map(|arm| arm.started).sum(), arms.iter().map(|arm| arm.waiting).sum());
    match counted {
        Some(count) => headline::together(words, at, count, of, waiting),
        None => headline::in_part(words, at, alive, started),
    }
}

fn sum(now: &[NowRow], of: impl Fn(&NowRow) -> u32) -> u32 {
    now.iter().map(of).sum()
}

/// A tray for each treatment, under its name and its count.
fn trays(shown: &TrialShown, latest: Option<&StageShown>, words: &KindWords) -> Document {
    let arms = shown.trial.arms.iter().zip(&shown.now);
    Document::new().each(arms, |document, (arm, now)| {
        let rate = latest.and_then(|stage| {
            let row = stage.counts.arms.iter().find(|row| row.label == arm.label)?;
            Some(headline::count(words, stage.counts.stage, row.rate?.count, row.rate?.of))
        });
        let count = match rate {
            Some(rate) => rate,
            None if shown.trial.is_planned => words.many(arm.started),
            None => headline::alive(now.alive, now.started),
        };
        let heading = Phrase::from(capital(&arm.label)).then(" ").soft(count);
        let tray = if shown.trial.is_planned { planned(arm) } else { tray(&now.row, words) };
        document.section_at(2, heading, |under| {
            let method = lines::differing(&shown.trial.arms, arm);
            under.when(!method.is_empty(), |under| under.note(method.join("; "))).chart(tray)
        })
    })
}

/// The pieces of a row as a tray.
pub fn tray(row: &Row, words: &KindWords) -> Dots {
    lines::dots(pieces::states(row, None, words))
}

/// Cells that are still to be filled.
fn planned(arm: &Arm) -> Dots {
    let cells = Pieces {
        mark: Mark::Uncounted,
        words: headline::NOT_IN_YET.to_owned(),
        count: u32::from(arm.started),
    };
    lines::dots(vec![cells])
}

fn curve(shown: &TrialShown) -> Document {
    let line = |arm: &Arm| AliveLine {
        name: arm.label.clone(),
        started: u32::from(arm.started),
        points: shown
            .curve
            .iter()
            .filter(|day| day.row.arm == arm.label)
            .map(|day| (day.row.point.days, day.row.point.row.alive()))
            .collect(),
    };
    let lines: Vec<AliveLine> =
        shown.trial.arms.iter().map(line).filter(|line| !line.points.is_empty()).collect();
    let chart =
        |lines: &[AliveLine]| Alive {
            said: headline::curve(lines.iter().map(|line| {
                (line.name.as_str(), line.points.last().map_or(0, |point| point.1), line.started)
            })),
            lines: lines.to_vec(),
            day: headline::DAY.to_owned(),
            note: headline::STEPS.to_owned(),
            behind: Behind::new(headline::ALIVE_BY_DAY),
        };
    Document::new().when(!lines.is_empty(), |document| {
        document.fold(headline::STILL_ALIVE, |under| {
            under.each(lines.chunks(LINES), |under, lines| under.chart(chart(lines)))
        })
    })
}

fn by_pot(all: &[PotStands], shown: &TrialShown, words: &KindWords) -> Document {
    if all.len() < 2 || shown.trial.is_planned {
        return Document::new();
    }
    let pot = |pot: &PotStands| PotTray {
        code: pot.code.clone(),
        of: pots::belongs(&pot.code, &pot.arm, pot.block.as_deref(), pot.stock_plant.as_deref()),
        tray: tray(&pot.row, words),
        holds: pots::held_on(&pot.row, pot.last_look.as_ref(), words),
    };
    let trays = PotTrays {
        pots: all.iter().map(pot).collect(),
        heads: headline::POT_HEADS.map(str::to_owned),
        behind: Behind::new(headline::TAG_ORDER),
    };
    Document::new().fold(headline::pots_folded(all.len()), |whole| whole.chart(trays))
}

/// What is behind it all: counts with their intervals, every comparison, the tests, the stages, the method.
fn folds(shown: &TrialShown, latest: Option<&StageShown>, words: &KindWords) -> Document {
    let stages = || shown.stages.iter().map(|stage| (lines::stage_heading(stage, shown.kind), stage));
    let details = |stage: &StageShown| lines::detail_lines(stage, shown.kind);
    let has_more = latest.is_some_and(|stage| stage.verdicts.len() > TOLD) || shown.stages.len() > 1;
    Document::new()
        .when(!shown.stages.is_empty(), |document| {
            document.fold(headline::COUNTS, |under| {
                under.each(stages(), |under, (heading, stage)| {
                    under.section_at(3, capital(&heading), |under| {
                        under.list(List::points(lines::count_lines(&stage.counts, shown.kind)))
                    })
                })
            })
        })
        .when(has_more, |document| {
            document.fold(headline::COMPARISONS, |under| {
                under.each(stages(), |under, (heading, stage)| {
                    under.when(!stage.verdicts.is_empty(), |under| {
                        let told = stage.verdicts.iter().map(|verdict| said::line(&verdict.sentence));
                        under.section_at(3, capital(&heading), |under| under.list(List::points(told)))
                    })
                })
            })
        })
        .when(shown.stages.iter().any(|stage| !details(stage).is_empty()), |document| {
            document.fold(headline::TESTS, |under| {
                under.each(stages(), |under, (heading, stage)| {
                    under.section_at(3, capital(&heading), |under| under.each(details(stage), Document::say))
                })
            })
        })
        .when(shown.funnel.len() > shown.trial.arms.len(), |document| {
            document.fold(headline::STAGES, |under| under.chart(stages_of(shown)))
        })
        .when(!shown.scores.is_empty(), |document| {
            document.fold(lines::title_of_scores(shown.kind), |under| {
                under.list(List::points(
                    shown.scores.iter().map(|scored| lines::score_line(scored, shown.kind)),
                ))
            })
        })
        .folded(Fold::new(headline::METHOD, method(shown, words)))
}

fn stages_of(shown: &TrialShown) -> Funnel {
    let steps = lines::funnel_rows(shown).into_iter().map(|(words, count, of)| Step { words, count, of });
    Funnel {
        steps: steps.collect(),
        caption: headline::OF_STARTED.into(),
        heads: headline::STAGE_HEADS.map(str::to_owned),
    }
}

/// What each treatment got, where it stands, and how it stands.
fn method(shown: &TrialShown, words: &KindWords) -> Document {
    let arms = shown.trial.arms.iter().zip(&shown.stands).zip(&shown.now);
    Document::new().each(arms, |document, ((arm, stands), now)| {
        document.section_at(3, arm.label.as_str(), |under| {
            let care = lines::care(&stands.care, shown.kind);
            let spot = stands.spot.iter().map(|spot| headline::stands_on(spot, &care));
            let moves = stands.moves.iter().map(lines::moved_to);
            let unlisted = arm.unlisted.iter().map(|unlisted| headline::differs(unlisted));
            let stands = now.is_entered.then(|| lines::now(now, shown.kind));
            let said = lines::facets(arm).into_iter().chain(unlisted).chain(spot).chain(moves).chain(stands);
            let said: Vec<Item> = said.map(Item::from).collect();
            under.when(said.is_empty(), |under| under.say(words.many(arm.started))).list(List::points(said))
        })
    })
}
