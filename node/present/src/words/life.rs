//! Sentences on what came after the first count: moves, and the whole life of the pieces.

use super::rate::count_reading;
use super::sentences::number_of;
use super::vocabulary::PieceWords;
use crate::number::grouped;
use propagule_answer::said::Wording;
use propagule_evidence::{Moved, WholeLife};

/// "Of these, 3 rooted first after the move to cold frame in week 15, of 13 stuck."
pub fn moved(wording: Wording, moved: &Moved) -> String {
    let weeks = match moved.weeks {
        (first, last) if first == last => format!("week {first}"),
        (first, last) => format!("weeks {first} to {last}"),
    };
    let arms = if moved.trials > 1 { format!(" in {} trials", moved.trials) } else { String::new() };
    format!(
        "Of these, {} {} first after the move to {} in {weeks}, of {} {}{arms}.",
        grouped(u64::from(moved.rooted)),
        wording.did(),
        moved.path,
        grouped(u64::from(moved.started)),
        wording.kind().started
    )
}

/// "In all, 13 of 66 rooted at some time: 20% (12–31%) by the count alone; 17 still green; 1 grower, 1 trial."
pub fn whole_life(wording: Wording, life: &WholeLife) -> String {
    let left_out = match life.pending {
        0 => String::new(),
        pending => format!(
            " {} with some still to be settled {} left out.",
            number_of(pending, "trial", "trials"),
            if pending == 1 { "is" } else { "are" }
        ),
    };
    if life.started == 0 {
        return format!("What became of all of them cannot be told yet.{left_out}");
    }
    let words = wording.kind();
    let green = words.green_short();
    let waiting = match life.still_waiting {
        None => format!("how many are {green} was not counted"),
        Some(waiting) => format!("{} {green}", grouped(u64::from(waiting))),
    };
    format!(
        "In all, {} of {} {} at some time: {} by the count alone; {waiting}; {}, {}.{left_out}",
        grouped(u64::from(life.ever_rooted)),
        grouped(u64::from(life.started)),
        wording.did(),
        count_reading(life.ever_rooted, life.started),
        number_of(life.growers, "grower", "growers"),
        number_of(life.trials, "trial", "trials"),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use propagule_evidence::Family;
    use propagule_evidence::Outcome;

    fn rooted() -> Wording {
        Wording::new(Family::Cuttings, Outcome::Rooted)
    }

    fn life(ever_rooted: u32, started: u32) -> WholeLife {
        WholeLife { trials: 1, growers: 1, started, ever_rooted, still_waiting: Some(17), pending: 0 }
    }

    #[test]
    fn a_move_is_said_at_0_1_and_n() {
        let of = |rooted, weeks, trials| Moved {
            path: "cold frame".to_owned(),
            weeks,
            trials,
            rooted,
            started: 13,
        };
        let said = |moved: Moved| super::moved(rooted(), &moved);
        assert_eq!(
            said(of(3, (15, 15), 1)),
            "Of these, 3 rooted first after the move to cold frame in week 15, of 13 stuck."
        );
        assert_eq!(
            said(of(1, (12, 15), 2)),
            "Of these, 1 rooted first after the move to cold frame in weeks 12 to 15, of 13 \
             stuck in 2 trials."
        );
        assert_eq!(
            said(of(0, (15, 15), 1)),
            "Of these, 0 rooted first after the move to cold frame in week 15, of 13 stuck."
        );
    }

    #[test]
    fn the_whole_life_is_said_at_0_1_and_n() {
        // Wilson's interval of 13 of 66 is 0.119 to 0.308 (statsmodels proportion_confint, from memory of the formula).
        assert_eq!(
            whole_life(rooted(), &life(13, 66)),
            "In all, 13 of 66 rooted at some time: 20% (12\u{2013}31%) by the count alone; 17 \
             still green; 1 grower, 1 trial."
        );
        let none = whole_life(rooted(), &WholeLife { still_waiting: Some(0), ..life(0, 54) });
        assert!(
            none.starts_with(
                "In all, 0 of 54 rooted at some time: up to 5.4% by the count alone; 0 still green;"
            ),
            "{none}"
        );
        let one = whole_life(rooted(), &WholeLife { pending: 1, still_waiting: None, ..life(1, 1) });
        assert!(
            one.contains("1 of 1 rooted at some time")
                && one.contains("how many are still green was not counted"),
            "{one}"
        );
        assert!(one.ends_with("1 trial with some still to be settled is left out."), "{one}");
        let nothing = whole_life(rooted(), &WholeLife { pending: 2, ..WholeLife::default() });
        assert_eq!(
            nothing,
            "What became of all of them cannot be told yet. 2 trials with some still to be \
             settled are left out."
        );
    }
}
