//! Codes on labels, with a character that catches slips of the pen.

/// Why a code typed from a tag was not taken.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CodeError {
    /// No letter or digit in it.
    #[error("no code was given")]
    Empty,
    /// No such code; `meant` holds at most three that were perhaps meant.
    #[error("no code `{typed}`{}", perhaps(.meant))]
    Unknown {
        /// As typed.
        typed: String,
        /// Likely ones, likeliest first.
        meant: Vec<String>,
    },
    /// The check character does not fit; `meant` holds at most three that were perhaps meant.
    #[error("the check character of `{typed}` does not fit{}", perhaps(.meant))]
    Check {
        /// As typed.
        typed: String,
        /// Likely ones, likeliest first.
        meant: Vec<String>,
    },
}

fn perhaps(meant: &[String]) -> String {
    if meant.is_empty() { String::new() } else { format!("; perhaps {}", meant.join(" or ")) }
}
