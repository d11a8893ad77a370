//! The order of tags: what stands first when counts are typed one after the other.

use std::cmp::Ordering;

use super::trial::Trial;

/// A place where pieces are counted: a pot, or an arm without any.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tag {
    /// Number of the arm.
    pub arm: u8,
    /// The replicate, where the arm has any.
    pub replicate: Option<String>,
    /// What stands on the tag: the replicate's code, or the arm's label.
    pub code: String,
}

impl Trial {
    /// All places in the order of their tags: pots by number, so that P2 stands before P10; arms that are counted as
    /// a whole as the trial lists them, and so do trials that have both.
    pub fn tag_order(&self) -> Vec<Tag> {
        let pots: Vec<Vec<&str>> = self
            .arms
            .iter()
            .map(|arm| arm.replicates.iter().map(|replicate| replicate.code.as_str()).collect())
            .collect();
        let arms = self.arms.iter().zip(&pots);
        in_order_of_tags(arms.map(|(arm, pots)| (arm.number, arm.label.as_str(), &pots[..])))
    }
}

/// The places of arms, each with its number, its label and the codes of its pots, in the order of their tags.
pub(crate) fn in_order_of_tags<'a, C: AsRef<str> + 'a>(
    arms: impl Iterator<Item = (u8, &'a str, &'a [C])>,
) -> Vec<Tag> {
    let mut tags: Vec<Tag> = Vec::new();
    for (arm, label, pots) in arms {
        if pots.is_empty() {
            tags.push(Tag { arm, replicate: None, code: label.to_owned() });
        }
        tags.extend(pots.iter().map(|pot| Tag {
            arm,
            replicate: Some(pot.as_ref().to_owned()),
            code: pot.as_ref().to_owned(),
        }));
    }
    if tags.iter().all(|tag| tag.replicate.is_some()) {
        tags.sort_by(|a, b| natural(&a.code, &b.code));
    }
    tags
}

/// Compares by letters, letter case apart, and by the value of the numbers between them.
pub fn natural(a: &str, b: &str) -> Ordering {
    let (mut left, mut right) = (a, b);
    loop {
        match (left.chars().next(), right.chars().next()) {
            (None, None) => return a.cmp(b),
            (None, Some(_)) => return Ordering::Less,
            (Some(_), None) => return Ordering::Greater,
            (Some(x), Some(y)) if x.is_ascii_digit() && y.is_ascii_digit() => {
                let (first, rest_left) = left.split_at(digits(left));
                let (second, rest_right) = right.split_at(digits(right));
                let (first, second) = (first.trim_start_matches('0'), second.trim_start_matches('0'));
                let order = first.len().cmp(&second.len()).then_with(|| first.cmp(second));
                if order != Ordering::Equal {
                    return order;
                }
                (left, right) = (rest_left, rest_right);
            }
            (Some(x), Some(y)) => {
                let order = x.to_lowercase().cmp(y.to_lowercase());
                if order != Ordering::Equal {
                    return order;
                }
                (left, right) = (&left[x.len_utf8()..], &right[y.len_utf8()..]);
            }
        }
    }
}

fn digits(text: &str) -> usize {
    text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn numbers_count_by_their_value() {
        let mut codes = ["P10", "P2", "p1", "P2b", "P2a", "P02", "T9", "10", "9", "P"];
        codes.sort_by(|a, b| natural(a, b));
        assert_eq!(codes, ["9", "10", "P", "p1", "P02", "P2", "P2a", "P2b", "P10", "T9"]);
    }

    proptest! {
        #[test]
        fn it_is_an_order(a in "[pP0-9a]{0,6}", b in "[pP0-9a]{0,6}", c in "[pP0-9a]{0,6}") {
            prop_assert_eq!(natural(&a, &b), natural(&b, &a).reverse());
            prop_assert_eq!(natural(&a, &b) == Ordering::Equal, a == b);
            if natural(&a, &b) != Ordering::Greater && natural(&b, &c) != Ordering::Greater {
                prop_assert!(natural(&a, &c) != Ordering::Greater);
            }
        }
    }
}
