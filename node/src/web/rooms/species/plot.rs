//! The methods of an answer as a forest plot with a table behind it.

use maud::{Markup, html};

use crate::web::draw;
use crate::web::draw::{Reading, Row, Scale};
use propagule_answer::pool::{MethodAnswer, PoolAnswer};
use propagule_answer::words;
use propagule_answer::words::{Lead, counted, grouped, percent_range, percent_with_range};
use propagule_app::reading::SpeciesView;

/// Most rows of a plot.
pub(super) const MOST_ROWS: usize = 40;

/// Heading of methods that trials held together.
const SIDE_BY_SIDE: &str = "Tried side by side";

/// Methods that were tried beside each other, or each on its own.
struct Block<'a> {
    heading: &'static str,
    methods: Vec<&'a MethodAnswer>,
}

/// Methods in the order shown, at most [`MOST_ROWS`]: those with most pieces, linked ones together.
fn blocks(answer: &PoolAnswer) -> Vec<Block<'_>> {
    let mut methods: Vec<&MethodAnswer> = answer.methods.iter().collect();
    methods.sort_by(|a, b| b.started.cmp(&a.started).then_with(|| a.method.cmp(&b.method)));
    methods.truncate(MOST_ROWS);
    let in_it = |labels: &[String]| -> Vec<&MethodAnswer> {
        methods.iter().copied().filter(|method| labels.contains(&method.method)).collect()
    };
    let linked = answer.components.iter().filter(|labels| labels.len() > 1).map(|labels| in_it(labels));
    let mut blocks: Vec<Block<'_>> = linked
        .filter(|methods| !methods.is_empty())
        .map(|methods| Block { heading: SIDE_BY_SIDE, methods })
        .collect();
    blocks.sort_by_key(|block| {
        std::cmp::Reverse(block.methods.iter().map(|method| method.started).sum::<u32>())
    });
    let alone = |method: &&MethodAnswer| {
        !blocks.iter().any(|block| block.methods.iter().any(|of| of.method == method.method))
    };
    let alone: Vec<&MethodAnswer> = methods.iter().copied().filter(alone).collect();
    if !alone.is_empty() {
        let heading = if blocks.is_empty() { "" } else { "Never tried beside another method" };
        blocks.push(Block { heading, methods: alone });
    }
    match blocks.as_mut_slice() {
        [only] => only.heading = "",
        [first, others @ ..] => {
            let is_linked = first.methods.len() > 1;
            others
                .iter_mut()
                .filter(|block| is_linked && block.heading == SIDE_BY_SIDE)
                .for_each(|block| block.heading = "Side by side with each other, never with those above");
        }
        [] => {}
    }
    blocks
}

/// Methods in the order shown.
pub(super) fn in_order(answer: &PoolAnswer) -> Vec<&MethodAnswer> {
    blocks(answer).into_iter().flat_map(|block| block.methods).collect()
}

/// Whether the count alone is shown: a pooled-looking middle would be our prior.
fn shows_count(method: &MethodAnswer) -> bool {
    matches!(method.facts.lead(), Lead::None | Lead::OneGrower)
}

/// `23 % (11–40 %)`, or what the count alone fits.
pub(super) fn reading(method: &MethodAnswer) -> String {
    if shows_count(method) {
        return method.facts.own_reading();
    }
    percent_with_range(method.fit.average_grower_rate_mean, method.fit.average_grower_rate_q)
}

fn count(method: &MethodAnswer) -> String {
    format!("{} of {}", grouped(u64::from(method.rooted)), grouped(u64::from(method.started)))
}

fn basis(method: &MethodAnswer) -> String {
    let growers = counted(method.growers, "grower", "growers");
    let trials = counted(method.trials, "trial", "trials");
    if method.publishers < method.growers {
        return format!("{growers}, {}, {trials}", counted(method.publishers, "publisher", "publishers"));
    }
    format!("{growers}, {trials}")
}

fn row(method: &MethodAnswer, view: &SpeciesView, most: u32) -> Row {
    let ends = |[low, _, high]: [f64; 3]| [low, high];
    let fit = &method.fit;
    let reading = if shows_count(method) {
        let rate = f64::from(method.rooted) / f64::from(method.started.max(1));
        let (low, high) = method.facts.own_interval();
        Reading::Count { rate: (method.rooted > 0).then_some(rate), interval: [low, high] }
    } else {
        Reading::Average {
            rate: fit.average_grower_rate_mean,
            interval: ends(fit.average_grower_rate_q),
            range: ends(fit.new_grower_rate_q),
        }
    };
    let everybody = method.everybody.as_ref();
    Row {
        said: said(method, view),
        reading,
        share_of_most: f64::from(method.started) / f64::from(most.max(1)),
        own: view.own.get(&method.method).map(|(own, of)| f64::from(*own) / f64::from((*of).max(1))),
        everybody: everybody
            .map(|all| (all.fit.average_grower_rate_mean, ends(all.fit.average_grower_rate_q))),
    }
}

/// The row in words.
fn said(method: &MethodAnswer, view: &SpeciesView) -> String {
    let mut parts = vec![format!("{}: {}, {}", method.method, count(method), reading(method))];
    parts.extend(beside(method, view));
    parts.join("; ")
}

/// What stands beside the first reading of a method.
fn beside(method: &MethodAnswer, view: &SpeciesView) -> Vec<String> {
    let mut parts = Vec::new();
    if !shows_count(method) {
        let [low, _, high] = method.fit.new_grower_rate_q;
        parts.push(format!("a new grower {}", percent_range(low, high)));
    }
    parts.extend(view.own.get(&method.method).map(|(own, of)| format!("yours {own} of {of}")));
    parts.extend(method.everybody.as_ref().map(|all| {
        let rate = percent_with_range(all.fit.average_grower_rate_mean, all.fit.average_grower_rate_q);
        format!("everybody {} of {}, {rate}", grouped(u64::from(all.rooted)), grouped(u64::from(all.started)))
    }));
    parts
}

/// The plot, its legend, and the same as a table.
pub(super) fn plot(view: &SpeciesView) -> Markup {
    let answer = &view.answer;
    let blocks = blocks(answer);
    let most = answer.methods.iter().map(|method| method.started).max().unwrap_or(1);
    let shown: Vec<(&MethodAnswer, Row)> = blocks
        .iter()
        .flat_map(|block| &block.methods)
        .map(|method| (*method, row(method, view, most)))
        .collect();
    let scale = Scale::holding(shown.iter().map(|(_, row)| row.reach()).fold(0.0, f64::max));
    let rows: Vec<Row> = shown.iter().map(|(_, row)| row.clone()).collect();
    let mut drawn = shown.iter();
    html! {
        div class="figure forest" {
            @for block in &blocks {
                @if !block.heading.is_empty() { h2 { (block.heading) } }
                @for (method, row) in drawn.by_ref().take(block.methods.len()) {
                    div class="row" {
                        div class="what" { (method.method) br; span class="soft" { (basis(method)) } }
                        (row.draw(scale))
                        div class="how" {
                            strong { (reading(method)) } br; span class="soft" { (count(method)) }
                            @if let Some((own, of)) = view.own.get(&method.method) { span class="soft" { ", yours " (own) " of " (of) } }
                        }
                    }
                }
            }
            div class="row" { div class="what" {} (scale.numbers()) div class="how" {} }
            (draw::legend(&rows))
        }
        @if answer.methods.len() > MOST_ROWS {
            p class="soft" { "Shown are the " (MOST_ROWS) " methods with most pieces of " (answer.methods.len()) "; narrow the question to see the others, or take them all as a file." }
        }
        (table(&shown, view))
    }
}

fn table(shown: &[(&MethodAnswer, Row)], view: &SpeciesView) -> Markup {
    html! {
        details {
            summary { "The picture as a table" }
            table {
                caption { "Successes of all pieces put in; the rate, with the range that the data fit" }
                thead { tr { th scope="col" { "Method" } th scope="col" { "Count" } th scope="col" { "Rate" } } }
                tbody { @for (method, _) in shown { tr {
                    th scope="row" { (method.method) br; span class="soft" { (basis(method)) "; " (counted(method.arms_none, "arm", "arms")) " of " (method.arms) " with none" } }
                    td { (count(method)) }
                    td { (reading(method)) @for part in beside(method, view) { "; " (part) } }
                } } }
            }
        }
    }
}

/// Sentences are told of so many methods; more are in the table and in the file.
const MOST_TOLD: usize = 16;

/// Each method in a sentence; nothing where one sentence says it all.
pub(super) fn told(answer: &PoolAnswer) -> Markup {
    let methods = in_order(answer);
    html! {
        @if methods.len() > 1 {
            details {
                summary { "Each method in words" }
                @for method in methods.iter().take(MOST_TOLD) {
                    p class="tight" { strong { (method.method) } }
                    p { (method.sentence) }
                }
                @if answer.methods.len() > MOST_TOLD { p class="soft" { "And " (answer.methods.len() - MOST_TOLD) " more in the file of the answer." } }
            }
        }
    }
}

/// What else is said of methods: silent trials, and everybody where the circle is shown.
pub(super) fn other_readings(answer: &PoolAnswer) -> Vec<String> {
    let methods = in_order(answer);
    let name = |method: &MethodAnswer| (answer.methods.len() > 1).then(|| method.method.clone());
    let silent = methods.iter().filter_map(|method| {
        let fit = method.silent_as_zero.as_ref()?;
        Some(words::silent_as_zero_words(name(method).as_deref(), &fit.into()))
    });
    let everybody = methods.iter().filter_map(|method| {
        let all = method.everybody.as_ref()?;
        let rates = (&all.fit).into();
        Some(words::everybody_words(name(method).as_deref(), all.growers, all.rooted, all.started, &rates))
    });
    silent.chain(everybody).take(MOST_TOLD).collect()
}
