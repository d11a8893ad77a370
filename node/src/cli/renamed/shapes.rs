//! Command lines whose words stand in another order now.

use super::read::Line;

/// Options of these commands that take a value, so that what follows is no word of the command.
const WITH_VALUE: &[&str] = &[
    "--home",
    "--entry",
    "--on",
    "--year",
    "--dates",
    "--date-order",
    "--note",
    "--file",
    "--photo",
    "--once",
    "--entry-id",
    "--sold",
    "--given",
    "--planted-out",
    "--take-back",
];

/// Puts what has another shape now into it.
pub(super) fn reshape(line: &mut Line) {
    if line.is("trial correct") && line.has("--entry") {
        entry(line);
    } else if line.is("fix") && line.has("--take-back") {
        line.drop_flag("--take-back");
        line.rename("fix", "undo");
        line.say("fix --take-back", "undo");
    } else if line.is("care") && line.has("--take-back") {
        line.rename("care", "undo");
        line.make_word("--take-back", 2);
        line.say("care --take-back", "undo");
    } else if line.is("check") && line.has("--take-back") {
        line.rename("check", "undo");
        line.rename_option("--take-back", "--checks");
        line.say("check --take-back", "undo --checks");
    } else if line.is("move") {
        for (option, command) in [("--sold", "sell"), ("--given", "give"), ("--planted-out", "plant-out")] {
            if line.has(option) {
                leaving(line, option, command);
            }
        }
    }
}

/// `trial correct CODE --entry N …` is a correction of counts, or the end of an entry.
fn entry(line: &mut Line) {
    let is_taken_back = line.has("--take-back");
    line.drop_flag("--take-back");
    let command = if is_taken_back { "undo" } else { "fix" };
    line.rename("correct", command);
    let names = line.names();
    line.words.remove(names[0]);
    line.make_word("--entry", 2);
    line.say(if is_taken_back { "trial correct --take-back" } else { "trial correct --entry" }, command);
}

/// `move CODE WHERE --sold N` leaves from somewhere.
fn leaving(line: &mut Line, option: &str, command: &str) {
    line.rename("move", command);
    line.say(&format!("move {option}"), command);
    let Some(count) = line.take_value(option) else { return };
    let places = line.positionals();
    match places.get(2) {
        Some(at) => line.words[*at] = format!("{}={count}", line.words[*at]),
        None => line.words.push(count),
    }
}

/// What pieces are counted by: pots where the line has some.
pub(super) fn pieces(words: &[String]) -> &'static str {
    let has_pots = |word: &String| {
        word == "--pots"
            || word.starts_with("--pots=")
            || word.starts_with("--shared-pots")
            || word.replace(' ', "").contains("pots=")
    };
    if words.iter().any(has_pots) { "--per-pot" } else { "--count" }
}

/// Whether an option stands among words, with its value or without.
pub(super) fn has(words: &[String], option: &str) -> bool {
    words
        .iter()
        .any(|word| word.strip_prefix(option).is_some_and(|rest| rest.is_empty() || rest.starts_with('=')))
}

impl Line {
    fn has(&self, option: &str) -> bool {
        has(&self.words[..self.end_of_options()], option)
    }

    /// Renames the last word of the command's name.
    fn rename(&mut self, old: &str, new: &str) {
        if let Some(at) = self.names().into_iter().find(|at| self.words[*at] == old) {
            new.clone_into(&mut self.words[at]);
        }
    }

    fn rename_option(&mut self, old: &str, new: &str) {
        for word in &mut self.words {
            if let Some(rest) = word.strip_prefix(old) {
                *word = format!("{new}{rest}");
            }
        }
    }

    fn drop_flag(&mut self, flag: &str) {
        let end = self.end_of_options();
        if let Some(at) = self.words[..end].iter().position(|word| word == flag) {
            self.words.remove(at);
        }
    }

    /// Takes an option out with its value.
    fn take_value(&mut self, option: &str) -> Option<String> {
        let at = self.words.iter().position(|word| {
            word.strip_prefix(option).is_some_and(|rest| rest.is_empty() || rest.starts_with('='))
        })?;
        let word = self.words.remove(at);
        match word.strip_prefix(option).and_then(|rest| rest.strip_prefix('=')) {
            Some(value) => Some(value.to_owned()),
            None => (at < self.words.len()).then(|| self.words.remove(at)),
        }
    }

    /// The value of an option stands as the word of that number, counted from the command.
    fn make_word(&mut self, option: &str, number: usize) {
        let Some(value) = self.take_value(option) else { return };
        let at = self.positionals().get(number).copied();
        self.words.insert(at.unwrap_or(self.words.len()), value);
    }

    /// Where words stand that are neither options nor their values.
    fn positionals(&self) -> Vec<usize> {
        let (mut found, mut at) = (Vec::new(), 0);
        while let Some(word) = self.words.get(at) {
            if WITH_VALUE.contains(&word.as_str()) {
                at += 1;
            } else if !word.starts_with('-') {
                found.push(at);
            }
            at += 1;
        }
        found
    }
}
