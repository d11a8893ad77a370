//! What can be done next.

use serde::{Deserialize, Serialize};

/// Something that can be done: a command to paste, an address to go to, or both. Forms are the page's own.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Action {
    /// What it does.
    pub label: String,
    /// The command that does it; text prints it, and a page where there is no address.
    pub command: Option<String>,
    /// Where it is done on the page.
    pub address: Option<String>,
    /// How much it is offered.
    pub weight: Weight,
}

/// How much an action is offered.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Weight {
    /// The likeliest next step.
    Lead,
    /// One of several.
    #[default]
    Usual,
    /// For those who look for it.
    Quiet,
}

impl Action {
    /// A way to a page.
    pub fn link(label: impl Into<String>, address: impl Into<String>) -> Self {
        let address = Some(address.into());
        Self { label: label.into(), command: None, address, weight: Weight::Usual }
    }

    /// A command to paste.
    pub fn command(label: impl Into<String>, command: impl Into<String>) -> Self {
        let command = Some(command.into());
        Self { label: label.into(), command, address: None, weight: Weight::Usual }
    }

    /// And where the page does it.
    #[must_use]
    pub fn at(mut self, address: impl Into<String>) -> Self {
        self.address = Some(address.into());
        self
    }

    /// As the likeliest next step.
    #[must_use]
    pub fn lead(mut self) -> Self {
        self.weight = Weight::Lead;
        self
    }

    /// For those who look for it.
    #[must_use]
    pub fn quiet(mut self) -> Self {
        self.weight = Weight::Quiet;
        self
    }
}
