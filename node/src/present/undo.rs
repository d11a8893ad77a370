//! How to take something back: a command, whose words are quoted where a shell would read them otherwise.

use propagule_files::paste::pasteable;
use propagule_present::document::Action;

/// The command that takes something back.
pub(super) fn by<'a>(words: impl IntoIterator<Item = &'a str>) -> Action {
    let words: Vec<String> = words.into_iter().map(pasteable).collect();
    Action::command("To take it back", format!("propagule {}", words.join(" ")))
}

#[cfg(test)]
mod tests {
    use propagule_present::document::Document;
    use propagule_present::text;

    #[test]
    fn the_line_can_be_pasted() {
        let said = Document::new().action(super::by(["plant", "Rubus niger", "--apart"]));
        assert_eq!(text::render(&said, 80), "To take it back: propagule plant 'Rubus niger' --apart\n");
    }
}
