//! Sentences on what came after the first count: moves, and the whole life of the pieces.

use super::counted;
use super::rate::count_reading;
use super::vocabulary::PieceWords;
use crate::number::grouped;
use propagule_answer::said::Wording;
use propagule_evidence::{Moved, WholeLife};

/// "Of these 3 after a move in week 15 to cold frame (of 13 put in)."
pub fn moved(wording: Wording, moved: &Moved) -> String {
    let weeks = match moved.weeks {
        (first, last) if first == last => format!("week {first}"),
        (first, last) => format!("weeks {first} to {last}"),
    };
    let seen = match moved.rooted {
        0 => format!("None of these {} first", wording.did()),
        rooted => format!("Of these {}", grouped(u64::from(rooted))),
    };
    let arms = if moved.trials > 1 { format!(" in {} trials", moved.trials) } else { String::new() };
    format!(
        "{seen} after a move to {} in {weeks}, of {} put in{arms}.",
        moved.path,
        grouped(u64::from(moved.started))
    )
}

/// "Whole life: 13 of 66 ever rooted, 20 % (12–31 %) by the count alone; 17 still waiting; 1 grower, 1 trial."
pub fn whole_life(wording: Wording, life: &WholeLife) -> String {
    let left_out = match life.pending {
        0 => String::new(),
        pending => format!(
            " {} whose survivors are not settled yet {} left out.",
            counted(pending, "trial", "trials"),
            if pending == 1 { "is" } else { "are" }
        ),
    };
    if life.started == 0 {
        return format!("Whole life: not known yet.{left_out}");
    }
    let waiting = match life.still_waiting {
        None => "how many still wait is not known".to_owned(),
        Some(0) => "none still waiting".to_owned(),
        Some(waiting) => format!("{} still waiting", grouped(u64::from(waiting))),
    };
    format!(
        "Whole life: {} of {} ever {}, {} by the count alone; {waiting}; {}, {}.{left_out}",
        grouped(u64::from(life.ever_rooted)),
        grouped(u64::from(life.started)),
        wording.done(),
        count_reading(life.ever_rooted, life.started),
        counted(life.growers, "grower", "growers"),
        counted(life.trials, "trial", "trials"),
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
            "Of these 3 after a move to cold frame in week 15, of 13 put in."
        );
        assert_eq!(
            said(of(1, (12, 15), 2)),
            "Of these 1 after a move to cold frame in weeks 12 to 15, of 13 put in in 2 trials."
        );
        assert_eq!(
            said(of(0, (15, 15), 1)),
            "None of these rooted first after a move to cold frame in week 15, of 13 put in."
        );
    }

    #[test]
    fn the_whole_life_is_said_at_0_1_and_n() {
        // Wilson's interval of 13 of 66 is 0.119 to 0.308 (statsmodels proportion_confint, from memory of the formula).
        assert_eq!(
            whole_life(rooted(), &life(13, 66)),
            "Whole life: 13 of 66 ever rooted, 20 % (12–31 %) by the count alone; 17 still waiting; 1 grower, 1 trial."
        );
        let none = whole_life(rooted(), &WholeLife { still_waiting: Some(0), ..life(0, 54) });
        assert!(
            none.starts_with(
                "Whole life: 0 of 54 ever rooted, up to 5.4 % by the count alone; none still waiting;"
            ),
            "{none}"
        );
        let one = whole_life(rooted(), &WholeLife { pending: 1, still_waiting: None, ..life(1, 1) });
        assert!(
            one.contains("1 of 1 ever rooted") && one.contains("how many still wait is not known"),
            "{one}"
        );
        assert!(one.ends_with("1 trial whose survivors are not settled yet is left out."), "{one}");
        let nothing = whole_life(rooted(), &WholeLife { pending: 2, ..WholeLife::default() });
        assert_eq!(
            nothing,
            "Whole life: not known yet. 2 trials whose survivors are not settled yet are left out."
        );
    }
}
