use std::collections::BTreeSet;

use proptest::prelude::*;

use super::*;

const ALPHABET: &str = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
const BENCH: [&str; 6] = ["M1-P1", "M1-P3", "M1-P8", "M1-P13", "R1-P1", "R1-P19"];

fn from_bench(text: &str) -> Result<String, CodeError> {
    read(text, BENCH.into_iter())
}

fn meant(text: &str) -> Vec<String> {
    match from_bench(text) {
        Err(
            CodeError::Unknown { meant, .. }
            | CodeError::Check { meant, .. }
            | CodeError::Ambiguous { meant, .. },
        ) => meant,
        other => panic!("{text}: {other:?}"),
    }
}

#[test]
fn published_examples() {
    // A12425GABC1234002-M: the Global Release Identifier standard, version 2.1, section on the check character.
    assert_eq!(check_character("A12425GABC1234002"), 'M');
    assert_eq!(check_character("a1-2425g-abc1234002"), 'M', "case and hyphens do not count");
    // Public worked examples of MOD 37,36 elsewhere, from a data tool's reference page.
    assert_eq!(check_character("DADPIDA3897722461"), 'J');
    assert_eq!(check_character("123AB"), 'X');
}

/// The verifying side of the standard, written the other way round: the check character is the one with which the
/// whole string leaves 1, tried out over the alphabet.
fn found_by_trial(text: &str) -> char {
    let leaves_one = |check: &char| {
        let whole: Vec<usize> =
            text.chars().chain([*check]).map(|c| ALPHABET.find(c).expect("in it")).collect();
        let (last, head) = whole.split_last().expect("not empty");
        let mut carried = 36;
        for value in head {
            let sum = (carried + value - 1) % 36 + 1;
            carried = [0].into_iter().chain((1..=36).map(|s| (s + s) % 37)).nth(sum).expect("1 to 36");
        }
        (carried + last) % 36 == 1
    };
    let found: Vec<char> = ALPHABET.chars().filter(leaves_one).collect();
    assert_eq!(found.len(), 1, "{text}: {found:?}");
    found[0]
}

proptest! {
    #[test]
    fn a_second_computation_agrees(text in "[0-9A-Z]{0,20}") {
        prop_assert_eq!(check_character(&text), found_by_trial(&text));
    }

    #[test]
    fn no_text_makes_it_panic(text in "\\PC{0,20}", code in "\\PC{0,12}") {
        let _ = read(&text, [code.as_str()].into_iter());
        let _ = hand_copy(&code);
    }

    #[test]
    fn what_is_printed_reads_back(code in "[A-Z][0-9]{1,2}-[A-Z]{0,6}[0-9]{1,2}") {
        let known = [code.as_str()];
        prop_assert_eq!(read(&with_check(&code), known.into_iter()), Ok(code.clone()));
        if let Some(short) = hand_copy(&code) {
            prop_assert!(short.len() <= 12);
            prop_assert_eq!(read(&short.to_lowercase(), known.into_iter()), Ok(code.clone()));
        }
    }
}

fn is_valid(text: &[char]) -> bool {
    let (check, head) = text.split_last().expect("not empty");
    check_character(&head.iter().collect::<String>()) == *check
}

#[test]
fn every_single_wrong_character_is_caught() {
    for code in ["M1P3", "RIBES2026AP12", "N07P1", "Z", "000000", "ZZZZZZ", "A1B2C3D4E5"] {
        let right: Vec<char> = format!("{code}{}", check_character(code)).chars().collect();
        assert!(is_valid(&right));
        for at in 0..right.len() {
            for other in ALPHABET.chars().filter(|c| *c != right[at]) {
                let mut wrong = right.clone();
                wrong[at] = other;
                assert!(!is_valid(&wrong), "{wrong:?}");
            }
        }
    }
}

#[test]
fn a_swap_of_neighbours_is_missed_for_one_pair_of_neighbouring_values_out_of_630() {
    // All pairs after each of the 36 characters that can stand first, so after each of the 36 remainders.
    let alphabet: Vec<char> = ALPHABET.chars().collect();
    let mut missed = BTreeSet::new();
    for before in &alphabet {
        for (at, a) in alphabet.iter().enumerate() {
            for b in &alphabet[..at] {
                let (one, other): (String, String) =
                    ([*before, *a, *b].iter().collect(), [*before, *b, *a].iter().collect());
                if check_character(&one) == check_character(&other) {
                    missed.insert((*before, *a, *b));
                }
            }
        }
    }
    assert_eq!(missed.len(), 36, "of 36 × 630: {missed:?}");
    assert!(
        missed.iter().all(|(_, a, b)| matches!(
            a.to_digit(36).expect("in it") - b.to_digit(36).expect("in it"),
            1 | 35
        ))
    );
}

#[test]
fn swaps_of_neighbours_on_a_large_bench_that_give_another_label() {
    let labels: Vec<String> =
        (1..=40).flat_map(|lot| (1..=50).map(move |pot| with_check(&format!("M{lot}-P{pot}")))).collect();
    let printed: BTreeSet<&str> = labels.iter().map(String::as_str).collect();
    let swapped = |label: &str, at: usize| {
        let mut letters: Vec<char> = label.chars().collect();
        letters.swap(at, at + 1);
        letters.into_iter().collect::<String>()
    };
    let swaps: Vec<(&str, String)> = printed
        .iter()
        .flat_map(|label| (0..label.len() - 1).map(move |at| (*label, swapped(label, at))))
        .filter(|(label, swapped)| label != swapped)
        .collect();
    let missed: Vec<_> = swaps.iter().filter(|(_, swapped)| printed.contains(swapped.as_str())).collect();
    assert_eq!((swaps.len(), missed.len()), (14_880, 6), "{missed:?}");
}

#[test]
fn a_tag_is_read_in_any_writing() {
    assert_eq!(with_check("M1-P3"), "M1-P3-B");
    for text in ["M1-P3-B", "m1-p3-b", " m1 p3 b ", "M1P3B", "m1p3 b", "M1–P3–B", "M1-P3", "m1 p3", "M1P3"]
    {
        assert_eq!(from_bench(text), Ok("M1-P3".to_owned()), "{text}");
    }
}

#[test]
fn codes_already_on_tags_stay_valid() {
    let old = ["7", "Täg 3", "5-4", "B-17-X", "north frame"];
    for code in old {
        assert_eq!(read(code, old.into_iter()), Ok(code.to_owned()));
        assert_eq!(read(&with_check(code), old.into_iter()), Ok(code.to_owned()), "{code}");
        assert_eq!(read(&code.to_uppercase(), old.into_iter()), Ok(code.to_owned()), "{code}");
    }
}

#[test]
fn a_check_that_fails_says_what_was_probably_meant() {
    assert_eq!(
        from_bench("M1-P3-C").expect_err("a slip").to_string(),
        "the check character of `M1-P3-C` does not fit; perhaps M1-P3"
    );
    // One wrong character beside the right check: the code that it belongs to is among those offered.
    assert_eq!(meant("M1-P8-B"), ["M1-P3", "M1-P8"]);
    assert!(matches!(from_bench("M1-P8-B"), Err(CodeError::Check { .. })));
    // Letters that a pen makes alike come first, also two at once.
    assert_eq!(meant("MI-PI3"), ["M1-P13"]);
    assert_eq!(meant("1M-P3-B"), ["M1-P3"], "a swap");
    assert_eq!(meant("Q9-Z9"), Vec::<String>::new());
    assert_eq!(from_bench("Q9-Z9").expect_err("none").to_string(), "no code `Q9-Z9`");
    assert_eq!(from_bench(" - ").expect_err("none"), CodeError::Empty);
}

#[test]
fn what_fits_two_codes_is_not_guessed() {
    // The check character of R1-P1 is 9, so that it looks like R1-P19 when the hyphens are left out.
    assert_eq!(with_check("R1-P1"), "R1-P1-9");
    assert_eq!(from_bench("R1-P1-9"), Ok("R1-P1".to_owned()));
    assert_eq!(from_bench("R1P1 9"), Ok("R1-P1".to_owned()));
    assert_eq!(from_bench("R1-P19"), Ok("R1-P19".to_owned()));
    assert_eq!(
        from_bench("R1P19").expect_err("two").to_string(),
        "`R1P19` can be R1-P1 or R1-P19; write it as it is printed"
    );
    let alike = ["M-11", "M1-1"];
    assert_eq!(read("m-11", alike.into_iter()), Ok("M-11".to_owned()));
    assert!(matches!(read("M11", alike.into_iter()), Err(CodeError::Ambiguous { .. })));
    assert_eq!(
        read("M1-P3", ["M1-P3", "M1-P3"].into_iter()),
        Ok("M1-P3".to_owned()),
        "twice the same is one"
    );
}

#[test]
fn a_form_to_copy_by_hand() {
    assert_eq!(hand_copy("M1-P3").as_deref(), Some("M1-P3-B"));
    assert_eq!(hand_copy("m1 p3").as_deref(), Some("M1-P3-B"));
    assert_eq!(hand_copy("RIBES-A-P12").as_deref(), Some("RIBESAP12-O"));
    assert_eq!(hand_copy("RIBES-26-P12").map(|form| form.len()), Some(12));
    assert_eq!(hand_copy("RIBES2026-A-P12"), None);
    assert_eq!(hand_copy("Täg 3"), None, "the check passes over ä");
    assert_eq!(hand_copy(""), None);
}
