//! Names of faults, of hints and of parameters.

use std::borrow::{Borrow, Cow};
use std::fmt::{self, Display};
use std::ops::Deref;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A stable name, of small letters joined by hyphens or underscores: of a fault, of a hint, or of a parameter.
///
/// It is written down in the source or comes from another process; nothing that was put together can be one, so that no
/// fault is made of a sentence.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct Code(Cow<'static, str>);

impl From<&'static str> for Code {
    /// # Panics
    /// Where it is a sentence: anything but small letters, digits, hyphens and underscores.
    fn from(name: &'static str) -> Self {
        let is_sign = |byte: u8| byte.is_ascii_lowercase() || byte.is_ascii_digit() || b"-_".contains(&byte);
        assert!(name.bytes().all(is_sign), "\"{name}\" is no code: words stand in `present`");
        Self(Cow::Borrowed(name))
    }
}

impl Deref for Code {
    type Target = str;

    fn deref(&self) -> &str {
        &self.0
    }
}

impl Borrow<str> for Code {
    fn borrow(&self) -> &str {
        &self.0
    }
}

impl PartialEq<&str> for Code {
    fn eq(&self, other: &&str) -> bool {
        self.0 == *other
    }
}

impl PartialEq<str> for Code {
    fn eq(&self, other: &str) -> bool {
        self.0 == other
    }
}

impl Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}
