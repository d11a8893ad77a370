//! The methods of an answer as a forest plot.

use std::collections::BTreeMap;

use crate::chart::{Behind, Forest, ForestBlock, ForestRow, Key, KeyMark, Reading};
use crate::document::Document;

use super::order::{MOST_ROWS, blocks};
use crate::words::{count_reading, counted, grouped, percent_range, percent_with_range};
use propagule_answer::pool::{MethodAnswer, PoolAnswer};
use propagule_answer::said::count_interval;

/// Own successes and pieces by method.
type Own = BTreeMap<String, (u32, u32)>;

/// All methods by label, without headings.
pub(super) fn by_label(answer: &PoolAnswer) -> Forest {
    let own = Own::new();
    let rows = answer.methods.iter().map(|method| ForestRow { everybody: None, ..row(method, &own, 1) });
    forest(vec![ForestBlock { heading: String::new(), rows: rows.collect() }])
}

/// The methods with most pieces first, and how many there are beside them.
pub(super) fn by_weight(page: Document, answer: &PoolAnswer, own: &Own) -> Document {
    let most = answer.methods.iter().map(|method| method.started).max().unwrap_or(1);
    let blocks = blocks(answer).into_iter().map(|block| ForestBlock {
        heading: block.heading.to_owned(),
        rows: block.methods.into_iter().map(|method| row(method, own, most)).collect(),
    });
    let all = answer.methods.len();
    page.chart(forest(blocks.collect())).when(all > MOST_ROWS, |page| {
        page.note(format!(
            "The {MOST_ROWS} largest methods of {all} are shown. Narrow the question to see the \
                 others, or take them all as a file."
        ))
    })
}

fn forest(blocks: Vec<ForestBlock>) -> Forest {
    let key =
        |mark, words: &str, in_text: &str| Key { mark, words: words.to_owned(), in_text: in_text.to_owned() };
    Forest {
        blocks,
        keys: vec![
            key(
                KeyMark::Average,
                "average across growers with its 95% interval; the larger the dot, the larger the trials",
                "O average across growers, = its 95% interval",
            ),
            key(KeyMark::Range, "where your next trial may land", ". where your next trial may land"),
            key(KeyMark::Count, "95% interval of the count alone", "- 95% interval of the count alone"),
            key(KeyMark::Own, "your own", "^ yours"),
            key(KeyMark::Everybody, "everybody\u{2019}s average with its interval", ""),
        ],
        yours: "yours".to_owned(),
        heads: ["Method", "Count", "Rate"].map(str::to_owned),
        behind: Behind::named(
            "The picture as a table",
            "Successes of all that were started; the rate with its 95% interval",
        ),
    }
}

fn row(method: &MethodAnswer, own: &Own, most: u32) -> ForestRow {
    let rate = rate(method);
    let own = own.get(&method.method).copied();
    let beside = beside(method, own);
    let said = [format!("{}: {}, {rate}", method.method, of(method.rooted, method.started))];
    ForestRow {
        what: method.method.clone(),
        basis: basis(method),
        said: said.iter().chain(&beside).map(String::as_str).collect::<Vec<_>>().join("; "),
        reading: reading(method),
        rate,
        beside,
        more: format!(
            "{} of {} with none",
            counted(method.arms_none, "treatment", "treatments"),
            method.arms
        ),
        count: (method.rooted, method.started),
        share_of_most: f64::from(method.started) / f64::from(most.max(1)),
        own,
        everybody: method
            .everybody
            .as_ref()
            .map(|all| (all.fit.average_grower_rate_mean, ends(all.fit.average_grower_rate_q))),
    }
}

fn ends([low, _, high]: [f64; 3]) -> [f64; 2] {
    [low, high]
}

/// The average grower's rate, or where the count leads what that alone fits.
fn reading(method: &MethodAnswer) -> Reading {
    let fit = &method.fit;
    if method.lead.is_count() {
        let rate = f64::from(method.rooted) / f64::from(method.started.max(1));
        let (low, high) = count_interval(method.rooted, method.started);
        return Reading::Count { rate: (method.rooted > 0).then_some(rate), interval: [low, high] };
    }
    Reading::Average {
        rate: fit.average_grower_rate_mean,
        interval: ends(fit.average_grower_rate_q),
        range: ends(fit.new_grower_rate_q),
    }
}

/// `23 % (11–40 %)`, or what the count alone fits.
fn rate(method: &MethodAnswer) -> String {
    if method.lead.is_count() {
        return count_reading(method.rooted, method.started);
    }
    percent_with_range(method.fit.average_grower_rate_mean, method.fit.average_grower_rate_q)
}

fn of(rooted: u32, started: u32) -> String {
    format!("{} of {}", grouped(u64::from(rooted)), grouped(u64::from(started)))
}

fn basis(method: &MethodAnswer) -> String {
    let growers = counted(method.growers, "grower", "growers");
    let trials = counted(method.trials, "trial", "trials");
    if method.publishers < method.growers {
        return format!("{growers}, {}, {trials}", counted(method.publishers, "publisher", "publishers"));
    }
    format!("{growers}, {trials}")
}

/// What stands beside the first reading of a method.
fn beside(method: &MethodAnswer, own: Option<(u32, u32)>) -> Vec<String> {
    let [low, _, high] = method.fit.new_grower_rate_q;
    let range = (!method.lead.is_count()).then(|| format!("your next trial {}", percent_range(low, high)));
    let own = own.map(|(own, of)| format!("yours {own} of {of}"));
    let everybody = method.everybody.as_ref().map(|all| {
        let rate = percent_with_range(all.fit.average_grower_rate_mean, all.fit.average_grower_rate_q);
        format!("everybody {}, {rate}", of(all.rooted, all.started))
    });
    range.into_iter().chain(own).chain(everybody).collect()
}
