//! Whoever waits for a fit: told how far it is, and able to end it.

use std::fmt;
use std::ops::ControlFlow;

use crate::FitError;

/// What a fit is at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// A round of the spreads, from 0.
    Spreads(usize),
    /// A node around them, from 0.
    Node(usize),
    /// A species and method of which the laws are weighed, from 0.
    Cell(usize),
}

/// Who watches a fit.
pub struct Watch<'a>(Option<&'a dyn Fn(Step) -> ControlFlow<()>>);

impl<'a> Watch<'a> {
    /// Nobody; the fit runs to its end.
    pub const fn nobody() -> Self {
        Self(None)
    }

    /// `told` hears each step and says whether to go on.
    pub const fn new(told: &'a dyn Fn(Step) -> ControlFlow<()>) -> Self {
        Self(Some(told))
    }

    pub(super) fn at(&self, step: Step) -> Result<(), FitError> {
        match self.0.map_or(ControlFlow::Continue(()), |told| told(step)) {
            ControlFlow::Continue(()) => Ok(()),
            ControlFlow::Break(()) => Err(FitError::Ended),
        }
    }
}

impl fmt::Debug for Watch<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("Watch").field(&self.0.is_some()).finish()
    }
}
