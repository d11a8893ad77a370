//! How to undo something: a command, whose words are quoted where a shell would read them otherwise.

use crate::document::Action;
use propagule_files::paste::pasteable;

use propagule_app::outcome::take_back::TakeBack;

/// The command that undoes something.
pub(super) fn by<'a>(words: impl IntoIterator<Item = &'a str>) -> Action {
    let words: Vec<String> = words.into_iter().map(pasteable).collect();
    Action::command("To undo this", format!("propagule {}", words.join(" ")))
}

/// The command that changes the description of a trial, which is never undone.
pub(super) fn mend(trial: &str) -> Action {
    Action::command("To change it", format!("propagule trial edit {} --help", pasteable(trial)))
}

/// The command that undoes an entry.
pub(super) fn of(take_back: &TakeBack) -> Action {
    match take_back {
        TakeBack::Entry { trial, entry } => by(["undo", trial, &entry.to_string()]),
        TakeBack::Care { spot, entry } => by(["undo", spot, &entry.to_string()]),
        TakeBack::Looks { first, last } if first == last => by(["undo", "--checks", &first.to_string()]),
        TakeBack::Looks { first, last } => by(["undo", "--checks", &format!("{first}-{last}")]),
    }
}

#[cfg(test)]
mod tests {
    use crate::document::Document;
    use crate::text;

    use propagule_app::outcome::take_back::TakeBack;

    #[test]
    fn the_line_can_be_pasted() {
        let said = Document::new().action(super::by(["names", "Rubus niger", "--apart"]));
        assert_eq!(text::render(&said, 80), "To undo this: propagule names 'Rubus niger' --apart\n");
    }

    #[test]
    fn entries_are_taken_back_by_their_numbers() {
        let spot = "mist house".to_owned();
        for (take_back, command) in [
            (TakeBack::Care { spot, entry: 12 }, "undo 'mist house' 12"),
            (TakeBack::entry("M1", 9), "undo M1 9"),
            (TakeBack::Looks { first: 7, last: 7 }, "undo --checks 7"),
            (TakeBack::Looks { first: 7, last: 9 }, "undo --checks 7-9"),
        ] {
            assert_eq!(super::of(&take_back).command, Some(format!("propagule {command}")));
        }
    }
}
