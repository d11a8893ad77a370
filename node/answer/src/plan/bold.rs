//! Where nothing ever succeeded: what an arm of so many pieces could show.

use propagule_analysis::{Count, interval};

use super::BoldArm;
use super::method::Planned;
use crate::question::{Asked, PlanQuestion};
use crate::said::{AnswerSaid, BoldFacts};

/// Pieces of a bold arm unless told otherwise: what a grower can usually spare.
const PIECES: u32 = 24;

/// `None` where something succeeded by some method, or where there is no evidence.
pub(super) fn bold_arm(planned: &[Planned], asked: &Asked<'_, PlanQuestion>) -> Option<BoldArm> {
    if planned.is_empty() || planned.iter().any(|planned| planned.plan.rooted > 0) {
        return None;
    }
    let pieces = asked.question.aim.pieces.unwrap_or(PIECES).max(1);
    let upper = |started| Count::new(started, 0).map(|count| interval::one_sided_upper(count, 0.95)).ok();
    let tried = planned.iter().map(|planned| planned.plan.started).max().unwrap_or(0);
    let upper_if_none_again = match planned {
        [only] => upper(only.plan.started.saturating_add(pieces)),
        _ => None,
    };
    let arm = BoldArm {
        pieces,
        rate_shown: -((-asked.question.aim.sure.get()).ln_1p() / f64::from(pieces)).exp_m1(),
        upper_if_none: upper(pieces)?,
        upper_if_none_again,
        sentence: AnswerSaid::Nothing,
    };
    let facts = BoldFacts {
        pieces,
        sure: asked.question.aim.sure.get(),
        rate_shown: arm.rate_shown,
        upper_if_none: arm.upper_if_none,
        again: upper(tried).zip(upper_if_none_again),
    };
    Some(BoldArm { sentence: AnswerSaid::Bold(facts), ..arm })
}
