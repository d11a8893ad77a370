//! What stands behind a pooled answer, for readers who ask.

use super::wrap::{push_line, short_label, wrap};
use crate::answer::pool::{Detail, Influence, PoolAnswer, VouchInfluence};
use crate::answer::words;
use crate::answer::words::{percent, percent_range, percent_with_range};

/// Most growers named under a method; those that move its rate most come first.
const GROWERS_SHOWN: usize = 8;

/// A block a method: other readings, classical results, and what each grower moves. Nothing unless asked for.
pub(super) fn detail(out: &mut String, answer: &PoolAnswer, width: usize) {
    for detail in answer.detail.iter().flatten() {
        out.push('\n');
        let method = answer.methods.iter().find(|method| method.method == detail.method);
        let prior = method.is_some_and(|method| method.rooted == 0);
        let prior = if prior { words::MOSTLY_PRIOR } else { "" };
        wrap(out, &format!("Behind the headline: {}{prior}", detail.method), width, "");
        readings(out, answer, detail, width);
        classical(out, detail, width);
        influence(out, answer, detail);
        authors(out, answer, detail, width);
        vouches(out, answer, detail, width);
    }
    if answer.detail.is_some() {
        out.push('\n');
        wrap(out, words::CLASSICAL, width, "");
    }
}

fn readings(out: &mut String, answer: &PoolAnswer, detail: &Detail, width: usize) {
    for other in &detail.sensitivity {
        let average = percent_with_range(other.average_grower_rate_mean, other.average_grower_rate_q);
        let [low, _, high] = other.new_grower_rate_q;
        let line = format!(
            "prior of the spread {}: average {average}, a new grower {}",
            other.grower_sd,
            percent_range(low, high)
        );
        wrap(out, &line, width, "  ");
    }
    let method = answer.methods.iter().find(|method| method.method == detail.method);
    if let Some(fit) = method.and_then(|method| method.lost_left_out.as_ref()) {
        let average = percent_with_range(fit.average_grower_rate_mean, fit.average_grower_rate_q);
        wrap(out, &format!("pieces never scored left out: average {average}"), width, "  ");
    }
}

fn classical(out: &mut String, detail: &Detail, width: usize) {
    let classical = &detail.classical;
    let rate = |rate: &crate::answer::pool::ClassicalRate| {
        let [low, high] = rate.interval;
        format!("{} % ({})", percent(rate.typical_grower_rate), percent_range(low, high))
    };
    let most_likely =
        classical.maximum_likelihood.as_ref().map_or_else(|| words::NO_MAXIMUM.to_owned(), rate);
    if classical.crude_rate > 0.0 {
        push_line(out, "  ", &format!("all pieces thrown together: {} %", percent(classical.crude_rate)));
    }
    wrap(out, &format!("typical grower by maximum likelihood: {most_likely}"), width, "  ");
    if let Some(restricted) = &classical.restricted {
        let text = format!("typical grower by the normal model, 0.5 added to zeros: {}", rate(restricted));
        wrap(out, &text, width, "  ");
    }
}

fn influence(out: &mut String, answer: &PoolAnswer, detail: &Detail) {
    let Some(method) = answer.methods.iter().find(|method| method.method == detail.method) else { return };
    let average = method.fit.average_grower_rate_mean;
    let moves = |line: &Influence| (line.average_grower_rate_without - average).abs();
    let lines = answer.influence.iter().flatten().filter(|line| line.method == detail.method);
    let mut lines: Vec<&Influence> = lines.collect();
    lines.sort_by(|a, b| moves(b).total_cmp(&moves(a)));
    for line in lines.iter().take(GROWERS_SHOWN) {
        let without = percent(line.average_grower_rate_without);
        push_line(out, "  ", &format!("without {}: average {without} %", short_label(&line.grower)));
    }
    if lines.len() > GROWERS_SHOWN {
        let more = lines.len() - GROWERS_SHOWN;
        push_line(
            out,
            "  ",
            &format!("and {} less", words::counted(more, "grower that moves it", "growers that move it")),
        );
    }
}

/// Authors that bring several growers.
fn authors(out: &mut String, answer: &PoolAnswer, detail: &Detail, width: usize) {
    for line in answer.authors.iter().flatten().filter(|line| line.method == detail.method) {
        let without = words::average_or_nobody(line.average_grower_rate_without);
        let author = short_label(&line.author);
        let growers = words::counted(line.growers, "grower", "growers");
        wrap(out, &format!("without the {growers} of {author}: {without}"), width, "  ");
    }
}

/// Vouches that move the rate most.
fn vouches(out: &mut String, answer: &PoolAnswer, detail: &Detail, width: usize) {
    let Some(method) = answer.methods.iter().find(|method| method.method == detail.method) else { return };
    let average = method.fit.average_grower_rate_mean;
    let moves = |line: &VouchInfluence| {
        line.average_grower_rate_without.map_or(f64::INFINITY, |without| (without - average).abs())
    };
    let lines = answer.vouches.iter().flatten().filter(|line| line.method == detail.method);
    let mut lines: Vec<&VouchInfluence> = lines.collect();
    lines.sort_by(|a, b| moves(b).total_cmp(&moves(a)));
    for line in lines.iter().take(GROWERS_SHOWN) {
        let to = short_label(&line.to);
        let whose = if line.is_own {
            format!("your trust in {to}")
        } else {
            format!("the vouch of {} for {to}", short_label(&line.from))
        };
        let without = words::average_or_nobody(line.average_grower_rate_without);
        wrap(out, &format!("without {whose}: {without}"), width, "  ");
    }
    if lines.len() > GROWERS_SHOWN {
        let more = lines.len() - GROWERS_SHOWN;
        push_line(
            out,
            "  ",
            &format!("and {} less", words::counted(more, "vouch that moves it", "vouches that move it")),
        );
    }
}
