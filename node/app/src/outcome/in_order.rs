//! Names with their values as an object whose fields stand in the order in which they are told.

use std::fmt;

use serde::de::{MapAccess, Visitor};
use serde::{Deserializer, Serializer};

type Pairs = Vec<(String, String)>;

/// Writes an object.
pub(super) fn serialize<S: Serializer>(pairs: &Pairs, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_map(pairs.iter().map(|(name, value)| (name, value)))
}

/// Reads an object.
pub(super) fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Pairs, D::Error> {
    struct InOrder;

    impl<'de> Visitor<'de> for InOrder {
        type Value = Pairs;

        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str("an object of texts")
        }

        fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Pairs, A::Error> {
            let mut pairs = Pairs::new();
            while let Some(pair) = map.next_entry()? {
                pairs.push(pair);
            }
            Ok(pairs)
        }
    }

    deserializer.deserialize_map(InOrder)
}
