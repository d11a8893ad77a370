//! The words by which a reader says whose results count.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Whose results count.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Whose {
    /// The reader's own.
    Mine,
    /// Those the reader trusts.
    Friends,
    /// And those whom they vouch for.
    FriendsOfFriends,
    /// All trusted growers.
    Circle,
    /// Every key on the network.
    Everybody,
}

impl Whose {
    /// All of them, the fewest growers first.
    pub const ALL: [Self; 5] =
        [Self::Mine, Self::Friends, Self::FriendsOfFriends, Self::Circle, Self::Everybody];

    /// The word used in JSON and options.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Mine => "mine",
            Self::Friends => "friends",
            Self::FriendsOfFriends => "friends-of-friends",
            Self::Circle => "circle",
            Self::Everybody => "everybody",
        }
    }

    /// What `word` names.
    pub fn parse(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|whose| whose.word() == word)
    }

    /// Steps from the reader within which growers count; `None` where everybody does.
    pub(super) const fn steps(self) -> Option<u8> {
        match self {
            Self::Mine => Some(0),
            Self::Friends => Some(1),
            Self::FriendsOfFriends => Some(2),
            Self::Circle => Some(super::FURTHEST),
            Self::Everybody => None,
        }
    }
}

impl fmt::Display for Whose {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}
