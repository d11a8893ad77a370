//! Two treatments of one trial.

use propagule_analysis::Count;

use super::{about, and, number_of, p_value, per_cent, times_in_100};
use crate::kind::KindWords;

/// Two sides with their counts, and what a count of them is of.
#[derive(Clone, Copy, Debug)]
pub struct Sides<'a> {
    /// Labels.
    pub labels: [&'a str; 2],
    /// Counts; none while a side is not counted.
    pub counts: Option<[Count; 2]>,
    /// Behind a count: rooted, sound.
    pub ok: &'a str,
}

impl Sides<'_> {
    /// `dip and none: 9 of 12 against 6 of 12 rooted.`
    fn counted(&self) -> String {
        let [first, second] = self.labels;
        let counts = self.counts.map_or_else(String::new, |[a, b]| {
            format!(" {} of {} against {} of {} {}.", a.succeeded, a.started, b.succeeded, b.started, self.ok)
        });
        format!("{first} and {second}:{counts}")
    }
}

/// One treatment did better, and only one thing differed.
pub fn better(
    _: &KindWords,
    sides: &Sides<'_>,
    first_is_better: bool,
    sole: Option<&str>,
    p: Option<f64>,
) -> String {
    let [first, second] = sides.labels;
    let (a, b) = if first_is_better { (first, second) } else { (second, first) };
    let counts = sides.counts.map_or_else(String::new, |[x, y]| {
        let (x, y) = if first_is_better { (x, y) } else { (y, x) };
        format!(": {} of {} {} against {} of {}", x.succeeded, x.started, sides.ok, y.succeeded, y.started)
    });
    let only = sole.map_or_else(String::new, |detail| format!(" Only {detail} differed."));
    format!("{a} did better than {b}{counts}.{only}{}", by_chance(p))
}

/// How often chance alone would do as much.
pub fn by_chance(p: Option<f64>) -> String {
    p.map_or_else(String::new, |p| {
        format!(" If it made no difference, a result this lopsided would turn up {}.", times_in_100(p))
    })
}

/// With several comparisons: what a p is after allowing for them.
pub fn better_holm(_: &KindWords, p: f64, holm: f64, comparisons: usize) -> String {
    format!("({}; {} after allowing for {comparisons} comparisons)", p_value(p), p_value(holm))
}

/// The counts cannot tell them apart, and what stands in the way where something does.
pub fn cannot_tell(_: &KindWords, sides: &Sides<'_>, why: Option<&str>, p: Option<f64>) -> String {
    let why = why.map_or_else(String::new, |why| format!(": {why}"));
    format!("{} These counts cannot tell them apart{why}.{}", sides.counted(), by_chance(p))
}

/// The same count in both, or none in either.
pub fn same_count(_: &KindWords, sides: &Sides<'_>, bounds: Option<[f64; 2]>) -> String {
    match bounds {
        None => format!("{} No difference to see.", sides.counted()),
        Some([a, b]) => {
            let bound =
                if about(a) == about(b) { about(a) } else { format!("{} and {}", about(a), about(b)) };
            format!(
                "{} Nothing {} in either, so there is nothing to compare yet. The true rates could still be as high as \
                 {bound}.",
                sides.counted(),
                sides.ok
            )
        }
    }
}

/// Several things changed together.
pub fn confounded(_: &KindWords, sides: &Sides<'_>, details: &[String]) -> String {
    format!("{} No verdict: {} changed together and cannot be separated.", sides.counted(), and(details))
}

/// One pot each.
pub fn one_pot_each(_: &KindWords, sides: &Sides<'_>) -> String {
    format!(
        "{} No verdict: one pot each. A difference between the pots would look just the same.",
        sides.counted()
    )
}

/// Pots of one treatment differ too much.
pub fn pots_unruly(words: &KindWords, sides: &Sides<'_>, p: Option<f64>) -> String {
    cannot_tell(words, sides, Some("pots of the same treatment differ more than chance explains"), p)
}

/// Any other reason why there is no verdict.
pub fn no_verdict(_: &KindWords, sides: &Sides<'_>, why: &str) -> String {
    format!("{} No verdict: {why}.", sides.counted())
}

/// Some pots are not counted.
pub fn pair_pending(_: &KindWords, sides: &Sides<'_>, pots: &[String]) -> String {
    format!("{} Not counted yet: {}.", sides.counted(), and(pots))
}

/// The other reading of lost ones.
pub fn without_lost(words: &KindWords, counts: [Count; 2]) -> String {
    let [a, b] = counts;
    let rate = |count: Count| per_cent(f64::from(count.succeeded) / f64::from(count.started.max(1)));
    let rates =
        if rate(a) == rate(b) { format!("both {}", rate(a)) } else { format!("{} and {}", rate(a), rate(b)) };
    format!(
        "Without the lost {}: {} of {} against {} of {}, {rates}.",
        words.plural(),
        a.succeeded,
        a.started,
        b.succeeded,
        b.started
    )
}

/// Leaving lost ones out turns the order.
pub fn order_flips(words: &KindWords) -> String {
    format!("Without the lost {} the order is the other way round.", words.plural())
}

/// How far the two rates are apart.
pub fn difference(_: &KindWords, points: &str, interval: &str) -> String {
    format!("The difference is {points} points (95% interval {interval}).")
}

/// Units that chance did not place.
pub fn not_at_random(_: &KindWords) -> String {
    "The pots were not placed at random.".to_owned()
}

/// One of several comparisons of a trial.
pub fn one_of_several(_: &KindWords, size: usize, with: Option<&str>) -> String {
    let with = with.map_or_else(String::new, |label| format!(" with {label}"));
    format!("one of {}{with}", number_of(size, "comparison", "comparisons"))
}

/// Green is no success.
pub fn green_no_rank(words: &KindWords) -> String {
    format!("Green is not {}, so no treatment is ranked by it.", words.oked)
}

/// As if each were independent, for the details.
pub fn pooled_test(words: &KindWords, p: f64) -> String {
    let unit = if words.unit.is_empty() { "one" } else { words.unit };
    format!("As if every {unit} were independent: {}.", p_value(p))
}
