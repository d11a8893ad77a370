//! Sentences on whose results are counted.

use propagule_answer::said::Rates;
use propagule_evidence::Whose;

use super::contrast::any_kind;
use super::sentences::{number_of, pooled};
use crate::number::percent;

/// Everybody's figures in one sentence.
pub fn everybody_words(
    method: Option<&str>,
    growers: usize,
    succeeded: u32,
    started: u32,
    rates: &Rates,
) -> String {
    format!(
        "{}{}",
        subject(method),
        pooled::everybody(&any_kind(), (succeeded, started), growers, rates.average, rates.average_points)
    )
}

fn subject(method: Option<&str>) -> String {
    method.map_or_else(String::new, |method| format!("{method}: "))
}

/// Said where the two figures lie outside each other's intervals.
pub fn circle_differs(method: Option<&str>) -> String {
    format!("{}{}", subject(method), pooled::differ(&any_kind()))
}

/// Methods that nobody among those asked for has tried.
pub fn outside_only(methods: usize) -> String {
    let were = if methods == 1 { "was" } else { "were" };
    format!(
        "{} {were} tried by none of the growers you trust. See them: --whose everybody",
        number_of(methods, "more method", "more methods")
    )
}

/// Nobody among the growers asked for has reported the plant.
pub fn nobody_asked_for(species: &str, whose: Whose, outside: usize) -> String {
    let who = match whose {
        Whose::Mine => "You have not",
        Whose::FriendsOfFriends => "None of the growers you trust, and of those they trust, has",
        Whose::Friends | Whose::Circle | Whose::Everybody => "None of the growers you trust has",
    };
    pooled::nobody_trusted(&any_kind(), who, species, outside)
}

/// Said beside a comparison that leaves trials out.
pub fn others_outside(trials: usize) -> String {
    pooled::outside(&any_kind(), trials)
}

/// The average without somebody, or that nobody would be left.
pub fn average_or_nobody(average: Option<f64>) -> String {
    average.map_or_else(|| "nobody is left".to_owned(), |average| format!("average {}%", percent(average)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rates(average: f64, low: f64, high: f64) -> Rates {
        Rates { average, average_points: [low, average, high], new_grower_points: [0.0, average, 1.0] }
    }

    #[test]
    fn everybody_is_told_with_counts_at_1_and_n() {
        assert_eq!(
            everybody_words(None, 1, 0, 20, &rates(0.04, 0.001, 0.2)),
            "Everybody's results: 0 of 20 from 1 grower, average 4.0% (0.1\u{2013}20%)."
        );
        let many = everybody_words(Some("heel"), 12, 12_000, 24_000, &rates(0.5, 0.4, 0.6));
        assert_eq!(
            many,
            "heel: Everybody's results: 12,000 of 24,000 from 12 growers, average 50% (40\u{2013}60%)."
        );
        assert!(circle_differs(Some("heel")).starts_with("heel: The growers you trust"));
    }

    #[test]
    fn nothing_inside_is_told_with_what_is_outside() {
        let told = |whose, outside| nobody_asked_for("Morus nigra", whose, outside);
        assert_eq!(
            told(Whose::Circle, 1),
            "None of the growers you trust has reported Morus nigra. There is 1 trial from \
             others: --whose everybody"
        );
        assert!(told(Whose::Mine, 4).starts_with("You have not reported Morus nigra. There are 4"));
        assert!(told(Whose::Friends, 2).starts_with("None of the growers you trust has reported"));
        assert!(told(Whose::FriendsOfFriends, 2).starts_with("None of the growers you trust, and of those"));
        assert_eq!(average_or_nobody(None), "nobody is left");
        assert_eq!(average_or_nobody(Some(0.25)), "average 25%");
        assert!(others_outside(1).starts_with("1 trial from growers you have not chosen is left"));
        assert!(others_outside(5).starts_with("5 trials from growers you have not chosen are left"));
        assert!(outside_only(1).starts_with("1 more method was tried by none"));
        assert!(outside_only(3).starts_with("3 more methods were"));
    }
}
