//! From published summaries to rows: what each arm counts for one question.

mod duplicates;
mod life;
mod set;
mod silence;
#[cfg(test)]
mod tests;

pub use set::{every_species_from_set, from_set};
pub use silence::GRACE_MONTHS;

use propagule_protocol::record;
use propagule_protocol::{Arm, AuthorKey, Counts, DesignFlags, Facets, Month, StageCounts, Summary, Taxon};

use crate::facets::facet_words;
use crate::left_out::{WhyLeftOut, leave_out};
use crate::row::Silence;
use crate::row::{Evidence, EvidenceRow, FacetWords, Outcome, Pot, Question, RowFlags, Stage};
use duplicates::{mark_duplicates, same_trial_key};
use silence::{Fate, fate};

/// One series in its current revision, and what the records around it say of it.
#[expect(clippy::struct_excessive_bools, reason = "independent marks, each acted on by itself")]
#[derive(Clone, Debug)]
pub struct HeldTrial<'a> {
    /// The author: the oldest key of its rotation chain.
    pub author: AuthorKey,
    /// Current revision, with the larger started counts where a revision lowered them.
    pub summary: &'a Summary,
    /// Signed by a key of this home.
    pub own: bool,
    /// Whether the reader trusts the author to tell growers apart that it enters for.
    pub trusts_marks: bool,
    /// Power on the grower's likelihood before any cap; 0 leaves the trial out.
    pub weight: f64,
    /// The reader does not want to hear its author.
    pub muted: bool,
    /// Two records claim to be the same revision.
    pub equivocated: bool,
    /// A later revision lowered a started count or left out an arm.
    pub shrunk: bool,
    /// The first revision was signed in an earlier month than the first counts.
    pub opened_early: bool,
    /// Signed month of the record that opened it; `None` where the first revision had counts.
    pub opened: Option<Month>,
    /// Stocks of an earlier trial of the same grower, worked again where that one did not take.
    pub is_regraft: bool,
}

/// Which trials count, and for what.
#[derive(Clone, Debug)]
pub struct RecordOptions {
    /// Species, or one cultivar of it.
    pub taxon: Taxon,
    /// Stage and outcome.
    pub question: Question,
    /// Whether results transcribed from print count.
    pub transcribed: bool,
    /// Only trials that were opened before their first counts.
    pub opened_only: bool,
    /// Whether stocks that were worked again count. They were chosen by failure, so unless asked for they do not.
    pub with_regrafts: bool,
    /// The present month, by which opened trials fall silent; without it none does.
    pub now: Option<Month>,
}

impl RecordOptions {
    /// The default question about a species, own trials only.
    pub fn new(taxon: Taxon) -> Self {
        Self {
            taxon,
            question: Question::default(),
            transcribed: false,
            with_regrafts: false,
            opened_only: false,
            now: None,
        }
    }
}

/// Label of a trial in rows: its author and its series.
pub fn trial_label(author: &AuthorKey, series: &[u8; 16]) -> String {
    format!("{author}/{:032x}", u128::from_be_bytes(*series))
}

/// Rows of the trials that count.
pub fn from_records(trials: &[HeldTrial<'_>], options: &RecordOptions) -> Evidence {
    let mut evidence = Evidence::default();
    let mut counted = Vec::new();
    for trial in trials {
        if trial.summary.taxon.species_key() != options.taxon.species_key() {
            continue;
        }
        match reason_against(trial, options) {
            Some(why) => {
                leave_out(&mut evidence.left_out, why, 1);
                let apart = match why {
                    WhyLeftOut::WorkedAgain => &mut evidence.regrafts,
                    WhyLeftOut::Transcribed => &mut evidence.transcribed,
                    _ => continue,
                };
                apart.extend(rows_of(trial, options).filter_map(Result::ok));
            }
            None => counted.push(trial),
        }
    }
    evidence.silence = silence(&counted, options);
    let copies = mark_duplicates(&counted.iter().map(|trial| same_trial_key(trial)).collect::<Vec<_>>());
    for (trial, is_copy) in counted.iter().zip(copies) {
        if is_copy {
            leave_out(&mut evidence.left_out, WhyLeftOut::PerhapsTheSame, 1);
        } else {
            add_rows(trial, options, &mut evidence);
        }
    }
    evidence
}

/// What became of the trials that were opened; `None` where none was.
fn silence(trials: &[&HeldTrial<'_>], options: &RecordOptions) -> Option<Silence> {
    let mut silence = Silence::default();
    let fates = trials.iter().filter_map(|trial| fate_of(trial, options));
    fates.for_each(|fate| silence.add(fate));
    (silence.opened > 0).then_some(silence)
}

/// What became of an opened trial: reported once every arm is settled.
fn fate_of(trial: &HeldTrial<'_>, options: &RecordOptions) -> Option<Fate> {
    let is_counted = trial.summary.arms.iter().all(|arm| settle(arm, options.question) != Settled::Pending);
    fate(trial, options.question.stage, is_counted, options.now)
}

fn reason_against(trial: &HeldTrial<'_>, options: &RecordOptions) -> Option<WhyLeftOut> {
    if trial.muted {
        return Some(WhyLeftOut::Muted);
    }
    if trial.weight <= 0.0 {
        return Some(WhyLeftOut::Outside);
    }
    if trial.summary.doi.is_some() && !options.transcribed {
        return Some(WhyLeftOut::Transcribed);
    }
    if options.opened_only && (!trial.opened_early || trial.shrunk) {
        return Some(WhyLeftOut::NotOpened);
    }
    if trial.is_regraft && !options.with_regrafts {
        return Some(WhyLeftOut::WorkedAgain);
    }
    None
}

fn add_rows(trial: &HeldTrial<'_>, options: &RecordOptions, evidence: &mut Evidence) {
    for row in rows_of(trial, options) {
        match row {
            Ok(row) => evidence.rows.push(row),
            Err(why) => leave_out(&mut evidence.left_out, why, 1),
        }
    }
}

/// The row of each arm, or why it has none.
fn rows_of<'a>(
    trial: &'a HeldTrial<'_>,
    options: &'a RecordOptions,
) -> impl Iterator<Item = Result<EvidenceRow, WhyLeftOut>> + 'a {
    let wanted = options.taxon.cultivar.as_deref();
    trial.summary.arms.iter().map(move |arm| {
        let cultivar = arm.facets.cultivar.as_deref().or(trial.summary.taxon.cultivar.as_deref());
        if wanted.is_some() && cultivar != wanted {
            return Err(WhyLeftOut::OtherCultivar);
        }
        arm_row(trial, arm, options).ok_or(WhyLeftOut::OutcomeNotCounted)
    })
}

/// The cluster: a DOI when transcribed, a grower mark for readers who trust the publisher, else the author.
pub(crate) fn cluster_label(trial: &HeldTrial<'_>) -> String {
    match (&trial.summary.doi, &trial.summary.grower_mark) {
        (Some(doi), _) => format!("doi:{doi}"),
        (None, Some(mark)) if trial.trusts_marks || trial.own => {
            format!("{}/{:016x}", trial.author, u64::from_be_bytes(*mark))
        }
        _ => trial.author.to_string(),
    }
}

/// Counts of a stage in which this outcome was settled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Settled {
    Counted {
        succeeded: u16,
        lost: u16,
        alive: Option<u16>,
    },
    /// None alive at an earlier count.
    EndedEarlier {
        lost: u16,
    },
    /// The stage was not counted.
    Pending,
    /// The stage was counted, this outcome was not.
    NotAsked,
}

fn at(stages: &StageCounts, stage: Stage) -> Option<&Counts> {
    stages.at(of_record(stage))
}

/// The stage as records name it.
const fn of_record(stage: Stage) -> record::Stage {
    match stage {
        Stage::Lift => record::Stage::Lift,
        Stage::Season => record::Stage::Season,
        Stage::Spring => record::Stage::Spring,
        Stage::Final => record::Stage::Last,
    }
}

fn settle(arm: &Arm, question: Question) -> Settled {
    let Some(counts) = at(&arm.stages, question.stage) else {
        let earlier = Stage::ALL.into_iter().filter(|stage| *stage < question.stage);
        let ended = earlier.filter_map(|stage| at(&arm.stages, stage)).find(|counts| none_left(arm, counts));
        return ended
            .map_or(Settled::Pending, |counts| Settled::EndedEarlier { lost: counts.lost.unwrap_or(0) });
    };
    let succeeded = match question.outcome {
        // Those that left as finished had roots; a record counts them apart.
        Outcome::Rooted => {
            counts.rooted.map(|rooted| (rooted + counts.left_as_finished.unwrap_or(0)).min(arm.started))
        }
        Outcome::Alive => counts.alive,
        Outcome::Callused => counts.callused,
        Outcome::Established => counts.established,
        Outcome::Final => counts.finished,
    };
    let succeeded = succeeded.or_else(|| none_left(arm, counts).then_some(0));
    match succeeded {
        Some(succeeded) => {
            Settled::Counted { succeeded, lost: counts.lost.unwrap_or(0), alive: counts.alive }
        }
        None => Settled::NotAsked,
    }
}

/// Whether the counts leave nothing alive, so that every success is none.
fn none_left(arm: &Arm, counts: &Counts) -> bool {
    let gone = u32::from(counts.dead.unwrap_or(0)) + u32::from(counts.lost.unwrap_or(0));
    let nothing_finished = counts.finished.unwrap_or(0) == 0 && counts.left_as_finished.unwrap_or(0) == 0;
    (counts.alive == Some(0) || gone == u32::from(arm.started)) && nothing_finished
}

/// `None` where the stage was counted and this outcome was not.
fn arm_row(trial: &HeldTrial<'_>, arm: &Arm, options: &RecordOptions) -> Option<EvidenceRow> {
    let (summary, question) = (trial.summary, options.question);
    let (succeeded, lost, alive, pending, ended_earlier) = match settle(arm, question) {
        Settled::Counted { succeeded, lost, alive } => (succeeded, lost, alive, false, false),
        Settled::EndedEarlier { lost } => (0, lost, Some(0), false, true),
        Settled::Pending => (0, 0, None, true, false),
        Settled::NotAsked => return None,
    };
    let silent = pending && fate_of(trial, options) == Some(Fate::Silent);
    let weeks = life::weeks_to(summary, arm, question.stage);
    Some(EvidenceRow {
        grower: cluster_label(trial),
        publisher: trial.author.to_string(),
        trial: trial_label(&trial.author, &summary.series),
        arm: arm.number.to_string(),
        facets: words_of(&arm.facets, summary),
        first_seen: life::first_seen(summary, arm, question, succeeded),
        life: life::life(arm),
        phases: life::phases_before(&arm.phases, weeks, summary),
        started: u32::from(arm.started),
        succeeded: u32::from(succeeded),
        lost: u32::from(lost),
        pots: pots(arm, question, succeeded).unwrap_or_default(),
        alive: alive.map(u32::from),
        pending,
        weeks,
        region: Some(summary.region.midpoints()),
        site: None,
        own: trial.own,
        weight: trial.weight,
        flags: RowFlags { silent, ended_earlier, ..flags(trial, arm) },
    })
}

/// Each pot, where the record lists the outcome asked for by pot, and the list adds up to the arm's count.
fn pots(arm: &Arm, question: Question, succeeded: u16) -> Option<Vec<Pot>> {
    let is_listed = match question.stage {
        Stage::Final => question.outcome == Outcome::Final,
        Stage::Lift | Stage::Season | Stage::Spring => question.outcome == Outcome::Rooted,
    };
    let (started, counts) = (arm.replicates.as_ref()?, at(&arm.stages, question.stage)?);
    let listed = counts.replicates.as_ref().filter(|listed| is_listed && listed.len() == started.len())?;
    let lost = counts.lost_by_replicate.as_ref();
    let is_whole = listed.iter().map(|n| u32::from(*n)).sum::<u32>() == u32::from(succeeded)
        && started.iter().zip(listed).all(|(started, n)| n <= started);
    let pot = |(place, (started, succeeded)): (usize, (&u16, &u16))| Pot {
        started: u32::from(*started),
        succeeded: u32::from(*succeeded),
        lost: lost.and_then(|lost| lost.get(place)).map_or(0, |lost| u32::from(*lost)),
    };
    is_whole.then(|| started.iter().zip(listed).enumerate().map(pot).collect())
}

fn words_of(facets: &Facets, summary: &Summary) -> FacetWords {
    let mut words = facet_words(facets);
    if let Some(cultivar) = &summary.taxon.cultivar {
        words.entry("cultivar".to_owned()).or_insert_with(|| cultivar.clone());
    }
    words
}

fn flags(trial: &HeldTrial<'_>, arm: &Arm) -> RowFlags {
    let design = trial.summary.design;
    RowFlags {
        equivocated: trial.equivocated,
        shrunk: trial.shrunk,
        lot: design.has(DesignFlags::LOT),
        single_replicate: arm.replicates.is_none() && !design.has(DesignFlags::UNIT_IS_PIECE),
        stock_plants_uneven: design.has(DesignFlags::STOCK_PLANTS_UNEVEN),
        opened_early: trial.opened_early,
        transcribed: trial.summary.doi.is_some(),
        perhaps_chosen: trial.summary.doi.is_some() && !design.has(DesignFlags::ALL_ARMS_REPORTED),
        marks_joined: trial.summary.grower_mark.is_some() && !trial.trusts_marks && !trial.own,
        silent: false,
        ended_earlier: false,
        matched: design.has(DesignFlags::REPLICATES_MATCHED),
        unit_is_piece: design.has(DesignFlags::UNIT_IS_PIECE),
        is_control: trial.summary.control == Some(arm.number),
        unlisted_difference: arm.unlisted_difference,
        start_offset: arm.start_offset_months.unwrap_or(0),
    }
}
