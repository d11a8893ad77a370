//! Reads maps of the schema from CBOR values, with the path of every fault.

use std::fmt::Display;

use ciborium::Value;

use super::{Code, Extensions};
use crate::limits::FIRST_IGNORABLE_KEY;

/// A breach of the schema: where, and what.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{path}: {fault}")]
pub struct SchemaError {
    /// Names of the fields from the body inwards, such as `arms[0].facets.kind`.
    pub path: String,
    /// What is wrong there.
    pub fault: SchemaFault,
}

/// What is wrong with a field.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SchemaFault {
    /// A needed field is absent.
    #[error("missing")]
    Missing,
    /// Another CBOR type.
    #[error("expected {0}")]
    WrongType(&'static str),
    /// A number out of its range.
    #[error("{value} is not from {low} to {high}")]
    OutOfRange {
        /// As found.
        value: i128,
        /// Lowest allowed.
        low: i64,
        /// Highest allowed.
        high: i64,
    },
    /// An array or byte string of the wrong size.
    #[error("{length} long, expected {low} to {high}")]
    WrongLength {
        /// As found.
        length: usize,
        /// Shortest allowed.
        low: usize,
        /// Longest allowed.
        high: usize,
    },
    /// A text outside its grammar.
    #[error("not {0}")]
    Grammar(&'static str),
    /// A key that a closed map does not have.
    #[error("unknown key {0} in a closed map")]
    UnknownKey(u64),
    /// Null where only the strength of an auxin may be null.
    #[error("null is allowed only as the strength of an auxin")]
    Null,
    /// A key for which nobody has the right proof.
    #[error("the new key did not sign")]
    BadProof,
    /// A public key that cannot sign.
    #[error("{0}")]
    BadKey(crate::key::KeyFault),
    /// Two fields that say the same in different ways.
    #[error("not beside {0}")]
    Beside(&'static str),
}

impl SchemaError {
    pub(crate) fn at(path: impl Display, fault: SchemaFault) -> Self {
        Self { path: path.to_string(), fault }
    }

    /// The same fault seen from one level further out.
    pub(crate) fn within(self, outer: impl Display) -> Self {
        let joint = if self.path.is_empty() || self.path.starts_with('[') { "" } else { "." };
        Self { path: format!("{outer}{joint}{}", self.path), fault: self.fault }
    }
}

/// An unknown key below 64 in an open map: only a newer version knows what it changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CriticalKey {
    /// Which map: `summary`, `arm`, `counts`, `facets`, `taxon`, `region`, `withdrawal`…
    pub map: &'static str,
    /// The key.
    pub key: u64,
}

pub(crate) type Read<T> = Result<T, SchemaError>;

/// What a decoder knows of the record besides the value that it reads.
pub(crate) struct Context<'a> {
    /// Schema major of the record: keys that came with a later one are unknown in it.
    pub(crate) major: u8,
    /// Unknown critical keys found so far.
    pub(crate) critical: &'a mut Vec<CriticalKey>,
}

impl Context<'_> {
    /// Whether the keys of major 1 mean nothing in this record.
    pub(crate) fn is_old(&self) -> bool {
        self.major == 0
    }
}

/// The entries of one map, taken out one by one.
pub(crate) struct Fields {
    map: &'static str,
    entries: Vec<(u64, Value)>,
}

impl Fields {
    /// `name` is how errors and critical keys call the map.
    pub(crate) fn new(map: &'static str, value: Value) -> Result<Self, SchemaFault> {
        let Value::Map(entries) = value else { return Err(SchemaFault::WrongType("a map")) };
        let keyed = entries.into_iter().map(|(key, value)| Some((unsigned(&key)?, value)));
        let entries = keyed.collect::<Option<_>>().ok_or(SchemaFault::WrongType("unsigned integer keys"))?;
        Ok(Self { map, entries })
    }

    fn take(&mut self, key: u64) -> Option<Value> {
        let at = self.entries.iter().position(|(k, _)| *k == key)?;
        Some(self.entries.remove(at).1)
    }

    pub(crate) fn maybe<T>(
        &mut self,
        key: u64,
        name: &str,
        read: impl FnOnce(Value) -> Result<T, SchemaFault>,
    ) -> Read<Option<T>> {
        self.take(key).map(read).transpose().map_err(|fault| SchemaError::at(name, fault))
    }

    pub(crate) fn need<T>(
        &mut self,
        key: u64,
        name: &str,
        read: impl FnOnce(Value) -> Result<T, SchemaFault>,
    ) -> Read<T> {
        self.maybe(key, name, read)?.ok_or_else(|| SchemaError::at(name, SchemaFault::Missing))
    }

    /// Like [`Self::maybe`] for values that are maps or arrays with paths of their own.
    pub(crate) fn maybe_nested<T>(
        &mut self,
        key: u64,
        name: &str,
        read: impl FnOnce(Value) -> Read<T>,
    ) -> Read<Option<T>> {
        self.take(key).map(read).transpose().map_err(|error| error.within(name))
    }

    pub(crate) fn need_nested<T>(
        &mut self,
        key: u64,
        name: &str,
        read: impl FnOnce(Value) -> Read<T>,
    ) -> Read<T> {
        self.maybe_nested(key, name, read)?.ok_or_else(|| SchemaError::at(name, SchemaFault::Missing))
    }

    /// Like [`Self::maybe`] for a key that came with major 1: in an older record it is left as unknown.
    pub(crate) fn newer<T>(
        &mut self,
        context: &Context,
        key: u64,
        name: &str,
        read: impl FnOnce(Value) -> Result<T, SchemaFault>,
    ) -> Read<Option<T>> {
        if context.is_old() { Ok(None) } else { self.maybe(key, name, read) }
    }

    /// Like [`Self::newer`] for values that are maps or arrays with paths of their own.
    pub(crate) fn newer_nested<T>(
        &mut self,
        context: &mut Context,
        key: u64,
        name: &str,
        read: impl FnOnce(Value, &mut Context) -> Read<T>,
    ) -> Read<Option<T>> {
        if context.is_old() { Ok(None) } else { self.maybe_nested(key, name, |value| read(value, context)) }
    }

    /// Ends an open map: keys of 64 and up are kept, lower ones noted as critical.
    pub(crate) fn open(self, context: &mut Context) -> Read<Extensions> {
        let mut kept = Extensions::new();
        for (key, value) in self.entries {
            if holds_null(&value) {
                return Err(SchemaError::at(format!("key {key}"), SchemaFault::Null));
            }
            if key < FIRST_IGNORABLE_KEY {
                context.critical.push(CriticalKey { map: self.map, key });
            } else {
                kept.insert(key, value);
            }
        }
        Ok(kept)
    }

    /// Ends a closed map: no other keys.
    pub(crate) fn close(self) -> Read<()> {
        match self.entries.first() {
            Some((key, _)) => Err(SchemaError::at("", SchemaFault::UnknownKey(*key))),
            None => Ok(()),
        }
    }
}

fn holds_null(value: &Value) -> bool {
    match value {
        Value::Null => true,
        Value::Array(items) => items.iter().any(holds_null),
        Value::Map(entries) => entries.iter().any(|(_, value)| holds_null(value)),
        _ => false,
    }
}

fn unsigned(key: &Value) -> Option<u64> {
    key.as_integer().and_then(|n| u64::try_from(n).ok())
}

/// An integer from `low` to `high`.
pub(crate) fn number<T: TryFrom<i128>>(
    low: impl Into<i64>,
    high: impl Into<i64>,
) -> impl FnOnce(Value) -> Result<T, SchemaFault> {
    let (low, high) = (low.into(), high.into());
    move |value| {
        let value = i128::from(value.as_integer().ok_or(SchemaFault::WrongType("an integer"))?);
        let out = SchemaFault::OutOfRange { value, low, high };
        if (i128::from(low)..=i128::from(high)).contains(&value) {
            T::try_from(value).map_err(|_| out)
        } else {
            Err(out)
        }
    }
}

pub(crate) fn code(value: Value) -> Result<Code, SchemaFault> {
    number(0, 255)(value).map(Code)
}

pub(crate) fn text(
    is_valid: fn(&str) -> bool,
    grammar: &'static str,
) -> impl FnOnce(Value) -> Result<String, SchemaFault> {
    move |value| {
        let Value::Text(text) = value else { return Err(SchemaFault::WrongType("text")) };
        if is_valid(&text) { Ok(text) } else { Err(SchemaFault::Grammar(grammar)) }
    }
}

pub(crate) fn bytes<const N: usize>(value: Value) -> Result<[u8; N], SchemaFault> {
    let Value::Bytes(bytes) = value else { return Err(SchemaFault::WrongType("a byte string")) };
    let length = bytes.len();
    bytes.try_into().map_err(|_| SchemaFault::WrongLength { length, low: N, high: N })
}

/// An array of `low` to `high` items.
pub(crate) fn items(value: Value, low: usize, high: usize) -> Result<Vec<Value>, SchemaFault> {
    let Value::Array(items) = value else { return Err(SchemaFault::WrongType("an array")) };
    let length = items.len();
    if (low..=high).contains(&length) {
        Ok(items)
    } else {
        Err(SchemaFault::WrongLength { length, low, high })
    }
}

/// An array whose items are read one by one, with their positions in the path.
pub(crate) fn list<T>(
    value: Value,
    low: usize,
    high: usize,
    mut read: impl FnMut(Value) -> Read<T>,
) -> Read<Vec<T>> {
    let items = items(value, low, high).map_err(|fault| SchemaError::at("", fault))?;
    let read_at = |(at, item)| read(item).map_err(|error: SchemaError| error.within(format!("[{at}]")));
    items.into_iter().enumerate().map(read_at).collect()
}
