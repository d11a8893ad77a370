//! Words that no propagator says, and what is said in their place: none of them stands on a screen.

/// A word with what is said in its place.
const NEVER: &[(&str, &str)] = &[
    ("piece", "cutting, graft, seed"),
    ("pieces", "cuttings, grafts, seeds"),
    ("put in", "stuck, grafted, sown"),
    ("to be put in", "planned"),
    ("arm", "treatment"),
    ("arms", "treatments"),
    ("facet", "detail"),
    ("facets", "details"),
    ("spot", "bench"),
    ("spots", "benches"),
    ("lot", "batch"),
    ("lots", "batches"),
    ("firing", "mist cycle"),
    ("firings", "mist cycles"),
    ("would fit", "could still be as high as"),
    ("lives on", "stays alive"),
    ("live on", "stay alive"),
    ("bold arm", "one treatment nobody has tried"),
    ("left below", "gone unfinished"),
    ("below grade", "gone unfinished"),
    ("left as finished", "sold, given or planted out"),
    ("our prior", "the model's starting assumption"),
    ("built in by us", "an assumption of the model"),
    ("a new grower", "your next trial"),
    ("take it back", "undo"),
    ("taken back", "undone"),
    ("whole life", "in all"),
    ("wrap cut", "graft tape cut"),
    ("half of the earth", "hemisphere"),
    ("kept aside", "needs a newer version"),
    ("gossip", "by way of other growers' computers"),
    ("embargo", "random delay"),
    ("silent", "announced, overdue"),
    ("muted", "ignored"),
    ("revision", "update"),
    ("revisions", "updates"),
    ("significant", "did better"),
    ("anonymous", "under your key, not your name"),
    ("anonymised", "with names, places, dates and notes removed"),
];

/// The first word of a text that is never said. What stands in backquotes or after `--` is typed, not said.
pub fn never_said(text: &str) -> Option<&'static str> {
    let said = spoken(text);
    NEVER.iter().map(|(word, _)| *word).find(|word| said.contains(&format!(" {word} ")))
}

/// The words of a text in small letters, a blank around each, without what is typed.
fn spoken(text: &str) -> String {
    let said: Vec<&str> = text.split('`').step_by(2).collect();
    let mut out = String::from(" ");
    let mut of_command = 0_usize;
    for word in said.join(" ").split_whitespace() {
        let is_typed = of_command > 0 || word.starts_with("--") || word.contains(['=', '/', '_', '{', '}']);
        // A command has a verb or two behind its name.
        of_command = if word == "propagule" { 2 } else { of_command.saturating_sub(1) };
        let bare = if is_typed { "\u{2026}" } else { word.trim_matches(|c: char| !c.is_alphanumeric()) };
        out.push_str(&bare.to_lowercase());
        out.push(' ');
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_found_whole_and_what_is_typed_is_passed_over() {
        assert_eq!(never_said("24 pieces, put in"), Some("pieces"));
        assert_eq!(never_said("Arm A stands on a spot"), Some("arm"));
        assert_eq!(never_said("whoever is not mentioned lives on."), Some("lives on"));
        assert_eq!(never_said("a warm plot, armour and pilots"), None);
        assert_eq!(never_said("type `--pieces 4` or --pieces, propagule spot {spot}"), None);
    }
}
