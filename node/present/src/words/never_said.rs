//! Words that no propagator says, and what is said in their place: none of them stands on a screen.

use super::read_aloud::without_what_is_typed;

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
    ("experiment", "trial"),
    ("variant", "treatment"),
    ("replicate", "pot"),
    ("replicates", "pots"),
    ("operator", "grafted by, stuck by"),
    ("growing place", "structure"),
    ("substrate", "medium"),
    ("auxin", "rooting hormone"),
    ("harvest", "lift"),
    ("died since", "dead"),
    ("unscored", "lost"),
    ("with roots", "rooted"),
    ("at grade", "finished"),
    ("overtaken", "smothered by suckers"),
    ("put elsewhere", "moved"),
    ("desiccation", "dried out"),
    ("destructive sample", "dug up to look"),
    ("the data fit", "95% interval"),
    ("contrast", "side-by-side comparison"),
    ("contrasts", "side-by-side comparisons"),
    ("number to start", "how many to stick"),
    ("registered", "announced"),
    ("tau", "how much growers differ"),
    ("wrap cut", "graft tape cut"),
    ("half of the earth", "hemisphere"),
    ("kept aside", "needs a newer version"),
    ("gossip", "by way of other growers' computers"),
    ("embargo", "random delay"),
    ("by stem", "by a detour"),
    ("silent", "announced, overdue"),
    ("mute", "ignore"),
    ("muted", "ignored"),
    ("hear again", "count again"),
    ("strangers", "growers not known here yet"),
    ("circle", "growers you trust"),
    ("author key", "key"),
    ("fresh key", "new unlinked key"),
    ("rotate", "replace"),
    ("rotated", "replaced"),
    ("rotation", "replaced key"),
    ("revoke", "cancel"),
    ("revoked", "cancelled"),
    ("revocation", "cancellation"),
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
    let said = without_what_is_typed(text);
    let bare = said.split_whitespace().map(|word| word.trim_matches(|c: char| !c.is_alphanumeric()));
    bare.fold(String::from(" "), |out, word| out + &word.to_lowercase() + " ")
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
