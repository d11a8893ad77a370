//! Sentences about several methods in one model.

use propagule_answer::said::Ranked;

use super::InWords;
use super::contrast::{any_kind, pots};
use super::sentences::beside;
use super::shrunk::none_stands_out;

impl InWords for Ranked {
    /// The method that is clearly better than every other one, or that none stands out, with what is clear.
    fn words(&self) -> String {
        let pots = pots(self.single_replicate, self.trials);
        let Some(best) = &self.best else { return format!("{}{pots}", none_stands_out(self)) };
        let open = match self.open.as_slice() {
            [] => String::new(),
            open => format!(" {}", beside::rank_open(&any_kind(), open)),
        };
        format!("{}{open}{pots}", beside::rank(&any_kind(), best, &self.beaten, self.trials))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ranked(best: Option<&str>, beaten: &[(&str, f64)], open: &[&str], trials: usize) -> Ranked {
        Ranked {
            best: best.map(str::to_owned),
            beaten: beaten.iter().map(|(other, sure)| ((*other).to_owned(), *sure)).collect(),
            open: open.iter().map(|other| (*other).to_owned()).collect(),
            trials,
            single_replicate: 0,
            ahead: Vec::new(),
        }
    }

    #[test]
    fn the_leader_is_named_with_whom_it_leads() {
        assert_eq!(
            ranked(Some("heel"), &[("nodal", 0.95), ("root", 0.99)], &[], 6).words(),
            "heel: likely better than nodal (95%) and root (99%), from 6 trials."
        );
        assert_eq!(
            ranked(Some("heel"), &[("nodal", 0.95)], &["root"], 1).words(),
            "heel: likely better than nodal (95%), from 1 trial. Against root it cannot be told yet."
        );
    }

    #[test]
    fn without_a_leader_what_is_clear_is_still_told() {
        let none = ranked(None, &[], &["heel", "nodal", "root"], 2);
        assert_eq!(none.words(), "From 2 trials, no method can be called better yet.");
        let some = Ranked { ahead: vec![("heel".to_owned(), "root".to_owned(), 0.97)], ..none };
        assert_eq!(
            some.words(),
            "From 2 trials, no method can be called better than all others yet. heel is likely better than root (97%)."
        );
    }

    #[test]
    fn pots_that_stood_alone_are_named() {
        let facts = Ranked { single_replicate: 2, ..ranked(Some("heel"), &[("nodal", 0.95)], &[], 3) };
        assert!(facts.words().ends_with(
            "In 2 of 3 trials each treatment had one pot; a difference between pots would look just the same."
        ));
    }
}
