//! What stands behind the figures: the model's own numbers, other priors, classical results, and who moves them.

use axum::response::Response;
use maud::{Markup, html};

use super::answer::question;
use super::{only, plot, shown};
use crate::answer::pool::{ClassicalRate, Detail, Influence, MethodAnswer, PoolAnswer, VouchInfluence};
use crate::answer::words;
use crate::answer::words::{percent, percent_range, percent_with_range};
use crate::app::reading;
use crate::web::fields::Fields;
use crate::web::problem::Turned;
use crate::web::visit::Visit;

/// Most methods told in detail.
const MOST_METHODS: usize = 16;
/// Most growers, and most vouches, named under a method; those that move its rate most come first.
const MOST_NAMED: usize = 8;

pub(super) async fn page(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let (asked, taxon) = only(&visit, &fields).await?;
    let request = asked.pool(true);
    let view = visit.view(move |app| reading::species(app, &request)).await?;
    let answer = &view.answer;
    let methods = plot::in_order(answer);
    let body = html! {
        h1 { i { (taxon) } ": what moves the figures" }
        p { (answer.methods.len()) " " @if answer.methods.len() == 1 { "method" } @else { "methods" } ", " (question(answer)) ". " a href={ "/species?" (asked.query()) } { "Back to the answer" } }
        @for method in methods.iter().take(MOST_METHODS) {
            h2 { (method.method) @if method.rooted == 0 { (words::MOSTLY_PRIOR) } }
            p { (method.sentence) }
            (moved(answer, method))
            @let detail = answer.detail.iter().flatten().find(|detail| detail.method == method.method);
            @if let Some(detail) = detail { (technical(method, detail)) }
        }
        @if answer.methods.len() > MOST_METHODS { p class="soft" { "And " (answer.methods.len() - MOST_METHODS) " more methods in the file of the answer." } }
        p class="soft" { (words::CLASSICAL) }
    };
    Ok(shown(&visit, &format!("Behind {taxon}"), &body))
}

/// Growers, publishers and vouches without which the average would be another.
fn moved(answer: &PoolAnswer, method: &MethodAnswer) -> Markup {
    let lines: Vec<String> = growers(answer, method)
        .into_iter()
        .chain(publishers(answer, method))
        .chain(vouches(answer, method))
        .collect();
    html! {
        @if lines.is_empty() { p class="soft" { "Nobody can be left out: one grower is all there is." } }
        @else { ul { @for line in lines { li { (line) } } } }
    }
}

fn growers(answer: &PoolAnswer, method: &MethodAnswer) -> Vec<String> {
    let average = method.fit.average_grower_rate_mean;
    let moves = |line: &Influence| (line.average_grower_rate_without - average).abs();
    let of = answer.influence.iter().flatten().filter(|line| line.method == method.method);
    let mut of: Vec<&Influence> = of.collect();
    of.sort_by(|a, b| moves(b).total_cmp(&moves(a)));
    let more = of.len().saturating_sub(MOST_NAMED);
    let told = of.iter().take(MOST_NAMED).map(|line| {
        format!(
            "without {}: average {} %",
            reading::short(&line.grower),
            percent(line.average_grower_rate_without)
        )
    });
    told.chain((more > 0).then(|| {
        format!("and {} less", words::counted(more, "grower that moves it", "growers that move it"))
    }))
    .collect()
}

fn publishers(answer: &PoolAnswer, method: &MethodAnswer) -> Vec<String> {
    let of = answer.authors.iter().flatten().filter(|line| line.method == method.method);
    let told = of.take(MOST_NAMED).map(|line| {
        let without = words::average_or_nobody(line.average_grower_rate_without);
        let growers = words::counted(line.growers, "grower", "growers");
        format!("without the {growers} of {}: {without}", reading::short(&line.author))
    });
    told.collect()
}

fn vouches(answer: &PoolAnswer, method: &MethodAnswer) -> Vec<String> {
    let average = method.fit.average_grower_rate_mean;
    let moves = |line: &VouchInfluence| {
        line.average_grower_rate_without.map_or(f64::INFINITY, |without| (without - average).abs())
    };
    let of = answer.vouches.iter().flatten().filter(|line| line.method == method.method);
    let mut of: Vec<&VouchInfluence> = of.collect();
    of.sort_by(|a, b| moves(b).total_cmp(&moves(a)));
    let told = of.iter().take(MOST_NAMED).map(|line| {
        let to = reading::short(&line.to);
        let whose = if line.is_own {
            format!("your trust in {to}")
        } else {
            format!("the vouch of {} for {to}", reading::short(&line.from))
        };
        format!("without {whose}: {}", words::average_or_nobody(line.average_grower_rate_without))
    });
    told.collect()
}

/// Figures for readers who know the model.
fn technical(method: &MethodAnswer, detail: &Detail) -> Markup {
    let fit = &method.fit;
    let ends = |[low, _, high]: [f64; 3]| percent_range(low, high);
    html! {
        details {
            summary { "Figures for advisers" }
            dl class="facts even" {
                dt { "Average grower" } dd { (percent_with_range(fit.average_grower_rate_mean, fit.average_grower_rate_q)) }
                dt { "A new grower" } dd { (ends(fit.new_grower_rate_q)) }
                dt { "Typical grower" } dd { (percent_with_range(fit.typical_grower_rate_mean, fit.typical_grower_rate_q)) }
                dt { "Spread between growers, logit" } dd { (format!("{:.2} ({:.2}\u{2013}{:.2})", fit.tau_mean, fit.tau_q[0], fit.tau_q[2])) }
                dt { "New grower above 10 %" } dd { (percent(fit.prob_new_grower_above_10pct)) " %" }
                dt { "New grower above 50 %" } dd { (percent(fit.prob_new_grower_above_50pct)) " %" }
                @for other in &detail.sensitivity {
                    dt { "Prior of the spread " (other.grower_sd) }
                    dd { "average " (percent_with_range(other.average_grower_rate_mean, other.average_grower_rate_q)) ", a new grower " (ends(other.new_grower_rate_q)) }
                }
                @if let Some(other) = &method.lost_left_out {
                    dt { "Lost pieces left out" } dd { "average " (percent_with_range(other.average_grower_rate_mean, other.average_grower_rate_q)) }
                }
                dt { "All pieces thrown together" } dd { (percent(detail.classical.crude_rate)) " %" }
                dt { "Typical grower by maximum likelihood" } dd { (detail.classical.maximum_likelihood.as_ref().map_or_else(|| words::NO_MAXIMUM.to_owned(), classical)) }
                @if let Some(restricted) = &detail.classical.restricted { dt { "By the normal model, 0.5 added to zeros" } dd { (classical(restricted)) } }
            }
        }
    }
}

fn classical(rate: &ClassicalRate) -> String {
    let [low, high] = rate.interval;
    format!("{} % ({}), spread {:.2}", percent(rate.typical_grower_rate), percent_range(low, high), rate.tau)
}
