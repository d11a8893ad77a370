//! Sentences that name options of commands, in the words of the page.

/// What a sentence says where an option would be named, and what a reader of the page does instead.
const SAID: [(&str, &str); 11] = [
    (" (see propagule names).", "."),
    ("see it with --unchecked.", "tick \u{201c}Growers not known here yet, too\u{201d} to see it."),
    ("see them with --unchecked.", "tick \u{201c}Growers not known here yet, too\u{201d} to see them."),
    (": propagule trust add KEY", " under \u{201c}Growers you trust\u{201d}."),
    ("See them: --whose everybody", "Choose \u{201c}everybody\u{201d} to see them."),
    ("Add them: --whose everybody", "Choose \u{201c}everybody\u{201d} to add them."),
    (": --whose everybody", ": choose \u{201c}everybody\u{201d}."),
    (
        "See who moves the figures: --detail",
        "See who moves them under \u{201c}What moves the figures\u{201d}.",
    ),
    ("ask for another stage with --stage and --outcome", "choose another count"),
    ("ask for another stage with --stage", "choose another count"),
    ("leave it out with --where", "leave it out with a filter"),
];

/// The same sentence for the page.
pub fn plain(sentence: &str) -> String {
    SAID.iter().fold(sentence.to_owned(), |text, (option, words)| text.replace(option, words))
}
