//! A command line in old words, put into new ones.

use super::{COMMANDS, KEPT, OPTIONS, RenamedOption, VALUES, shapes};

/// Options before or between the words of a command that take a value.
const GLOBAL: &str = "--home";
/// Behind this nothing is an option any more.
const ENDS_OPTIONS: &str = "--";

/// A name of before, with what it is called now.
pub(in crate::cli) type Renamed = (String, String);

/// The words behind the program's name in new words, with the names that were old.
pub(in crate::cli) fn in_new_words(words: Vec<String>) -> (Vec<String>, Vec<Renamed>) {
    let mut line = Line { words, renamed: Vec::new() };
    line.note_kept();
    line.name_commands();
    shapes::reshape(&mut line);
    line.name_options();
    line.name_values();
    (line.words, line.renamed)
}

/// A command line on its way.
pub(super) struct Line {
    pub(super) words: Vec<String>,
    pub(super) renamed: Vec<Renamed>,
}

impl Line {
    /// Where the words of the command stand: those before the first option that is its own.
    pub(super) fn names(&self) -> Vec<usize> {
        let mut at = 0;
        let mut names = Vec::new();
        while let Some(word) = self.words.get(at) {
            match word.as_str() {
                ENDS_OPTIONS => break,
                GLOBAL => at += 1,
                word if word.starts_with('-') => {}
                _ => names.push(at),
            }
            at += 1;
        }
        names
    }

    /// The command as named now, as far as options of several words are told apart by it.
    pub(super) fn is(&self, command: &str) -> bool {
        let names = self.names();
        command.split(' ').enumerate().all(|(n, part)| names.get(n).is_some_and(|at| self.words[*at] == part))
    }

    /// Up to where options stand.
    pub(super) fn end_of_options(&self) -> usize {
        self.words.iter().position(|word| word == ENDS_OPTIONS).unwrap_or(self.words.len())
    }

    pub(super) fn say(&mut self, old: &str, new: &str) {
        let said = (old.to_owned(), new.to_owned());
        if !self.renamed.contains(&said) {
            self.renamed.push(said);
        }
    }

    fn note_kept(&mut self) {
        for (old, new) in KEPT {
            let is_there = match old.rsplit_once(" --") {
                Some((command, option)) => {
                    let option = format!("--{option}");
                    self.is(command) && self.words[..self.end_of_options()].contains(&option)
                }
                None => self.is(old),
            };
            if is_there {
                self.say(old, new);
            }
        }
    }

    /// The longest old name of a command that stands here gets its new one.
    fn name_commands(&mut self) {
        let longest = COMMANDS.iter().filter(|(old, _)| self.is(old)).max_by_key(|(old, _)| old.len());
        let Some((old, new)) = longest.filter(|(old, _)| !self.takes_options(old)) else { return };
        let names: Vec<usize> = self.names().into_iter().take(old.split(' ').count()).collect();
        let first = names[0];
        for at in names.into_iter().rev() {
            self.words.remove(at);
        }
        for (n, word) in new.split(' ').enumerate() {
            self.words.insert(first + n, word.to_owned());
        }
        self.say(old, new);
    }

    /// Whether a name is reshaped with its options rather than renamed.
    fn takes_options(&self, old: &str) -> bool {
        let has = |option: &str| shapes::has(&self.words[..self.end_of_options()], option);
        match old {
            "trial correct" => has("--entry"),
            "care" => has("--take-back"),
            _ => false,
        }
    }

    fn name_options(&mut self) {
        for renamed in OPTIONS {
            let RenamedOption { of, old, new } = *renamed;
            if !of.is_empty() && !of.iter().any(|command| self.is_of(command)) {
                continue;
            }
            for at in (0..self.end_of_options()).rev() {
                let word = &self.words[at];
                let value = word.strip_prefix(old).filter(|rest| rest.is_empty() || rest.starts_with('='));
                let Some(value) = value.map(str::to_owned) else { continue };
                let new =
                    if old == "--pieces" && new == "--count" { shapes::pieces(&self.words) } else { new };
                if new.is_empty() {
                    self.words.remove(at);
                    continue;
                }
                self.words[at] = format!("{new}{value}");
                self.say(old, new);
            }
        }
    }

    /// Whether the line is of that command, by any of its names.
    fn is_of(&self, command: &str) -> bool {
        const ALSO: &[(&str, &[&str])] = &[
            ("stick", &["strike", "graft", "bud", "sow", "layer", "divide"]),
            ("lift", &["count", "take", "germination", "severed", "first"]),
            ("season", &["weaned", "pricked-out"]),
        ];
        let others = ALSO.iter().find(|(name, _)| *name == command).map_or(&[][..], |(_, others)| others);
        self.is(command) || others.iter().any(|other| self.is(other))
    }

    fn name_values(&mut self) {
        for value in VALUES {
            let end = self.end_of_options();
            for at in 0..end {
                let joined = format!("{}={}", value.option, value.old);
                if self.words[at] == joined {
                    self.words[at] = format!("{}={}", value.option, value.new);
                } else if self.words[at] == value.option && at + 1 < end && self.words[at + 1] == value.old {
                    value.new.clone_into(&mut self.words[at + 1]);
                } else {
                    continue;
                }
                self.say(
                    &format!("{} {}", value.option, value.old),
                    &format!("{} {}", value.option, value.new),
                );
            }
        }
    }
}
