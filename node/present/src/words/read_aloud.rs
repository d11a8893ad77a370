//! How hard a text is to read: Flesch and Kincaid's grade (Kincaid and others, 1975), and words between stops. Names and
//! figures are left out, since nobody can choose others.

/// A text without what is typed: what stands in backquotes, options, and commands. A command begins with the program's name
/// in small letters and goes on up to a comma, a bracket or the end.
pub fn without_what_is_typed(text: &str) -> String {
    let mut said = Vec::new();
    let mut is_command = false;
    for word in text.split('`').step_by(2).collect::<Vec<_>>().join(" \u{2026} ").split_whitespace() {
        is_command |= word.trim_start_matches('(') == "propagule";
        let is_typed = is_command || word.starts_with("--") || word.contains(['=', '/', '_', '{', '}']);
        if is_typed {
            // Its stop ends the sentence all the same.
            let stop = word.chars().last().filter(|last| STOPS.contains(last));
            said.extend(stop.map(|stop| format!("\u{2026}{stop}")));
        } else {
            said.push(word.to_owned());
        }
        is_command &= !word.ends_with([',', ')', ';', '?']);
    }
    said.join(" ")
}

/// Stops between which words are counted.
const STOPS: &[char] = &['.', '?', '!', ':', ';'];

/// Words that are read: without figures, names (large letters inside a sentence) and what is typed.
fn words(stretch: &str) -> Vec<&str> {
    let all = stretch.split_whitespace().map(|word| word.trim_matches(|c: char| !c.is_alphanumeric()));
    let is_read = |(at, word): &(usize, &str)| {
        let is_figure = word.is_empty() || word.chars().any(|c| c.is_ascii_digit());
        let is_name = *at > 0 && word.starts_with(char::is_uppercase);
        !is_figure && !is_name && !word.contains(['=', '/'])
    };
    all.enumerate().filter(is_read).map(|(_, word)| word).collect()
}

/// A stop stands before a blank or at the end, so that those of figures and options are none.
fn stretches(text: &str) -> Vec<&str> {
    let mut parts = Vec::new();
    let mut rest = text;
    while let Some(at) = rest.char_indices().find_map(|(at, c)| {
        let next = rest[at + c.len_utf8()..].chars().next();
        (STOPS.contains(&c) && next.is_none_or(char::is_whitespace)).then_some(at)
    }) {
        parts.push(&rest[..at]);
        rest = &rest[at + 1..];
    }
    parts.push(rest);
    parts.into_iter().filter(|part| !words(part).is_empty()).collect()
}

/// Groups of vowels, without a silent e at the end; one at least.
fn syllables(word: &str) -> usize {
    let word = word.to_lowercase();
    let is_vowel = |c: char| "aeiouy".contains(c);
    let mut groups = 0;
    let mut was_vowel = false;
    for c in word.chars() {
        groups += usize::from(is_vowel(c) && !was_vowel);
        was_vowel = is_vowel(c);
    }
    let is_silent = word.ends_with('e') && !word.ends_with("le")
        || word.ends_with("ed") && !word.ends_with("ted") && !word.ends_with("ded");
    groups.saturating_sub(usize::from(is_silent && groups > 1)).max(1)
}

/// The school grade of a text.
pub fn grade(text: &str) -> f64 {
    let stretches = stretches(text);
    let all: Vec<&str> = stretches.iter().flat_map(|stretch| words(stretch)).collect();
    let syllables: usize = all.iter().map(|word| syllables(word)).sum();
    let per = |a: usize, b: usize| a as f64 / b.max(1) as f64;
    0.39 * per(all.len(), stretches.len()) + 11.8 * per(syllables, all.len()) - 15.59
}

/// Words between two stops, on average.
pub fn mean_stretch(text: &str) -> f64 {
    let stretches = stretches(text);
    let words: usize = stretches.iter().map(|stretch| words(stretch).len()).sum();
    words as f64 / stretches.len().max(1) as f64
}

/// Words between two stops, at most.
pub fn longest_stretch(text: &str) -> usize {
    stretches(text).iter().map(|stretch| words(stretch).len()).max().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_is_not_read() {
        let read = |text| without_what_is_typed(text);
        assert_eq!(read("see them all: propagule trial list"), "see them all:");
        assert_eq!(read("add one (propagule peers add ADDRESS), or wait"), "add one or wait");
        assert_eq!(
            read("type `--pieces 4` or --on DAY. Propagule says"),
            "type \u{2026} or DAY. Propagule says"
        );
    }

    #[test]
    fn a_simple_sentence_reads_at_a_low_grade() {
        assert_eq!(words("12 cuttings of Morus nigra at 7.5%"), ["cuttings", "of", "nigra", "at"]);
        assert_eq!(stretches("One. Two: 7.5% of three; four").len(), 4);
        assert_eq!(["rooted", "grafted", "tape", "little", "the"].map(syllables), [2, 2, 1, 2, 1]);
        // 3 words and 3 syllables in one sentence: 0.39 * 3 + 11.8 - 15.59.
        assert!((grade("The cat sat.") - -2.62).abs() < 0.01);
        assert_eq!(longest_stretch("The cat sat. It ran off home."), 4);
        assert!((mean_stretch("The cat sat. It ran off home.") - 3.5).abs() < 1e-9);
    }
}
