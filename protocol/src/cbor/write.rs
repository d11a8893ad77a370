//! The deterministic writer, and a builder of maps with small unsigned keys.

use ciborium::Value;

/// Why a value cannot be written in the profile.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum WriteError {
    /// Floats, tags and booleans are outside the profile.
    #[error("{0} is outside the profile")]
    Outside(&'static str),
    /// A map key that is not an unsigned integer.
    #[error("a map key that is not an unsigned integer")]
    KeyType,
    /// The same key twice in one map.
    #[error("map key {0} twice")]
    DuplicateKey(u64),
}

/// The one encoding of `value`: shortest heads, definite lengths, keys in bytewise order.
pub fn to_bytes(value: &Value) -> Result<Vec<u8>, WriteError> {
    let mut out = Vec::with_capacity(256);
    write(&mut out, value)?;
    Ok(out)
}

/// [`to_bytes`] for values built by the program itself.
///
/// # Panics
/// When the value is outside the profile: a float, tag, boolean, or a key that is not an unsigned integer
/// or stands twice.
pub fn encode(value: &Value) -> Vec<u8> {
    to_bytes(value).expect("the program builds values within the profile")
}

fn write(out: &mut Vec<u8>, value: &Value) -> Result<(), WriteError> {
    match value {
        Value::Integer(n) => integer(out, i128::from(*n)),
        Value::Bytes(bytes) => string(out, 2, bytes),
        Value::Text(text) => string(out, 3, text.as_bytes()),
        Value::Array(items) => return array(out, items),
        Value::Map(entries) => return map(out, entries),
        Value::Null => out.push(0xf6),
        Value::Float(_) => return Err(WriteError::Outside("a float")),
        Value::Bool(_) => return Err(WriteError::Outside("a boolean")),
        Value::Tag(..) => return Err(WriteError::Outside("a tag")),
        _ => return Err(WriteError::Outside("an unknown item")),
    }
    Ok(())
}

fn integer(out: &mut Vec<u8>, n: i128) {
    if n < 0 { head(out, 1, (-1 - n) as u64) } else { head(out, 0, n as u64) }
}

fn string(out: &mut Vec<u8>, major: u8, bytes: &[u8]) {
    head(out, major, bytes.len() as u64);
    out.extend_from_slice(bytes);
}

fn array(out: &mut Vec<u8>, items: &[Value]) -> Result<(), WriteError> {
    head(out, 4, items.len() as u64);
    items.iter().try_for_each(|item| write(out, item))
}

fn map(out: &mut Vec<u8>, entries: &[(Value, Value)]) -> Result<(), WriteError> {
    let mut sorted = entries.iter().map(|(k, v)| Ok((unsigned(k)?, v))).collect::<Result<Vec<_>, _>>()?;
    sorted.sort_by_key(|(key, _)| *key);
    if let Some(twice) = sorted.windows(2).find(|pair| pair[0].0 == pair[1].0) {
        return Err(WriteError::DuplicateKey(twice[0].0));
    }
    head(out, 5, sorted.len() as u64);
    sorted.into_iter().try_for_each(|(key, value)| {
        head(out, 0, key);
        write(out, value)
    })
}

fn unsigned(key: &Value) -> Result<u64, WriteError> {
    key.as_integer().and_then(|n| u64::try_from(n).ok()).ok_or(WriteError::KeyType)
}

fn head(out: &mut Vec<u8>, major: u8, argument: u64) {
    let bytes = argument.to_be_bytes();
    let (info, from) = match argument {
        0..=23 => (argument as u8, 8),
        24..=0xff => (24, 7),
        0x100..=0xffff => (25, 6),
        0x1_0000..=0xffff_ffff => (26, 4),
        _ => (27, 0),
    };
    out.push(major << 5 | info);
    out.extend_from_slice(&bytes[from..]);
}

/// Collects the entries of one map.
#[derive(Default)]
pub(crate) struct MapWriter(Vec<(Value, Value)>);

impl MapWriter {
    pub(crate) fn put(mut self, key: u64, value: impl Into<Value>) -> Self {
        self.0.push((key.into(), value.into()));
        self
    }

    /// Adds nothing for an absent value: absent is never null and never zero.
    pub(crate) fn maybe(self, key: u64, value: Option<impl Into<Value>>) -> Self {
        match value {
            Some(value) => self.put(key, value),
            None => self,
        }
    }

    pub(crate) fn extend<'a>(mut self, entries: impl IntoIterator<Item = (&'a u64, &'a Value)>) -> Self {
        self.0.extend(entries.into_iter().map(|(key, value)| ((*key).into(), value.clone())));
        self
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub(crate) fn finish(self) -> Value {
        Value::Map(self.0)
    }
}

impl From<MapWriter> for Value {
    fn from(map: MapWriter) -> Self {
        map.finish()
    }
}
