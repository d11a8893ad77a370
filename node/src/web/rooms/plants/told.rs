//! What a plan says: what to try next, how many by each method, what would tell two apart.

use maud::{Markup, html};

use crate::answer::plan::{GrowersOrPieces, MethodPlan, PlanAnswer, TellApart};
use crate::answer::words;
use crate::answer::words::{ApartCells, percent, percent_range, percent_with_range};
use crate::web::draw;

/// Methods told.
const MOST_METHODS: usize = 16;

pub(super) fn tries(answer: &PlanAnswer) -> Markup {
    html! {
        @if !answer.next.is_empty() {
            h2 { "What to try next" }
            ol { @for line in answer.next.iter().take(MOST_METHODS) { li { (line.sentence) } } }
        }
    }
}

/// Methods in the order in which they are worth a try; those without a number last.
fn in_order(answer: &PlanAnswer) -> Vec<&MethodPlan> {
    let place = |method: &MethodPlan| answer.next.iter().position(|next| next.method == method.method);
    let mut methods: Vec<&MethodPlan> = answer.methods.iter().collect();
    methods.sort_by_key(|method| (method.stick.is_none(), place(method).unwrap_or(usize::MAX)));
    methods
}

pub(super) fn methods(answer: &PlanAnswer) -> Markup {
    let methods = in_order(answer);
    let is_alone = methods.len() == 1;
    html! {
        @if !methods.is_empty() { h2 { "How many to put in" } }
        @for of in methods.iter().take(MOST_METHODS) {
            h3 { (of.method) }
            @if !is_alone { p { (of.sentence) } }
            (chance(of, answer.want))
            p class="soft" { (basis(of)) }
        }
        @if methods.len() > MOST_METHODS { p class="soft" { "And " (methods.len() - MOST_METHODS) " more methods in the file of the plan." } }
    }
}

/// What that number of pieces may bring.
fn chance(method: &MethodPlan, want: u32) -> Markup {
    let drawn = method.stick.zip(method.outcomes.as_ref()).zip(method.chance);
    html! {
        @if let Some(((stick, outcomes), chance)) = drawn {
            div class="figure" {
                (draw::outcomes(stick, want, outcomes, "successes"))
                p class="legend" { "Each dot is one of " (outcomes.len()) " equally likely outcomes of " (stick) " pieces; filled ones reach " (want) ". The chance of that is " (percent(chance)) " %." }
                details {
                    summary { "As a table" }
                    p { (outcomes.len()) " equally likely outcomes, from few to many: " (outcomes.iter().map(u32::to_string).collect::<Vec<_>>().join(", ")) "." }
                }
            }
        }
    }
}

/// What the number rests on, so that it does not stand alone.
fn basis(method: &MethodPlan) -> String {
    let counts = format!(
        "{} of {} in {} by {}",
        method.rooted,
        method.started,
        words::counted(method.trials, "trial", "trials"),
        words::counted(method.growers, "grower", "growers"),
    );
    if method.rooted == 0 {
        return format!("{counts}.");
    }
    let fit = &method.fit;
    let [low, _, high] = fit.new_grower_rate_q;
    format!(
        "{counts}; average grower {}, a new grower {}.",
        percent_with_range(fit.average_grower_rate_mean, fit.average_grower_rate_q),
        percent_range(low, high)
    )
}

pub(super) fn apart(answer: &PlanAnswer) -> Markup {
    let (named, general): (Vec<&TellApart>, Vec<&TellApart>) =
        answer.tell_apart.iter().partition(|row| row.first.is_some());
    html! {
        @if !named.is_empty() {
            h2 { "To tell methods apart in one trial" }
            @for row in named { p { (row.sentence) } }
        }
        @if !general.is_empty() && !answer.methods.is_empty() {
            details {
                summary { "To tell two true rates apart, in general" }
                @let rows: Vec<ApartCells> = general.iter().map(|row| words::apart_cells(row)).collect();
                @let in_pots = rows.iter().any(|row| row.shown_without_pots.is_some());
                table {
                    caption { "Two arms; \u{201c}needed\u{201d} is for " (percent(answer.sure)) " times in 100" }
                    thead { tr {
                        th scope="col" { "True rates" } th scope="col" { "Each arm" } th scope="col" { "Shown in 100" }
                        @if in_pots { th scope="col" { "If pots never differed" } }
                        th scope="col" { "Needed" }
                    } }
                    tbody { @for row in &rows { tr {
                        th scope="row" { (row.rates) }
                        td { (row.each_arm) }
                        td { (row.shown) }
                        @if in_pots { td { (row.shown_without_pots.as_deref().unwrap_or_default()) } }
                        td { (row.needed) }
                    } } }
                }
            }
        }
    }
}

pub(super) fn growers(rows: &[GrowersOrPieces]) -> Markup {
    html! {
        @if let Some(first) = rows.first() {
            details {
                summary { "More growers or more pieces" }
                table {
                    caption { (first.method) }
                    thead { tr { th scope="col" { "Growers" } th scope="col" { "Pieces each" } th scope="col" { "Rate pinned down to" } } }
                    tbody { @for row in rows { tr {
                        th scope="row" { (row.growers) }
                        td { (row.pieces_each) }
                        td { (percent_range(row.typical_rate_range[0], row.typical_rate_range[1])) }
                    } } }
                }
                p class="soft" { (words::PINNED_DOWN) }
            }
        }
    }
}
