//! Sentences on whose results are counted.

use propagule_answer::said::Rates;
use propagule_evidence::Whose;

use super::counted;
use crate::number::{grouped, percent, percent_with_range};

/// Everybody's figures in one sentence.
pub fn everybody_words(
    method: Option<&str>,
    growers: usize,
    succeeded: u32,
    started: u32,
    rates: &Rates,
) -> String {
    format!(
        "{}With everybody's records: {} of {} from {}, average grower {}.",
        subject(method),
        grouped(u64::from(succeeded)),
        grouped(u64::from(started)),
        counted(growers, "grower", "growers"),
        percent_with_range(rates.average, rates.average_points),
    )
}

fn subject(method: Option<&str>) -> String {
    method.map_or_else(String::new, |method| format!("{method}: "))
}

/// Said where the two figures lie outside each other's intervals.
pub fn circle_differs(method: Option<&str>) -> String {
    format!(
        "{}the growers you asked for and everybody differ by more than chance explains. Strangers may do it otherwise, or \
         claim what never was; see who moves it: --detail.",
        subject(method)
    )
}

/// Methods that nobody in the circle has tried.
pub fn outside_only(methods: usize) -> String {
    format!(
        "{} tried by nobody among the growers you asked for; see them with --whose everybody.",
        if methods == 1 { "1 more method was".to_owned() } else { format!("{methods} more methods were") }
    )
}

/// Nobody among the growers asked for has reported the species.
pub fn nobody_asked_for(species: &str, whose: Whose, outside: usize) -> String {
    let who = match whose {
        Whose::Mine => "You have".to_owned(),
        Whose::Friends => "None of your friends has".to_owned(),
        Whose::FriendsOfFriends => "None of your friends and theirs has".to_owned(),
        Whose::Circle | Whose::Everybody => "Nobody in your circle has".to_owned(),
    };
    let not = if whose == Whose::Mine { " not" } else { "" };
    format!(
        "{who}{not} reported {species}. Outside there {}: --whose everybody.",
        if outside == 1 { "is 1 trial".to_owned() } else { format!("are {outside} trials") }
    )
}

/// Said beside a comparison that leaves held trials out.
pub fn others_outside(trials: usize) -> String {
    let (trials, are) =
        if trials == 1 { ("1 trial".to_owned(), "is") } else { (format!("{trials} trials"), "are") };
    format!(
        "{trials} of growers outside those you asked for {are} left out; take them in with --whose everybody."
    )
}

/// The average without somebody, or that nobody would be left.
pub fn average_or_nobody(average: Option<f64>) -> String {
    average.map_or_else(|| "nobody is left".to_owned(), |average| format!("average {} %", percent(average)))
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
            "With everybody's records: 0 of 20 from 1 grower, average grower 4.0 % (0.1–20 %)."
        );
        let many = everybody_words(Some("heel"), 12, 12_000, 24_000, &rates(0.5, 0.4, 0.6));
        assert_eq!(
            many,
            "heel: With everybody's records: 12,000 of 24,000 from 12 growers, average grower 50 % (40–60 %)."
        );
        assert!(circle_differs(Some("heel")).starts_with("heel: the growers you asked for"));
    }

    #[test]
    fn nothing_inside_is_told_with_what_is_outside() {
        let told = |whose, outside| nobody_asked_for("Morus nigra", whose, outside);
        assert_eq!(
            told(Whose::Circle, 1),
            "Nobody in your circle has reported Morus nigra. Outside there is 1 trial: --whose everybody."
        );
        assert!(told(Whose::Mine, 4).starts_with("You have not reported Morus nigra. Outside there are 4"));
        assert!(told(Whose::Friends, 2).starts_with("None of your friends has reported"));
        assert!(told(Whose::FriendsOfFriends, 2).starts_with("None of your friends and theirs has"));
        assert_eq!(average_or_nobody(None), "nobody is left");
        assert_eq!(average_or_nobody(Some(0.25)), "average 25 %");
        assert!(others_outside(1).starts_with("1 trial of growers outside those you asked for is left"));
        assert!(others_outside(5).starts_with("5 trials of growers outside those you asked for are left"));
        assert!(outside_only(1).starts_with("1 more method was tried by nobody"));
        assert!(outside_only(3).starts_with("3 more methods were"));
    }
}
