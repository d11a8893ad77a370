//! Everybody's trials together.

use propagule_evidence::Outcome;

use super::{about, between, number_of, per_cent, rate_of};
use crate::kind::KindWords;
use crate::number::{grouped, outward};

/// An interval of the model for a sentence, outwards: `15% to 49%`.
pub fn model_interval(low: f64, high: f64) -> String {
    format!("{} to {}", rate_of(outward(low, false)), rate_of(outward(high, true)))
}

/// Several methods: the counts of all, and no rate.
pub fn several_methods(_: &KindWords, methods: usize, succeeded: u64, started: u64, ok: &str) -> String {
    format!(
        "{methods} methods; {} of {} {ok} in all. The methods differ, so there is no overall rate.",
        grouped(succeeded),
        grouped(started)
    )
}

/// The average across growers.
pub fn average(words: &KindWords, of: Outcome, rate: f64, [low, _, high]: [f64; 3]) -> String {
    format!(
        "On average across growers, {} {} (95% interval {}).",
        about(rate),
        words.success(of).to_ok,
        model_interval(low, high)
    )
}

/// Where a grower not in the data may land.
pub fn next_trial(_: &KindWords, [low, _, high]: [f64; 3]) -> String {
    format!(
        "Growers differ, so your own rate could be anywhere from {} (95% interval for a grower not in the data).",
        model_interval(low, high)
    )
}

/// What an answer rests on.
#[derive(Clone, Copy, Debug)]
pub struct RestsOn {
    /// Growers; none where one publisher entered all.
    pub growers: Option<usize>,
    /// Publishers, where they are not the growers.
    pub publishers: Option<usize>,
    /// Trials.
    pub trials: usize,
    /// Started.
    pub started: u32,
    /// Treatments without any success.
    pub none: usize,
    /// Treatments.
    pub treatments: usize,
    /// Fewest and most weeks to the count.
    pub weeks: Option<(u16, u16)>,
}

/// `5 growers, 5 trials, 116 cuttings; none rooted in 1 of 5 treatments; counted 12 to 18 weeks after sticking.`
pub fn basis(words: &KindWords, of: Outcome, basis: &RestsOn) -> String {
    let growers = basis.growers.map(|growers| number_of(growers, "grower", "growers"));
    let publishers = basis.publishers.map(|count| number_of(count, "publisher", "publishers"));
    let many = match words.many(basis.started) {
        bare if words.units.is_empty() => format!("{bare} started"),
        many => many,
    };
    let who = [growers, publishers, Some(number_of(basis.trials, "trial", "trials")), Some(many)];
    let who = who.into_iter().flatten().collect::<Vec<_>>().join(", ");
    let ok = words.success(of).ok;
    let none = match (basis.none, basis.treatments) {
        (0, _) => String::new(),
        (_, 1) => format!("; none {ok} in its only treatment"),
        (none, all) => format!("; none {ok} in {none} of {all} treatments"),
    };
    let weeks = match basis.weeks {
        None => String::new(),
        Some((1, 1)) => format!("; counted 1 week after {}", words.starting),
        Some((fewest, most)) if fewest == most => {
            format!("; counted {fewest} weeks after {}", words.starting)
        }
        Some((fewest, most)) => format!("; counted {fewest} to {most} weeks after {}", words.starting),
    };
    format!("{who}{none}{weeks}.")
}

/// Nothing succeeded: a bound, never a rate.
pub fn none(words: &KindWords, of: Outcome, started: u32, upper: f64) -> String {
    if started == 1 {
        return format!("The only {} reported failed; that says almost nothing.", words.only());
    }
    let n = grouped(u64::from(started));
    format!(
        "0 of {n} {}. The true rate could still be as high as {}: if every {} had that chance, {n} failures in a row would \
         still happen 1 time in 20.",
        words.success(of).ok,
        about(upper),
        words.only()
    )
}

/// The average of a method with which nothing succeeded.
pub fn none_average(_: &KindWords, rate: f64, [low, _, high]: [f64; 3]) -> String {
    format!(
        "The average of {} ({}) rests mostly on the model's starting assumption, not on these results.",
        rate_of(rate),
        between(low, high)
    )
}

/// A grower not in the data, where no sentence of its own says it.
pub fn not_in_the_data(_: &KindWords, [low, _, high]: [f64; 3]) -> String {
    format!("For a grower not in the data the model gives {}.", model_interval(low, high))
}

/// Everything succeeded: the lowest rate.
pub fn all(words: &KindWords, of: Outcome, started: u32, lower: f64) -> String {
    let ok = words.success(of).ok;
    if started == 1 {
        return format!("The only {} reported {ok}; that says almost nothing.", words.only());
    }
    format!("All {} {ok}. The true rate could be as low as {}.", grouped(u64::from(started)), about(lower))
}

/// A count of one grower, with its interval.
pub fn one_grower(
    words: &KindWords,
    of: Outcome,
    (count, started): (u32, u32),
    (low, high): (f64, f64),
) -> String {
    format!(
        "{} of {} {} ({}; 95% interval {}), from one grower.",
        grouped(u64::from(count)),
        grouped(u64::from(started)),
        words.success(of).ok,
        per_cent(f64::from(count) / f64::from(started.max(1))),
        between(low, high)
    )
}

/// How much other growers would differ is assumed.
pub fn one_grower_assumed(_: &KindWords, [low, _, high]: [f64; 3]) -> String {
    format!(
        "How much others would differ is not known; the model assumes {} for a grower not in the data.",
        model_interval(low, high)
    )
}

/// Several growers of one publisher.
pub fn one_publisher(_: &KindWords) -> String {
    "Entered by one publisher for several growers; counted as one grower until you trust that publisher."
        .to_owned()
}

/// Alive without the outcome when it was counted.
pub fn waiting(words: &KindWords, count: u32) -> String {
    let were = if count == 1 { "was" } else { "were" };
    format!("When counted, {} {were} {}.", grouped(u64::from(count)), words.green)
}

/// Lost ones, and the figure without them.
pub fn lost_before_count(_: &KindWords, count: u32, without: &str) -> String {
    let (were, stand, them) =
        if count == 1 { ("was", "stands as a failure", "it") } else { ("were", "stand as failures", "them") };
    format!(
        "{} {were} lost before the count and {stand}; without {them} {without}.",
        grouped(u64::from(count))
    )
}

/// Leaving lost ones out changes the order.
pub fn lost_flips(_: &KindWords) -> String {
    "Leaving them out changes the order of the methods.".to_owned()
}

/// Everybody's results beside those of some.
pub fn everybody(
    _: &KindWords,
    (count, started): (u32, u32),
    growers: usize,
    rate: f64,
    [low, _, high]: [f64; 3],
) -> String {
    format!(
        "Everybody's results: {} of {} from {}, average {} ({}).",
        grouped(u64::from(count)),
        grouped(u64::from(started)),
        number_of(growers, "grower", "growers"),
        per_cent(rate),
        between(low, high)
    )
}

/// The growers asked for and everybody differ.
pub fn differ(_: &KindWords) -> String {
    "The growers you trust and everybody differ by more than chance explains. See who moves the figures: --detail".to_owned()
}

/// Trials of growers that were not chosen.
pub fn outside(_: &KindWords, trials: usize) -> String {
    let is = if trials == 1 { "is" } else { "are" };
    format!(
        "{} from growers you have not chosen {is} left out. Add them: --whose everybody",
        number_of(trials, "trial", "trials")
    )
}

/// None of those asked for has reported the plant.
pub fn nobody_trusted(_: &KindWords, whom: &str, plant: &str, outside: usize) -> String {
    let others = if outside == 1 {
        "There is 1 trial from others".to_owned()
    } else {
        format!("There are {} trials from others", grouped(outside as u64))
    };
    format!("{whom} reported {plant}. {others}: --whose everybody")
}

/// Nobody has reported the plant.
pub fn nobody(_: &KindWords, plant: &str) -> String {
    format!("Nobody has reported {plant} here yet.")
}

/// How many plants there are results of.
pub fn plants_here(_: &KindWords, plants: usize) -> String {
    match plants {
        0 => "This computer holds no results at all yet.".to_owned(),
        some => format!("This computer holds results for {}.", number_of(some, "plant", "plants")),
    }
}

/// Trials are under way, and none is counted.
pub fn under_way(_: &KindWords, trials: usize, plant: &str) -> String {
    let (are, none) =
        if trials == 1 { ("is", "it has not been counted") } else { ("are", "none has been counted") };
    format!("{} of {plant} {are} under way; {none} at this stage yet.", number_of(trials, "trial", "trials"))
}

/// What became of trials that were announced.
pub fn announced(
    _: &KindWords,
    trials: usize,
    [reported, pending, overdue, withdrawn]: [usize; 4],
) -> String {
    let were = if trials == 1 { "was" } else { "were" };
    format!(
        "{} {were} announced before any count: {reported} reported, {pending} not due, {overdue} overdue, {withdrawn} withdrawn.",
        number_of(trials, "trial", "trials")
    )
}

/// Announced trials that never reported.
pub fn overdue(_: &KindWords, trials: usize) -> String {
    let are = if trials == 1 { "is" } else { "are" };
    format!(
        "{} {are} overdue. Failures go unreported more often, so the true rate may be lower.",
        number_of(trials, "announced trial", "announced trials")
    )
}

/// The average if nothing came of overdue trials.
pub fn overdue_as_zero(
    words: &KindWords,
    of: Outcome,
    rate: f64,
    average: [f64; 3],
    new: [f64; 3],
) -> String {
    format!(
        "If nothing {} in the overdue trials: average {} ({}); a grower not in the data, {}.",
        words.success(of).ok,
        per_cent(rate),
        between(average[0], average[2]),
        between(new[0], new[2])
    )
}

/// What these figures are not.
pub fn not_advice(_: &KindWords) -> String {
    "These figures describe what growers reported. They are not advice.".to_owned()
}
