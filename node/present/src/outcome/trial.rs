//! One trial in words: what a command shows of it, and the lines that its page and its report show too.

use crate::chart::{Dots, Funnel, Pieces, Step};
use crate::document::{Document, Item, List, Phrase};
use propagule_bench::kind::Kind;
use propagule_bench::{Arm, Stage};
use propagule_protocol::vocab::HomeDetail;

use super::said;
use super::spots::care_words;
use crate::kind::{self, KindWords};
use crate::words;
use crate::words::bench::VerdictFacts;
use crate::words::pieces::states;
use crate::words::sentences::when;
use crate::words::{bench, counted, recorded, trial as sentences};
use propagule_answer::trial::{NowRow, StageAnswer};
use propagule_app::outcome::trial::{
    ArmMove, ArmStands, CareGiven, ClosedBy, Contradiction, CurveShown, Scored, StageShown, TrialShown,
};

/// A trial as it stands.
pub(super) fn shown(shown: &TrialShown) -> Document {
    let said = KindWords::of(shown.kind);
    let stages = shown.stages.iter().map(|stage| {
        let mut lines = stage_lines(stage, shown.kind);
        if shown.in_detail {
            lines.extend(detail_lines(stage, shown.kind));
        }
        (Phrase::from(format!("At {}", stage_heading(stage, shown.kind))), Document::new(), lines)
    });
    let (heading, under) = head(shown);
    let mut sections: Vec<(Phrase, Document, Vec<String>)> =
        std::iter::once((heading, under, Vec::new())).chain(stages).collect();
    // What is said of the whole stands below the last stage.
    if let Some((.., lines)) = sections.last_mut() {
        lines.extend(left_lines(shown));
        lines.extend(after_lines(shown));
    }
    Document::new()
        .each(sections, |document, (heading, under, lines)| {
            document.section(heading, |_| under.list(List::points(lines)))
        })
        .when(shown.in_detail, |document| document.append(detail(shown, &said)))
        .each(&shown.left_out, |document, left_out| document.say(contradiction(left_out, shown.kind)))
}

/// Who it is, and each arm as it stands.
fn head(shown: &TrialShown) -> (Phrase, Document) {
    let trial = &shown.trial;
    let heading = Phrase::from(format!("{} ", trial.code)).name(trial.species.as_str()).then(format!(
        " {} {}",
        put_in(shown),
        when(&KindWords::of(shown.kind), &trial.started_on)
    ));
    let arms = trial.arms.iter().zip(&shown.stands).zip(&shown.now);
    let arms = arms.map(|((arm, stands), now)| arm_item(shown, arm, stands, now));
    let under = Document::new()
        .each(&trial.question, Document::say)
        .when(trial.is_private, |under| under.say("Private: it stays at home."))
        .each(&shown.closed, |under, closed| {
            under.say(format!("{} (entry {})", closed_line(closed, shown.kind), closed.entry))
        })
        .list(List::points(arms));
    (heading, under)
}

/// How it was closed, and when.
pub fn closed_line(closed: &ClosedBy, kind: Kind) -> String {
    recorded::closed_line(&closed.stands, &KindWords::of(kind)).unwrap_or_default()
}

/// What was done on the first day, or that it is planned.
pub(super) fn put_in(shown: &TrialShown) -> &'static str {
    if shown.trial.is_planned { "planned for" } else { KindWords::of(shown.kind).started }
}

/// How many were started, and when: `24 cuttings stuck Jun 6, 2026`.
pub fn put_in_on(shown: &TrialShown) -> String {
    let words = KindWords::of(shown.kind);
    let many = words.many(shown.trial.started());
    format!("{many} {} {}", put_in(shown), when(&words, &shown.trial.started_on))
}

fn arm_item(shown: &TrialShown, arm: &Arm, stands: &ArmStands, now: &NowRow) -> Item {
    let method = method(arm);
    let method = behind(&method);
    let under = Document::new()
        .each(&stands.spot, |under, spot| {
            under.say(format!("on {spot}{}", behind(&care(&stands.care, shown.kind))))
        })
        .each(&stands.moves, |under, moved| under.say(moved_to(moved)))
        .when(now.is_entered, |under| {
            let states = states(&now.row, None, &KindWords::of(shown.kind));
            under.say(format!("now: {}", self::now(now, shown.kind))).chart(dots(states))
        });
    let words = KindWords::of(shown.kind);
    Item::from(format!("{}: {}{method}", arm.label, words.many(arm.started))).with(under)
}

/// `rooting hormone IBA, humidity dome`.
fn method(arm: &Arm) -> String {
    facets(arm).join(", ")
}

/// What was said of the method of a treatment, in words: its details, and what none of them holds.
pub fn facets(arm: &Arm) -> Vec<String> {
    let form = form_of_kind(arm);
    let is_said = |name: &str| form.is_some() && matches!(name, "form" | "kind");
    let facets = arm.facets.iter().filter(|(name, _)| !is_said(name));
    let facets = facets.map(|(name, words)| kind::described(name, words));
    form.clone()
        .into_iter()
        .chain(facets)
        .chain(arm.at_home.iter().map(|(detail, said)| at_home(*detail, said)))
        .collect()
}

/// Of grafts, buds and layers form and kind are one word of the trade: whip-and-tongue graft, mound layer.
fn form_of_kind(arm: &Arm) -> Option<String> {
    let kind = arm.facets.get("kind").filter(|kind| matches!(kind.as_str(), "graft" | "bud" | "layer"))?;
    Some(format!("{} {kind}", arm.facets.get("form")?))
}

/// The same without what every treatment of the trial shares.
pub(crate) fn differing(all: &[Arm], arm: &Arm) -> Vec<String> {
    let is_shared = |said: &String| all.len() > 1 && all.iter().all(|other| facets(other).contains(said));
    facets(arm).into_iter().filter(|said| !is_shared(said)).collect()
}

fn at_home(detail: HomeDetail, said: &str) -> String {
    let counted = |one, many| if said == "1" { format!("{said} {one}") } else { format!("{said} {many}") };
    match detail {
        HomeDetail::Seconds => format!("{said} s in the hormone"),
        HomeDetail::Minutes => format!("{said} min in the hormone"),
        HomeDetail::Hours => format!("{said} h in the hormone"),
        HomeDetail::Cells => counted("cell a tray", "cells a tray"),
        HomeDetail::Size => format!("container size {said}"),
        HomeDetail::Leaves => counted("leaf kept", "leaves kept"),
    }
}

/// What was logged for a bench, in words.
pub fn care(care: &[CareGiven], kind: Kind) -> String {
    let words = KindWords::of(kind);
    care.iter()
        .map(|given| format!("from {}: {}", when(&words, &given.from), care_words(&given.care)))
        .collect::<Vec<_>>()
        .join("; ")
}

fn behind(words: &str) -> String {
    if words.is_empty() { String::new() } else { format!("; {words}") }
}

/// Where a treatment was moved, and after how long.
pub fn moved_to(moved: &ArmMove) -> String {
    format!("moved to {} after {}", moved.to, counted(moved.weeks, "week", "weeks"))
}

/// How an arm stands.
pub fn now(now: &NowRow, kind: Kind) -> String {
    sentences::now(now, &KindWords::of(kind))
}

/// A mark for each one.
pub(crate) fn dots(states: Vec<Pieces>) -> Dots {
    Dots { said: Dots::counts(&states), states, pieces: "number".to_owned(), state: "state".to_owned() }
}

/// `the lift count, Sep 14, 2026`.
pub fn stage_heading(stage: &StageShown, kind: Kind) -> String {
    let words = KindWords::of(kind);
    format!("{}, {}", words.at(stage.counts.stage), when(&words, &stage.counts.on))
}

/// Arms, all arms together, totals by mother and worker, and every pair, in words.
pub fn stage_lines(stage: &StageShown, kind: Kind) -> Vec<String> {
    let mut lines = count_lines(&stage.counts, kind);
    lines.extend(stage.verdicts.iter().map(|verdict| said::line(&verdict.sentence)));
    lines
}

/// The counts of a stage, without verdicts.
pub(crate) fn count_lines(stage: &StageAnswer, kind: Kind) -> Vec<String> {
    let (said, at) = (KindWords::of(kind), stage.stage);
    let arms = stage.arms.iter().map(|arm| {
        let on = if arm.on == stage.on {
            String::new()
        } else {
            format!(" (Counted on {}.)", when(&said, &arm.on))
        };
        sentences::arm_line(arm, &said, at) + &on
    });
    let mut lines: Vec<String> = arms.collect();
    lines.extend(stage.all.iter().map(|all| sentences::all_arms(all, &said, at)));
    lines.extend(sentences::groups(
        &format!("By {}", said.trade("stock plant")),
        &stage.by_mother,
        said.outcome(at),
    ));
    lines.extend(sentences::groups("By who did the work", &stage.by_operator, said.outcome(at)));
    lines
}

/// What only an adviser asks for: how pots differ, and all the numbers of every pair.
pub fn detail_lines(stage: &StageShown, kind: Kind) -> Vec<String> {
    let (words, at) = (KindWords::of(kind), stage.counts.stage);
    let pots = stage.pots.iter().map(|pots| bench::pots(&words, &pots.arm, pots.dispersion, pots.p));
    let details = stage.family.iter().flat_map(|family| {
        let facts = |pair| VerdictFacts { pair, family, words, stage: at };
        stage.verdicts.iter().filter_map(move |verdict| facts(&verdict.row).detail())
    });
    pots.chain(details).collect()
}

/// Finished plants that left before any final count.
pub fn left_lines(shown: &TrialShown) -> Vec<String> {
    let left = shown.left_so_far.iter();
    let words = KindWords::of(shown.kind);
    left.map(|left| bench::left_so_far(&words, &left.arm, left.started, left.left, left.kept)).collect()
}

/// The whole life, what was removed from stocks, and the trials that belong to it.
pub fn after_lines(shown: &TrialShown) -> Vec<String> {
    let said = KindWords::of(shown.kind);
    let mut lines: Vec<String> = shown.life.iter().flat_map(|life| sentences::life(life, &said)).collect();
    lines.extend(shown.suckers.iter().filter(|_| !shown.trial.is_planned).map(sentences::suckers));
    lines.extend(sentences::lineage(&shown.trial.code, &shown.lineage, &said));
    lines
}

/// The heading of what was scored.
pub fn title_of_scores(kind: Kind) -> String {
    KindWords::of(kind).title_of_scores()
}

/// What was scored of roots and grades at a place.
pub fn score_line(scored: &Scored, kind: Kind) -> String {
    let (words, scale) = (KindWords::of(kind), scored.grade_scale.as_deref().unwrap_or("own scale"));
    let said = bench::scores(&words, &scored.root_counts, scored.longest_root, &scored.grades, scale);
    format!("{}, {}: {said}.", when(&words, &scored.on), scored.place)
}

/// Curves, stages and scores.
fn detail(shown: &TrialShown, said: &KindWords) -> Document {
    Document::new()
        .when(!shown.scores.is_empty(), |document| {
            document.section(title_of_scores(shown.kind), |under| {
                under.list(List::points(shown.scores.iter().map(|scored| score_line(scored, shown.kind))))
            })
        })
        .each(&shown.trial.arms, |document, arm| {
            let days: Vec<_> = shown.curve.iter().filter(|day| day.row.arm == arm.label).collect();
            document.when(!days.is_empty(), |document| {
                document.section(words::over_time(&arm.label, arm.started, said), |under| {
                    let line = |day: &CurveShown| words::curve_point(&day.row.point, day.estimate, said);
                    under.list(List::points(days.into_iter().map(line)))
                })
            })
        })
        .section("Stages", |under| under.chart(stages(shown)))
}

fn stages(shown: &TrialShown) -> Funnel {
    let steps = funnel_rows(shown).into_iter().map(|(words, count, of)| Step { words, count, of });
    Funnel { steps: steps.collect(), caption: Phrase::new(), heads: Default::default() }
}

/// How many were started, and the lead outcome of each stage, each with its denominator.
pub fn funnel_rows(shown: &TrialShown) -> Vec<(String, u32, u32)> {
    let said = KindWords::of(shown.kind);
    let words = |arm: &str, stage: Option<Stage>| match stage {
        None => format!("{arm} {}", said.started),
        Some(stage) => format!("{arm} {} at {}", said.outcome(stage), said.at(stage)),
    };
    shown.funnel.iter().map(|step| (words(&step.arm, step.stage), step.count, step.of)).collect()
}

/// That an entry contradicts an earlier one, and why.
pub fn contradiction(left_out: &Contradiction, kind: Kind) -> String {
    let why = crate::contradiction::season(&left_out.fault, &KindWords::of(kind));
    format!("Entry {} contradicts an earlier one and is left out: {why}", left_out.entry)
}

/// The word for what succeeded at a stage.
pub(super) fn outcome_at(stage: Stage, kind: Kind) -> String {
    KindWords::of(kind).in_data(stage).to_owned()
}
