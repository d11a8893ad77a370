//! Chips: one of several names, each a target for a thumb; below them are plain radio buttons.

use maud::{Markup, html};
use propagule_present::words::new_trial::MORE;

use super::form::Form;
use super::problem;

/// A chip: what is sent, and what is read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Chip {
    pub(super) value: String,
    pub(super) words: String,
}

impl Chip {
    pub(super) fn new(value: impl Into<String>, words: impl Into<String>) -> Self {
        Self { value: value.into(), words: words.into() }
    }

    /// A name that is sent as it is read.
    pub(super) fn named(name: &str) -> Self {
        Self::new(name, name)
    }
}

impl Form<'_> {
    /// One of several as chips; `more` are folded unless one of them is chosen.
    pub(super) fn chips(
        &self,
        name: &str,
        label: &str,
        help: &str,
        options: &[Chip],
        more: &[Chip],
    ) -> Markup {
        let chosen = self.fields.get(name);
        let id = self.id(name);
        let wrong = self.wrong(name);
        let described = match (wrong.is_some(), help.is_empty()) {
            (true, _) => Some(format!("{id}-wrong")),
            (false, false) => Some(format!("{id}-help")),
            (false, true) => None,
        };
        let chips = |options: &[Chip]| {
            html! { div class="chips" { @for Chip { value, words } in options {
                label class="chip" { input type="radio" name=(name) value=(value) checked[*value == chosen]; span { (words) } }
            } } }
        };
        html! {
            fieldset class="plain" id=(id) tabindex="-1" aria-describedby=[described] {
                legend { (label) }
                @if !help.is_empty() { span class="help" id={ (id) "-help" } { (help) } }
                @if let Some(failure) = wrong { span class="wrong" id={ (id) "-wrong" } { (problem::sentence(failure)) } }
                (chips(options))
                @if !more.is_empty() {
                    details class="others" open[!chosen.is_empty() && more.iter().any(|chip| chip.value == chosen)] {
                        summary { (MORE) }
                        (chips(more))
                    }
                }
            }
        }
    }
}
