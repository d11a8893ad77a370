//! Sentences about trials in print. Works are sources, never growers, and their arms are never ranked.

use super::counted;
use super::rate::count_reading;
use super::vocabulary::PieceWords;
use crate::number::{grouped, percent_range, percent_with_range};
use propagule_answer::pool::{PrintedAnswer, PrintedMethodAnswer, PrintedPool, PrintedRowAnswer};
use propagule_answer::said::Wording;
use propagule_bench::dates::MONTHS;
use propagule_evidence::printed::{AllArms, Grade};
use propagule_evidence::{Family, Outcome};

/// Said once in each answer that shows print.
pub const TRANSCRIBED: &str = "From printed sources; not signed or seen by the researchers. Print shows what worked, so expect less \
     on your bench.";

/// Why works are never put in an order.
pub const NEVER_RANKED: &str =
    "Sources differ in plants, season and skill: nothing here says which method is better.";

/// Nobody has a record of the species.
pub fn no_grower(species: &str) -> String {
    format!("No grower has reported {species} yet.")
}

/// Growers' results are left out because that was asked for.
pub fn print_alone(species: &str) -> String {
    format!("Print alone on {species}; growers\u{2019} results are left out of this.")
}

/// Nothing is printed of the species.
pub fn nothing_printed(species: &str) -> String {
    format!("No printed trial of {species} is listed here.")
}

/// `3 printed sources`.
pub fn sources(sources: usize) -> String {
    counted(sources, "printed source", "printed sources")
}

/// `1 printed source, 1 trial, 7 arms; each count by itself.`
pub fn what_is_printed(answer: &PrintedAnswer) -> String {
    format!(
        "{}, {}, {}; each count stands by itself.",
        sources(answer.sources),
        counted(answer.trials, "trial", "trials"),
        counted(answer.arms, "treatment", "treatments"),
    )
}

fn wording(family: Family) -> Wording {
    Wording::new(family, Outcome::Rooted)
}

/// `74 of 90 took, 1 source.`, with a rate where there are works enough, and why there is none where there are not.
pub fn printed_method(method: &PrintedMethodAnswer) -> String {
    let count = format!(
        "{} of {} {}, in {}.",
        grouped(u64::from(method.rooted)),
        grouped(u64::from(method.started)),
        wording(method.family).did(),
        counted(method.sources, "source", "sources"),
    );
    match &method.pooled {
        Some(pool) => format!("{count} {}", over_sources(method, pool)),
        None if method.sources < 3 => {
            format!("{count} Fewer than 3 sources, so there is no rate over sources.")
        }
        None => {
            format!(
                "{count} Fewer than 3 sources that may have reported every treatment, so there is no rate \
                 over sources."
            )
        }
    }
}

fn over_sources(method: &PrintedMethodAnswer, pool: &PrintedPool) -> String {
    let left = method.rows.iter().filter(|row| !row.in_pool).count();
    let but = match left {
        0 => String::new(),
        left => format!(" ({} left out as the best of several)", counted(left, "treatment", "treatments")),
    };
    let [low, _, high] = pool.next_rate_q;
    format!(
        "Average over {}{but}: {}; a source not among them: {}.",
        counted(pool.sources, "source", "sources"),
        percent_with_range(pool.average_rate_mean, pool.average_rate_q),
        percent_range(low, high),
    )
}

/// The figure over growers and works together.
pub fn with_growers(pool: &PrintedPool) -> String {
    let [low, _, high] = pool.next_rate_q;
    format!(
        "{} and {} together, {} of {}: average {}; one not among them: {}.",
        counted(pool.growers, "grower", "growers"),
        counted(pool.sources, "source", "sources"),
        grouped(u64::from(pool.rooted)),
        grouped(u64::from(pool.started)),
        percent_with_range(pool.average_rate_mean, pool.average_rate_q),
        percent_range(low, high),
    )
}

/// One arm: its count, what that alone fits, where it is from, and what limits it.
pub fn printed_row(row: &PrintedRowAnswer, family: Family) -> String {
    let count = format!(
        "{} of {} {}, {}",
        grouped(u64::from(row.rooted)),
        grouped(u64::from(row.started)),
        wording(family).did(),
        count_reading(row.rooted, row.started),
    );
    let what = [row.treatment.as_str(), row.species.as_deref().unwrap_or_default()];
    let what: Vec<&str> = what.into_iter().filter(|words| !words.is_empty()).collect();
    let what = if what.is_empty() { String::new() } else { format!(": {}", what.join("; ")) };
    let limits: Vec<&str> = [all_arms(row.all_arms_reported), read(row.grade)].into();
    format!("{count}{what}. {}. {}", from(row), limits.join(" "))
}

/// `P02 (2015), Iran, begun in August, counted after 4 weeks`.
fn from(row: &PrintedRowAnswer) -> String {
    let year = row.year.map_or_else(|| "no year".to_owned(), |year| year.to_string());
    let month = row.month.and_then(|month| MONTHS.get(usize::from(month).checked_sub(1)?));
    let weeks =
        row.weeks.map(|weeks| format!("counted after {}", counted(usize::from(weeks), "week", "weeks")));
    let parts = [
        Some(format!("{} ({year})", row.source)),
        row.country.clone(),
        month.map(|month| format!("started in {month}")),
        weeks,
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// What is known of arms that are not there.
const fn all_arms(all: AllArms) -> &'static str {
    match all {
        AllArms::Yes => "Every treatment was reported.",
        AllArms::No => "Best of several, expect less.",
        AllArms::Unknown => "It is unclear whether every treatment was reported.",
    }
}

/// How the count was read.
const fn read(grade: Option<Grade>) -> &'static str {
    match grade {
        Some(Grade::A) => "Grade A: raw counts.",
        Some(Grade::B) => "Grade B: stated in the abstract or message that was read.",
        Some(Grade::C) => {
            "Grade C: laboratory germination test, from a compiled list; the paper was not read."
        }
        None => "From a result that a grower transcribed.",
    }
}

/// Arms that stand elsewhere or nowhere, each reason in a sentence.
pub fn not_listed(answer: &PrintedAnswer) -> Vec<String> {
    let arms = |count| counted(count, "treatment", "treatments");
    let as_records = (answer.counted_as_records > 0).then(|| {
        let arms = arms(answer.counted_as_records);
        format!("{arms} left out: a grower transcribed the same ones, and those count.")
    });
    let filtered = (answer.not_admitted > 0)
        .then(|| format!("{} left out: without what you asked for.", arms(answer.not_admitted)));
    as_records.into_iter().chain(filtered).collect()
}

/// What else to know of the arms, each remark once, with its source.
pub fn remarks(answer: &PrintedAnswer) -> Vec<String> {
    let mut remarks: Vec<String> = Vec::new();
    for row in answer.methods.iter().flat_map(|method| &method.rows) {
        let Some(remark) = &row.remark else { continue };
        let remark = format!("{}: {remark}", row.source);
        if !remarks.contains(&remark) {
            remarks.push(remark);
        }
    }
    remarks
}

#[cfg(test)]
mod tests {
    use super::*;
    use propagule_evidence::FacetWords;

    fn row(rooted: u32, started: u32) -> PrintedRowAnswer {
        PrintedRowAnswer {
            source: "H01".to_owned(),
            year: Some(1931),
            trial: "H01-1".to_owned(),
            arm: "1".to_owned(),
            treatment: "heel".to_owned(),
            species: None,
            started,
            rooted,
            interval: [0.0, 1.0],
            weeks: Some(1),
            month: Some(6),
            country: Some("Ireland".to_owned()),
            all_arms_reported: AllArms::Yes,
            in_pool: true,
            grade: Some(Grade::B),
            count_basis: None,
            other: None,
            remark: None,
        }
    }

    #[test]
    fn an_arm_is_said_at_0_1_n_and_all() {
        let said = |rooted, started| printed_row(&row(rooted, started), Family::Cuttings);
        let end = ": heel. H01 (1931), Ireland, started in June, counted after 1 week. Every treatment was reported. \
                   Grade B: stated in the abstract or message that was read.";
        // Bounds of 0 and all: 1 - 0.05^(1/40); the intervals are R's prop.test(k, 40, correct = FALSE).
        assert_eq!(said(0, 40), format!("0 of 40 rooted, up to 7.2%{end}"));
        assert_eq!(said(1, 40), format!("1 of 40 rooted, 2.5% (0.4–13%){end}"));
        assert_eq!(said(12, 40), format!("12 of 40 rooted, 30% (18–45%){end}"));
        assert_eq!(said(40, 40), format!("40 of 40 rooted, 93% or more{end}"));
    }

    #[test]
    fn every_line_of_a_compiled_list_says_that_the_paper_was_not_read() {
        let compiled = PrintedRowAnswer {
            grade: Some(Grade::C),
            all_arms_reported: AllArms::Unknown,
            year: None,
            country: None,
            weeks: None,
            month: None,
            species: Some("Cornus kousa subsp. chinensis".to_owned()),
            ..row(3, 50)
        };
        // R: prop.test(3, 50, correct = FALSE).
        assert_eq!(
            printed_row(&compiled, Family::Seed),
            "3 of 50 germinated, 6.0% (2.1\u{2013}16%): heel; Cornus kousa subsp. chinensis. H01 \
             (no year). It is unclear whether every treatment was reported. Grade C: laboratory \
             germination test, from a compiled list; the paper was not read."
        );
    }

    #[test]
    fn the_best_of_several_is_called_that_and_a_transcribed_record_is_named() {
        let best = PrintedRowAnswer { all_arms_reported: AllArms::No, grade: None, ..row(22, 30) };
        let said = printed_row(&best, Family::Grafts);
        assert!(said.starts_with("22 of 30 took, 73%"), "{said}");
        assert!(
            said.ends_with("Best of several, expect less. From a result that a grower transcribed."),
            "{said}"
        );
    }

    #[test]
    fn a_method_has_a_rate_from_three_sources_on_and_says_why_it_has_none() {
        let pool = |sources| PrintedPool {
            growers: 2,
            sources,
            arms: 4,
            started: 1_000,
            rooted: 300,
            average_rate_mean: 0.31,
            average_rate_q: [0.12, 0.3, 0.55],
            next_rate_q: [0.03, 0.28, 0.8],
            tau_mean: 1.0,
        };
        let method = |sources, pooled| PrintedMethodAnswer {
            method: "m".to_owned(),
            facets: FacetWords::new(),
            family: Family::Seed,
            sources,
            trials: sources,
            started: 1_200,
            rooted: 1,
            rows: vec![PrintedRowAnswer { in_pool: false, ..row(1, 2) }],
            pooled,
            with_growers: None,
        };
        let none =
            "1 of 1,200 germinated, in 1 source. Fewer than 3 sources, so there is no rate over sources.";
        assert_eq!(printed_method(&method(1, None)), none);
        assert!(
            printed_method(&method(4, None)).contains("in 4 sources. Fewer than 3 sources that may have")
        );
        assert_eq!(
            printed_method(&method(4, Some(pool(3)))),
            "1 of 1,200 germinated, in 4 sources. Average over 3 sources (1 treatment left out \
             as the best of several): 31% (12\u{2013}55%); a source not among them: \
             3.0\u{2013}80%."
        );
        assert_eq!(
            with_growers(&pool(3)),
            "2 growers and 3 sources together, 300 of 1,000: average 31% (12\u{2013}55%); one \
             not among them: 3.0\u{2013}80%."
        );
    }

    #[test]
    fn sources_are_counted_at_0_1_and_n() {
        assert_eq!([0, 1, 3].map(sources), ["0 printed sources", "1 printed source", "3 printed sources"]);
    }
}
