//! A pooled answer as text: the sentence first, then one block a method with its bar.

use super::bar::Axis;
use super::facets;
use super::wrap::{columns, pad_left, pad_right, push_line, usable_width, wrap};
use crate::pool::{MethodAnswer, PoolAnswer};
use crate::screens;
use crate::words;
use crate::words::{Family, Lead, Rates, Wording, percent_with_range};

/// The answer in lines of at most `width` columns, 60 to 120.
pub fn pool_text(answer: &PoolAnswer, width: usize) -> String {
    let width = usable_width(width);
    let mut out = String::new();
    wrap(&mut out, &heading(answer), width, "");
    out.push('\n');
    wrap(&mut out, &answer.sentence, width, "");
    if let [only] = answer.methods.as_slice() {
        below_headline(&mut out, only, width, "");
    }
    if answer.methods.is_empty() {
        if let Some(silence) = &answer.silence {
            wrap(&mut out, &words::silence_words(silence), width, "");
        }
        return out;
    }
    if answer.methods.len() > 1 {
        for method in &answer.methods {
            out.push('\n');
            wrap(&mut out, &method.method, width, "");
            wrap(&mut out, &method.sentence, width, "  ");
            below_headline(&mut out, method, width, "  ");
        }
    }
    out.push('\n');
    table(&mut out, &answer.methods, width);
    contrasts(&mut out, answer, width);
    network(&mut out, answer, width);
    facets::facets(&mut out, answer, width);
    detail(&mut out, answer, width);
    foot(&mut out, answer, width);
    out
}

/// Roots first seen after a move, and the whole life.
fn below_headline(out: &mut String, method: &MethodAnswer, width: usize, indent: &str) {
    for moved in method.moved.iter().filter(|moved| moved.rooted > 0) {
        wrap(out, &moved.sentence, width, indent);
    }
    if let Some(life) = &method.whole_life {
        wrap(out, &life.sentence, width, indent);
    }
}

fn heading(answer: &PoolAnswer) -> String {
    let wording = match answer.methods.as_slice() {
        [only] => only.facts.wording,
        _ => Wording::new(Family::Mixed, answer.outcome),
    };
    format!("{}: {}", answer.species, words::question_words(wording, answer.stage))
}

/// One line and one bar a method. Where one grower or no success is all there is, the bar shows what the count
/// alone fits: a pooled-looking middle would be our prior.
fn table(out: &mut String, methods: &[MethodAnswer], width: usize) {
    let axis = Axis::holding(methods.iter().map(|method| reach(method).1).fold(0.0, f64::max));
    let room = width - 2;
    for method in methods {
        out.push_str(&row_heading(method, width));
        out.push('\n');
        let bar = if shows_own_count(method) {
            axis.interval(reach(method), room)
        } else {
            let fit = &method.fit;
            axis.bar(fit.average_grower_rate_mean, fit.average_grower_rate_q, fit.new_grower_rate_q, room)
        };
        push_line(out, "  ", &bar);
    }
    push_line(out, "  ", &axis.ruler(room));
    let averages = methods.iter().filter(|method| !shows_own_count(method)).count();
    wrap(out, legend(averages, methods.len()), width, "  ");
}

fn legend(averages: usize, methods: usize) -> &'static str {
    match averages {
        0 => "- what the count alone fits",
        all if all == methods => "O average grower, = its 95 % interval, . a new grower's range",
        _ => "O average grower, = its 95 % interval, . a new grower's range, - what the count alone fits",
    }
}

fn shows_own_count(method: &MethodAnswer) -> bool {
    matches!(method.facts.lead(), Lead::None | Lead::OneGrower)
}

fn reach(method: &MethodAnswer) -> (f64, f64) {
    if shows_own_count(method) {
        return method.facts.own_interval();
    }
    let [low, _, high] = method.fit.new_grower_rate_q;
    let [average_low, _, average_high] = method.fit.average_grower_rate_q;
    (low.min(average_low), high.max(average_high))
}

/// Label on the left, count and rate on the right; on two lines where they do not fit on one.
fn row_heading(method: &MethodAnswer, width: usize) -> String {
    let fit = &method.fit;
    let reading = if shows_own_count(method) {
        method.facts.own_reading()
    } else {
        percent_with_range(fit.average_grower_rate_mean, fit.average_grower_rate_q)
    };
    let right = format!("{}/{}   {reading}", method.rooted, method.started);
    let room = width.saturating_sub(columns(&right) + 2);
    if columns(&method.method) <= room {
        return format!("{}  {right}", pad_right(&method.method, room));
    }
    let mut lines = String::new();
    wrap(&mut lines, &method.method, width, "");
    lines + &pad_left(&right, width)
}

fn contrasts(out: &mut String, answer: &PoolAnswer, width: usize) {
    if answer.contrasts.is_empty() {
        return;
    }
    out.push_str("\nSide by side in the same trials\n");
    for contrast in &answer.contrasts {
        wrap(out, &contrast.sentence, width, "  ");
    }
}

/// The ranking in words, with the chance of being best beside the counts.
fn network(out: &mut String, answer: &PoolAnswer, width: usize) {
    let Some(network) = &answer.network else { return };
    out.push_str("\nLinked methods in one model\n");
    wrap(out, &network.sentence, width, "  ");
    let longest = network.methods.iter().map(|method| columns(method)).max().unwrap_or(0);
    let room = longest.min(width.saturating_sub(42));
    for (index, method) in network.methods.iter().enumerate() {
        let best = words::in_hundred(network.rank_prob[index][0]);
        let counts = format!("{}/{}", network.rooted[index], network.started[index]);
        let right = format!("{}  best {best} in 100", pad_left(&counts, 9));
        if columns(method) > room {
            wrap(out, method, width, "  ");
            push_line(out, "  ", &format!("{}  {right}", pad_right("", room)));
        } else {
            push_line(out, "  ", &format!("{}  {right}", pad_right(method, room)));
        }
    }
}

/// What stands behind each method, for readers who ask.
fn detail(out: &mut String, answer: &PoolAnswer, width: usize) {
    let method = |name: &str| answer.methods.iter().find(|method| method.method == name);
    let asked = answer.detail.iter().flatten();
    let methods: Vec<&MethodAnswer> = asked.filter_map(|detail| method(&detail.method)).collect();
    if answer.detail.is_some() {
        out.push('\n');
        out.push_str(&propagule_present::text::render(&screens::behind(answer, &methods), width));
    }
}

fn foot(out: &mut String, answer: &PoolAnswer, width: usize) {
    out.push('\n');
    for line in &answer.left_out {
        wrap(out, &format!("Not counted: {}, {}.", line.count, line.reason), width, "");
    }
    if let Some(again) = &answer.regrafts {
        wrap(out, &format!("{} {}", again.sentence, words::WITH_REGRAFTS), width, "");
    }
    if let Some(silence) = &answer.silence {
        wrap(out, &words::silence_words(silence), width, "");
    }
    for method in &answer.methods {
        if let Some(fit) = &method.silent_as_zero {
            let name = (answer.methods.len() > 1).then_some(method.method.as_str());
            wrap(out, &words::silent_as_zero_words(name, &Rates::from(fit)), width, "");
        }
    }
    for method in &answer.methods {
        if let Some(all) = &method.everybody {
            let name = (answer.methods.len() > 1).then_some(method.method.as_str());
            let rates = Rates::from(&all.fit);
            wrap(out, &words::everybody_words(name, all.growers, all.rooted, all.started, &rates), width, "");
        }
    }
    for warning in &answer.warnings {
        wrap(out, &warning.text, width, "");
    }
    let data = screens::data_words(answer.data_until.as_deref(), answer.source, answer.whose);
    wrap(out, &data, width, "");
}
