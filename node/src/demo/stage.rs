//! What the audience sees: numbered steps, the commands as they could be typed, and what they print.

use std::path::{Path, PathBuf};

use crate::ui::Ui;
use propagule_files::fault::Fault;

/// The folder of the demonstration and the way to its audience.
#[derive(Debug)]
pub(super) struct Stage {
    ui: Ui,
    folder: PathBuf,
    step: usize,
}

impl Stage {
    pub(super) fn new(ui: Ui, folder: &Path) -> Self {
        Self { ui, folder: folder.into(), step: 0 }
    }

    pub(super) fn folder(&self) -> &Path {
        &self.folder
    }

    /// Begins a step.
    pub(super) fn step(&mut self, title: &str) -> Result<(), Fault> {
        self.step += 1;
        self.ui.out(&format!("\n{}. {title}\n", self.step))
    }

    /// Says something in plain words.
    pub(super) fn say(&self, text: &str) -> Result<(), Fault> {
        self.ui.out(&format!("   {text}\n"))
    }

    /// Shows a command as it can be typed.
    pub(super) fn command(&self, home: &Path, words: &[&str]) -> Result<(), Fault> {
        let home = self.short(&home.display().to_string());
        let words: Vec<String> = words.iter().map(|word| quoted(&self.short(word))).collect();
        self.ui.out(&format!("   $ propagule --home {home} {}\n", words.join(" ")))
    }

    /// Shows what a command printed, indented.
    pub(super) fn output(&self, text: &str) -> Result<(), Fault> {
        let lines: Vec<String> =
            text.trim_end().lines().map(|line| format!("     {line}").trim_end().to_owned()).collect();
        self.ui.out(&format!("{}\n", lines.join("\n")))
    }

    /// Columns left for the output of commands.
    pub(super) fn columns(&self) -> usize {
        self.ui.width().saturating_sub(5).max(60)
    }

    /// The demo folder in a command line is `$DEMO`, named at the beginning.
    fn short(&self, word: &str) -> String {
        word.replace(&self.folder.display().to_string(), "$DEMO")
    }
}

/// A word as a shell takes it back.
fn quoted(word: &str) -> String {
    let is_plain = |c: char| c.is_ascii_alphanumeric() || "$-_./,:=+".contains(c);
    if !word.is_empty() && word.chars().all(is_plain) { word.to_owned() } else { format!("\"{word}\"") }
}
