//! What stands behind a pooled answer, for readers who ask: other readings, classical results, and who moves the figures.

use crate::document::{Document, Fold, Item, List};
use crate::words::InWords;

use super::common::short_label;
use crate::words::{self, percent, percent_range, percent_with_range};
use propagule_answer::pool::{ClassicalRate, Detail, Influence, MethodAnswer, PoolAnswer, VouchInfluence};

/// Methods told on a page.
const MOST_METHODS: usize = 16;
/// Growers, and vouches, named under a method; those that move its rate most come first.
const MOST_NAMED: usize = 8;

/// A section a method, in the order given; nothing of those that were not looked into.
pub fn behind(answer: &PoolAnswer, methods: &[&MethodAnswer]) -> Document {
    let detail = |method: &MethodAnswer| answer.detail.iter().flatten().find(|of| of.method == method.method);
    let told: Vec<(&MethodAnswer, &Detail)> =
        methods.iter().filter_map(|method| Some((*method, detail(method)?))).collect();
    let (first, more) = told.split_at(told.len().min(MOST_METHODS));
    let section = |document: Document, (method, detail): &(&MethodAnswer, &Detail)| {
        let prior = if method.rooted == 0 { words::MOSTLY_PRIOR } else { "" };
        document.section(format!("Behind the headline: {}{prior}", method.method), |section| {
            of_method(section, answer, method, detail)
        })
    };
    Document::new()
        .each(first, section)
        .in_text(|text| text.each(more, section))
        .when(!more.is_empty(), |document| {
            document.on_page(|page| {
                page.note(format!("And {} more methods in the file of the answer.", more.len()))
            })
        })
        .when(answer.detail.is_some(), |document| document.note(words::CLASSICAL))
}

fn of_method(section: Document, answer: &PoolAnswer, method: &MethodAnswer, detail: &Detail) -> Document {
    let figures = Document::new()
        .on_page(|page| page.list(of_the_model(method)))
        .list(List::figures(readings(method, detail).into_iter().chain(classical(detail))));
    let moved = Moved { answer, method }.lines();
    section
        .on_page(|page| page.say(method.sentence.words()))
        .folded(Fold::new("Figures for advisers", figures).unfolded_in_text())
        .when(moved.is_empty(), |section| {
            section.on_page(|page| page.note("Nobody can be left out: one grower is all there is."))
        })
        .when(!moved.is_empty(), |section| section.list(List::points(moved)))
}

/// The model's own figures.
fn of_the_model(method: &MethodAnswer) -> List {
    let fit = method.alone();
    let [low, _, high] = fit.new_grower_rate_q;
    List::figures([
        Item::fact(
            "Average grower",
            percent_with_range(fit.average_grower_rate_mean, fit.average_grower_rate_q),
        ),
        Item::fact("Your next trial", percent_range(low, high)),
        Item::fact(
            "Typical grower",
            percent_with_range(fit.typical_grower_rate_mean, fit.typical_grower_rate_q),
        ),
        Item::fact(
            "Spread between growers, logit",
            format!("{:.2} ({:.2}\u{2013}{:.2})", fit.tau_mean, fit.tau_q[0], fit.tau_q[2]),
        ),
        Item::fact("Next trial above 10%", format!("{}%", percent(fit.prob_new_grower_above_10pct))),
        Item::fact("Next trial above 50%", format!("{}%", percent(fit.prob_new_grower_above_50pct))),
    ])
}

/// The headline by other priors, and without what was lost.
fn readings(method: &MethodAnswer, detail: &Detail) -> Vec<Item> {
    let other = detail.sensitivity.iter().map(|other| {
        let average = percent_with_range(other.average_grower_rate_mean, other.average_grower_rate_q);
        let [low, _, high] = other.new_grower_rate_q;
        Item::fact(
            format!("Starting assumption of how much growers differ: {}", other.grower_sd),
            format!("average {average}, your next trial {}", percent_range(low, high)),
        )
    });
    let lost = method.lost_left_out.as_ref().map(|fit| {
        let average = percent_with_range(fit.average_grower_rate_mean, fit.average_grower_rate_q);
        Item::fact("Lost ones left out", format!("average {average}"))
    });
    other.chain(lost).collect()
}

fn classical(detail: &Detail) -> Vec<Item> {
    let classical = &detail.classical;
    let rate = |rate: &ClassicalRate| {
        let [low, high] = rate.interval;
        let typical = percent(rate.typical_grower_rate);
        format!("{typical}% ({}), spread {:.2}", percent_range(low, high), rate.tau)
    };
    let crude = (classical.crude_rate > 0.0)
        .then(|| Item::fact("All counts added together", format!("{}%", percent(classical.crude_rate))));
    let most_likely =
        classical.maximum_likelihood.as_ref().map_or_else(|| words::NO_MAXIMUM.to_owned(), rate);
    let most_likely = Item::fact("Typical grower by maximum likelihood", most_likely);
    let restricted = classical.restricted.as_ref().map(|restricted| {
        Item::fact("Typical grower by the normal model, 0.5 added to zeros", rate(restricted))
    });
    crude.into_iter().chain([most_likely]).chain(restricted).collect()
}

/// Who moves the figures of a method.
#[derive(Clone, Copy, Debug)]
struct Moved<'a> {
    answer: &'a PoolAnswer,
    method: &'a MethodAnswer,
}

impl Moved<'_> {
    /// Growers, authors of several growers, and vouches without which the average would be another.
    fn lines(self) -> Vec<String> {
        self.growers().into_iter().chain(self.authors()).chain(self.vouches()).collect()
    }

    /// How far the average moves without something; as far as can be where nobody is left.
    fn moves(self, without: Option<f64>) -> f64 {
        let average = self.method.alone().average_grower_rate_mean;
        without.map_or(f64::INFINITY, |without| (without - average).abs())
    }

    fn growers(self) -> Vec<String> {
        let of = self.answer.influence.iter().flatten().filter(|line| line.method == self.method.method);
        let moves = |line: &&Influence| self.moves(Some(line.average_grower_rate_without));
        let said = |line: &Influence| {
            let without = percent(line.average_grower_rate_without);
            format!("without {}: average {without}%", short_label(&line.grower))
        };
        most(of.collect(), moves, said, ["grower that moves it", "growers that move it"])
    }

    fn authors(self) -> Vec<String> {
        let of = self.answer.authors.iter().flatten().filter(|line| line.method == self.method.method);
        let said = of.map(|line| {
            let without = words::average_or_nobody(line.average_grower_rate_without);
            let growers = words::counted(line.growers, "grower", "growers");
            format!("without the {growers} of {}: {without}", short_label(&line.author))
        });
        said.collect()
    }

    fn vouches(self) -> Vec<String> {
        let of = self.answer.vouches.iter().flatten().filter(|line| line.method == self.method.method);
        let moves = |line: &&VouchInfluence| self.moves(line.average_grower_rate_without);
        let said = |line: &VouchInfluence| {
            let to = short_label(&line.to);
            let whose = if line.is_own {
                format!("your trust in {to}")
            } else {
                format!("the vouch of {} for {to}", short_label(&line.from))
            };
            format!("without {whose}: {}", words::average_or_nobody(line.average_grower_rate_without))
        };
        most(of.collect(), moves, said, ["vouch that moves it", "vouches that move it"])
    }
}

/// What moves most, and how many move it less.
fn most<'a, T>(
    mut lines: Vec<&'a T>,
    moves: impl Fn(&&'a T) -> f64,
    said: impl Fn(&T) -> String,
    [one, many]: [&str; 2],
) -> Vec<String> {
    lines.sort_by(|a, b| moves(b).total_cmp(&moves(a)));
    let more = lines.len().saturating_sub(MOST_NAMED);
    let more = (more > 0).then(|| format!("and {} less", words::counted(more, one, many)));
    lines.into_iter().take(MOST_NAMED).map(said).chain(more).collect()
}
