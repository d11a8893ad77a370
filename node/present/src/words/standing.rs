//! Sentences on who stands behind a figure: growers that the reader backs, that this home has known for a month, and those not known here yet.

use propagule_answer::behind::{BehindFacts, Burst, Leads};
use propagule_answer::said::Rates;

use super::{InWords, counted};
use crate::number::{grouped, percent_with_range};

impl InWords for BehindFacts {
    fn words(&self) -> String {
        let parts = match self.leads {
            Leads::All => vec![all_stand(self)],
            Leads::WithoutNew => vec![some_stand(self), set_apart(self)],
            Leads::Nothing => vec![too_few(self), claimed(self), how_to_be_backed(self)],
        };
        let burst = self.burst.as_ref().map(burst);
        parts.into_iter().chain(burst).filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" ")
    }
}

fn growers(many: usize) -> String {
    format!("{} {}", grouped(many as u64), if many == 1 { "grower" } else { "growers" })
}

/// The growers of whom none is a stranger; nothing where all of them are the reader's own or trusted.
fn all_stand(facts: &BehindFacts) -> String {
    match (facts.backed, facts.known) {
        (_, 0) => String::new(),
        (0, known) if !facts.has_circle => format!(
            "You have named nobody you trust; this rests on {} that this computer has known for a month.",
            growers(known)
        ),
        (0, known) => format!("This rests on {} that this computer has known for a month.", growers(known)),
        (backed, known) => format!(
            "Of {}, {} {} you or growers you trust, and {} {} been known here for a month.",
            growers(backed + known),
            grouped(backed as u64),
            if backed == 1 { "is" } else { "are" },
            grouped(known as u64),
            if known == 1 { "has" } else { "have" },
        ),
    }
}

fn some_stand(facts: &BehindFacts) -> String {
    let stand = facts.backed + facts.known;
    format!(
        "{} of {} are known here for a month or trusted by you.",
        grouped(stand as u64),
        growers(stand + facts.new)
    )
}

fn set_apart(facts: &BehindFacts) -> String {
    let (is, are_left) = match facts.new {
        1 => ("other one is not known here yet", "is left out"),
        _ => ("are not known here yet", "are left out"),
    };
    let other = if facts.new == 1 { String::new() } else { format!("other {} ", grouped(facts.new as u64)) };
    if facts.unchecked {
        return format!("The {other}{is}, and counted as you asked: nobody stands behind what they claim.");
    }
    format!("The {other}{is} and {are_left}.")
}

fn too_few(facts: &BehindFacts) -> String {
    let (stand, all) = (facts.backed + facts.known, facts.backed + facts.known + facts.new);
    if facts.unchecked {
        return format!(
            "Unchecked: nobody stands behind this. {}, most of them not known here yet.",
            growers(all)
        );
    }
    match stand {
        0 => {
            format!("{}, none known here for a month, none trusted by you: no figure is given.", growers(all))
        }
        _ => format!(
            "{}, only {} of them known here for a month or trusted by you: no figure is given.",
            growers(all),
            grouped(stand as u64)
        ),
    }
}

/// What they say themselves, as counts.
fn claimed(facts: &BehindFacts) -> String {
    if facts.unchecked {
        return String::new();
    }
    format!("They claim {} of {}.", grouped(facts.rooted), grouped(facts.started))
}

fn how_to_be_backed(facts: &BehindFacts) -> String {
    let whom = if facts.has_circle { "a grower you know" } else { "whoever invited you" };
    format!("Trust {whom}: propagule trust add KEY")
}

fn burst(burst: &Burst) -> String {
    let when = if burst.from == burst.to {
        format!("on {}", burst.from)
    } else {
        format!("between {} and {}", burst.from, burst.to)
    };
    format!("{} of these keys appeared {when}: this looks like one source.", grouped(burst.keys as u64))
}

/// The figure with strangers, which does not lead.
pub fn with_strangers(
    method: Option<&str>,
    many: usize,
    succeeded: u32,
    started: u32,
    rates: &Rates,
) -> String {
    format!(
        "{}With those not known here yet: {} of {} from {}, average grower {}.",
        method.map_or_else(String::new, |method| format!("{method}: ")),
        grouped(u64::from(succeeded)),
        grouped(u64::from(started)),
        growers(many),
        percent_with_range(rates.average, rates.average_points),
    )
}

/// Methods that only strangers have tried.
pub fn strangers_only(methods: usize) -> String {
    format!(
        "{} tried only by growers not known here yet; see {} with --unchecked.",
        if methods == 1 { "1 more method was".to_owned() } else { format!("{methods} more methods were") },
        if methods == 1 { "it" } else { "them" }
    )
}

/// Records of a file that are not taken in today.
pub fn over_the_day(records: u64) -> String {
    format!(
        "{} over what is taken in of one grower in a day; the same command takes in more tomorrow, or at once for a grower \
         you trust: propagule trust add KEY",
        counted(records, "record is", "records are"),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn facts(backed: usize, known: usize, new: usize) -> BehindFacts {
        let leads = match (backed + known, new) {
            (_, 0) => Leads::All,
            (0..3, _) => Leads::Nothing,
            _ => Leads::WithoutNew,
        };
        let (has_circle, unchecked) = (backed > 0, false);
        BehindFacts {
            backed,
            known,
            new,
            leads,
            has_circle,
            unchecked,
            rooted: 90,
            started: 1_200,
            burst: None,
        }
    }

    #[test]
    fn who_stands_behind_a_figure_is_told_at_0_1_and_n() {
        assert_eq!(facts(3, 0, 0).words(), "");
        assert_eq!(
            facts(0, 1, 0).words(),
            "You have named nobody you trust; this rests on 1 grower that this computer has known for a month."
        );
        assert_eq!(
            facts(1, 1, 0).words(),
            "Of 2 growers, 1 is you or growers you trust, and 1 has been known here for a month."
        );
        assert_eq!(
            facts(0, 30, 19_021).words(),
            "30 of 19,051 growers are known here for a month or trusted by you. The other 19,021 are not known here yet and are \
             left out."
        );
        assert!(facts(2, 1, 1).words().ends_with("The other one is not known here yet and is left out."));
    }

    #[test]
    fn without_backing_there_are_counts_and_what_to_do() {
        assert_eq!(
            facts(0, 0, 19_051).words(),
            "19,051 growers, none known here for a month, none trusted by you: no figure is given. They claim 90 of 1,200. \
             Trust whoever invited you: propagule trust add KEY"
        );
        assert!(facts(1, 1, 20).words().starts_with("22 growers, only 2 of them known here for a month or"));
        let unchecked = BehindFacts { unchecked: true, ..facts(0, 0, 1) };
        assert!(unchecked.words().starts_with("Unchecked: nobody stands behind this. 1 grower"));
    }

    #[test]
    fn a_burst_is_told_with_its_days() {
        let day = |day: &str| day.to_owned();
        let one = Burst { keys: 40, from: day("2026-11-25"), to: day("2026-11-25") };
        let told = BehindFacts { burst: Some(one.clone()), ..facts(0, 30, 40) }.words();
        assert!(
            told.ends_with("40 of these keys appeared on 2026-11-25: this looks like one source."),
            "{told}"
        );
        let more = Burst { to: day("2026-11-27"), ..one };
        assert!(burst(&more).contains("between 2026-11-25 and 2026-11-27"));
        assert!(
            strangers_only(1)
                .starts_with("1 more method was tried only by growers not known here yet; see it")
        );
        assert!(strangers_only(3).starts_with("3 more methods were"));
        assert!(
            over_the_day(1).starts_with("1 record is over") && over_the_day(2).starts_with("2 records are")
        );
    }
}
