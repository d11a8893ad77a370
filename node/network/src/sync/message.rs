//! Questions and answers of the exchange protocol, as strict CBOR arrays that begin with a number.

use ciborium::Value;
use propagule_protocol::Month;
use propagule_protocol::limits::RECORD_BYTES;
use propagule_protocol::{AuthorKey, NetworkId, RecordId, cbor};

use super::AuthorHead;
use crate::admission::AuthorRange;
use crate::limits;
use crate::months::MonthRow;
use crate::spread::Offence;

/// Version of the exchange protocol spoken here.
const VERSION: u8 = 1;
/// Version from which on a scope follows; a node of the first one reads no further than what it knows.
const SCOPED: u8 = 2;
/// What nodes of the first version are told of every stem: once it said which records were their author's own. Nobody
/// reads it any more.
const MUST_PASS: bool = true;

/// What one node asks another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Question {
    /// Count and fingerprint of every month, if the network is the same.
    Months(NetworkId),
    /// The same of the authors in the range that the asking home keeps.
    MonthsWithin(NetworkId, AuthorRange),
    /// One step of reconciling the ids of a month.
    Reconcile(Month, Vec<u8>),
    /// One step of reconciling what a month holds of a range.
    ReconcileWithin(Month, Vec<u8>, AuthorRange),
    /// How much there is of each of these authors.
    Heads(Vec<AuthorKey>),
    /// Ids of one author, behind the one given.
    OfAuthor(AuthorKey, Option<RecordId>),
    /// The bytes of these records.
    Fetch(Vec<RecordId>),
    /// Take over the record of these bytes, which nobody else is to learn of yet.
    Stem(Vec<u8>),
    /// Addresses of other nodes.
    Peers,
}

/// What comes back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reply {
    /// Rows, oldest month first.
    Months(Vec<MonthRow>),
    /// The same of the authors that both homes keep, and the range that this one keeps.
    MonthsWithin(Vec<MonthRow>, AuthorRange),
    /// How much there is of each author, in the order asked.
    Heads(Vec<AuthorHead>),
    /// Ids of one author, rising.
    OfAuthor(Vec<RecordId>),
    /// The next step.
    Reconcile(Vec<u8>),
    /// Records, as many as fit.
    Records(Vec<Vec<u8>>),
    /// The record was taken over.
    Taken,
    /// Addresses, each with the peer's id at its end.
    Peers(Vec<String>),
    /// The question was understood and is not answered.
    Declined(Decline),
}

/// Why a question is not answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Decline {
    /// The peer belongs to another network.
    OtherNetwork,
    /// The question breaks a limit.
    OverLimit,
    /// The answering node has too much to do, or its store failed.
    Busy,
    /// The peer has used up what it may have; it may ask again after so many seconds. Nodes of the first version do not
    /// know this answer, and take it for none.
    OverBudget(u32),
}

/// How a message on a stream was broken. The network library tells nobody when reading fails, so this is read in
/// place of a message.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Broken {
    /// The bytes are no message.
    Garbled,
    /// It says that it is longer than any message.
    TooLong,
    /// The stream ended in the middle.
    Cut,
}

impl Broken {
    /// What the peer that sent it is charged with.
    pub fn offence(self) -> Offence {
        match self {
            Self::Garbled | Self::TooLong => Offence::Garbled,
            Self::Cut => Offence::CutShort,
        }
    }
}

/// Bytes from a peer that are not a message of this protocol.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("not a message of the exchange protocol")]
pub struct NotAMessage;

impl Question {
    /// How many bytes it takes on the wire, but for a few.
    pub fn bytes(&self) -> usize {
        match self {
            Self::Months(network) | Self::MonthsWithin(network, _) => network.0.len(),
            Self::Reconcile(_, frame) | Self::ReconcileWithin(_, frame, _) => frame.len(),
            Self::Heads(keys) => keys.len() * (size_of::<AuthorKey>() + 2),
            Self::OfAuthor(_, after) => size_of::<AuthorKey>() + after.map_or(0, |id| id.0.len()),
            Self::Fetch(ids) => ids.len() * (size_of::<RecordId>() + 2),
            Self::Stem(record) => record.len(),
            Self::Peers => 0,
        }
    }

    /// Whether a reply is of the kind that this question asks for, or says that there is none.
    pub fn is_answered_by(&self, reply: &Reply) -> bool {
        matches!(
            (self, reply),
            (_, Reply::Declined(_))
                | (Self::Months(_), Reply::Months(_))
                // A node of the first version says nothing of ranges.
                | (Self::MonthsWithin(..), Reply::MonthsWithin(..) | Reply::Months(_))
                | (Self::Reconcile(..) | Self::ReconcileWithin(..), Reply::Reconcile(_))
                | (Self::Heads(_), Reply::Heads(_))
                | (Self::OfAuthor(..), Reply::OfAuthor(_))
                | (Self::Fetch(_), Reply::Records(_))
                | (Self::Stem(_), Reply::Taken)
                | (Self::Peers, Reply::Peers(_))
        )
    }

    /// The message's bytes.
    pub fn encode(&self) -> Vec<u8> {
        let parts = match self {
            Self::Months(network) => vec![number(0_u8), number(VERSION), bytes(&network.0)],
            Self::MonthsWithin(network, range) => {
                vec![number(0_u8), number(SCOPED), bytes(&network.0), scope(*range)]
            }
            Self::Reconcile(month, frame) => vec![number(1_u8), number(month.0), bytes(frame)],
            Self::ReconcileWithin(month, frame, range) => {
                vec![number(1_u8), number(month.0), bytes(frame), scope(*range)]
            }
            Self::Heads(keys) => {
                vec![number(6_u8), Value::Array(keys.iter().map(|key| bytes(&key.0)).collect())]
            }
            Self::OfAuthor(key, after) => {
                vec![number(7_u8), bytes(&key.0), bytes(after.as_ref().map_or(&[][..], |id| &id.0))]
            }
            Self::Fetch(ids) => vec![number(2_u8), Value::Array(ids.iter().map(|id| bytes(&id.0)).collect())],
            Self::Stem(record) => vec![number(3_u8), number(MUST_PASS), bytes(record)],
            Self::Peers => vec![number(4_u8)],
        };
        encoded(&Value::Array(parts))
    }

    /// Reads a message from a peer.
    ///
    /// # Errors
    /// Anything that is not strictly encoded, or not a question.
    pub fn decode(message: &[u8]) -> Result<Self, NotAMessage> {
        let mut parts = open(message)?;
        match parts.next_number()? {
            0 => {
                let _version = parts.next_number()?;
                let network = NetworkId(parts.next_bytes()?.try_into().map_err(|_| NotAMessage)?);
                Ok(match parts.next_scope()? {
                    Some(range) => Self::MonthsWithin(network, range),
                    None => Self::Months(network),
                })
            }
            1 => {
                let (month, frame) = (parts.next_month()?, parts.next_bytes()?);
                Ok(match parts.next_scope()? {
                    Some(range) => Self::ReconcileWithin(month, frame, range),
                    None => Self::Reconcile(month, frame),
                })
            }
            6 => {
                let keys = parts.next_array()?;
                if keys.len() > limits::HEADS {
                    return Err(NotAMessage);
                }
                let read = keys.into_iter().map(|key| AuthorKey::from_bytes(&key.into_bytes().ok()?));
                read.collect::<Option<_>>().map(Self::Heads).ok_or(NotAMessage)
            }
            7 => {
                let key = AuthorKey::from_bytes(&parts.next_bytes()?).ok_or(NotAMessage)?;
                let after = parts.next_bytes()?;
                let after = if after.is_empty() {
                    None
                } else {
                    Some(RecordId::from_bytes(&after).ok_or(NotAMessage)?)
                };
                Ok(Self::OfAuthor(key, after))
            }
            2 => {
                let ids = parts.next_array()?;
                if ids.len() > limits::FETCH_IDS {
                    return Err(NotAMessage);
                }
                let read = ids.into_iter().map(|id| id.into_bytes().ok()?.try_into().ok().map(RecordId));
                read.collect::<Option<_>>().map(Self::Fetch).ok_or(NotAMessage)
            }
            3 => {
                let _must_pass = parts.next_flag()?;
                let record = parts.next_bytes()?;
                if record.len() > RECORD_BYTES { Err(NotAMessage) } else { Ok(Self::Stem(record)) }
            }
            4 => Ok(Self::Peers),
            _ => Err(NotAMessage),
        }
    }
}

impl Reply {
    /// How many bytes it takes on the wire, but for a few.
    pub fn bytes(&self) -> usize {
        /// Two numbers, their heads and a fingerprint.
        const ROW: usize = 1 + 3 + 5 + 17;
        match self {
            Self::Months(rows) | Self::MonthsWithin(rows, _) => rows.len() * ROW,
            Self::Heads(heads) => heads.len() * (size_of::<AuthorHead>() + 2),
            Self::OfAuthor(ids) => ids.len() * (size_of::<RecordId>() + 2),
            Self::Reconcile(frame) => frame.len(),
            Self::Records(records) => records.iter().map(|record| record.len() + 3).sum(),
            Self::Peers(addresses) => addresses.iter().map(|address| address.len() + 3).sum(),
            Self::Taken | Self::Declined(_) => 0,
        }
    }

    /// The message's bytes.
    pub fn encode(&self) -> Vec<u8> {
        let parts = match self {
            Self::Months(rows) => vec![number(0_u8), Value::Array(rows.iter().map(encode_row).collect())],
            Self::MonthsWithin(rows, range) => {
                vec![number(0_u8), Value::Array(rows.iter().map(encode_row).collect()), scope(*range)]
            }
            Self::Heads(heads) => vec![number(6_u8), Value::Array(heads.iter().map(encode_head).collect())],
            Self::OfAuthor(ids) => {
                vec![number(7_u8), Value::Array(ids.iter().map(|id| bytes(&id.0)).collect())]
            }
            Self::Reconcile(frame) => vec![number(1_u8), bytes(frame)],
            Self::Records(records) => {
                vec![number(2_u8), Value::Array(records.iter().map(|record| bytes(record)).collect())]
            }
            Self::Taken => vec![number(3_u8)],
            Self::Peers(addresses) => {
                let all = addresses.iter().map(|address| bytes(address.as_bytes())).collect();
                vec![number(4_u8), Value::Array(all)]
            }
            Self::Declined(Decline::OverBudget(seconds)) => {
                vec![number(9_u8), number(OVER_BUDGET), number(*seconds)]
            }
            Self::Declined(why) => vec![number(9_u8), number(why.code())],
        };
        encoded(&Value::Array(parts))
    }

    /// Reads a message from a peer.
    ///
    /// # Errors
    /// Anything that is not strictly encoded, or not a reply.
    pub fn decode(message: &[u8]) -> Result<Self, NotAMessage> {
        let mut parts = open(message)?;
        match parts.next_number()? {
            0 => {
                let rows = parts.next_array()?.into_iter().map(decode_row).collect::<Result<_, _>>()?;
                Ok(match parts.next_scope()? {
                    Some(range) => Self::MonthsWithin(rows, range),
                    None => Self::Months(rows),
                })
            }
            6 => parts.next_array()?.into_iter().map(decode_head).collect::<Result<_, _>>().map(Self::Heads),
            7 => {
                let ids =
                    parts.next_array()?.into_iter().map(|id| RecordId::from_bytes(&id.into_bytes().ok()?));
                ids.collect::<Option<_>>().map(Self::OfAuthor).ok_or(NotAMessage)
            }
            1 => parts.next_bytes().map(Self::Reconcile),
            2 => {
                let records = parts.next_array()?.into_iter().map(Value::into_bytes);
                records.collect::<Result<_, _>>().map(Self::Records).map_err(|_| NotAMessage)
            }
            3 => Ok(Self::Taken),
            4 => parts.next_addresses().map(Self::Peers),
            9 => match parts.next_number()? {
                code if code == u64::from(OVER_BUDGET) => {
                    let seconds = u32::try_from(parts.next_number()?).map_err(|_| NotAMessage)?;
                    Ok(Self::Declined(Decline::OverBudget(seconds)))
                }
                code => Decline::from_code(code).map(Self::Declined).ok_or(NotAMessage),
            },
            _ => Err(NotAMessage),
        }
    }
}

/// Code of [`Decline::OverBudget`], the only one with a number behind it.
const OVER_BUDGET: u8 = 3;

impl Decline {
    /// Those without a number.
    const ALL: [Self; 3] = [Self::OtherNetwork, Self::OverLimit, Self::Busy];

    fn code(self) -> u8 {
        match self {
            Self::OtherNetwork => 0,
            Self::OverLimit => 1,
            Self::Busy => 2,
            Self::OverBudget(_) => OVER_BUDGET,
        }
    }

    fn from_code(code: u64) -> Option<Self> {
        Self::ALL.into_iter().find(|why| u64::from(why.code()) == code)
    }
}

fn encode_row(row: &MonthRow) -> Value {
    Value::Array(vec![number(row.month.0), number(row.count), bytes(&row.fingerprint)])
}

fn decode_row(row: Value) -> Result<MonthRow, NotAMessage> {
    let mut parts = Parts(row.into_array().map_err(|_| NotAMessage)?.into_iter());
    Ok(MonthRow {
        month: parts.next_month()?,
        count: u32::try_from(parts.next_number()?).map_err(|_| NotAMessage)?,
        fingerprint: parts.next_bytes()?.try_into().map_err(|_| NotAMessage)?,
    })
}

/// What a home keeps, as it is told: all cells, one range of authors, nobody left out.
fn scope(range: AuthorRange) -> Value {
    let pair = Value::Array(vec![number(range.bits()), number(range.prefix())]);
    Value::Array(vec![number(0_u8), Value::Array(vec![pair]), Value::Array(Vec::new())])
}

fn encode_head(head: &AuthorHead) -> Value {
    Value::Array(vec![number(head.count), bytes(&head.fingerprint)])
}

fn decode_head(head: Value) -> Result<AuthorHead, NotAMessage> {
    let mut parts = Parts(head.into_array().map_err(|_| NotAMessage)?.into_iter());
    Ok(AuthorHead {
        count: u32::try_from(parts.next_number()?).map_err(|_| NotAMessage)?,
        fingerprint: parts.next_bytes()?.try_into().map_err(|_| NotAMessage)?,
    })
}

fn encoded(value: &Value) -> Vec<u8> {
    cbor::to_bytes(value).expect("numbers, bytes and arrays are within the profile")
}

fn number(value: impl Into<u64>) -> Value {
    Value::from(value.into())
}

fn bytes(value: &[u8]) -> Value {
    Value::Bytes(value.to_vec())
}

fn open(message: &[u8]) -> Result<Parts, NotAMessage> {
    cbor::scan(message).map_err(|_| NotAMessage)?;
    let value: Value = ciborium::from_reader(message).map_err(|_| NotAMessage)?;
    Ok(Parts(value.into_array().map_err(|_| NotAMessage)?.into_iter()))
}

struct Parts(std::vec::IntoIter<Value>);

impl Parts {
    fn next_number(&mut self) -> Result<u64, NotAMessage> {
        let value = self.0.next().and_then(|value| value.into_integer().ok()).ok_or(NotAMessage)?;
        u64::try_from(value).map_err(|_| NotAMessage)
    }

    fn next_flag(&mut self) -> Result<bool, NotAMessage> {
        match self.next_number()? {
            0 => Ok(false),
            1 => Ok(true),
            _ => Err(NotAMessage),
        }
    }

    fn next_addresses(&mut self) -> Result<Vec<String>, NotAMessage> {
        let all = self.next_array()?;
        if all.len() > limits::TOLD_ADDRESSES {
            return Err(NotAMessage);
        }
        let text = |value: Value| {
            let bytes = value.into_bytes().ok().filter(|bytes| bytes.len() <= limits::ADDRESS_BYTES)?;
            String::from_utf8(bytes).ok()
        };
        all.into_iter().map(text).collect::<Option<_>>().ok_or(NotAMessage)
    }

    /// A scope, where one follows. Only such as this version makes are understood: all cells, one range, nobody left out.
    fn next_scope(&mut self) -> Result<Option<AuthorRange>, NotAMessage> {
        let Some(value) = self.0.next() else { return Ok(None) };
        let mut parts = Self(value.into_array().map_err(|_| NotAMessage)?.into_iter());
        let (cells, mut ranges) = (parts.next_number()?, parts.next_array()?.into_iter());
        let over = parts.next_array()?;
        let (Some(Value::Array(pair)), None) = (ranges.next(), ranges.next()) else {
            return Err(NotAMessage);
        };
        let mut pair = Self(pair.into_iter());
        let (bits, prefix) = (pair.next_number()?, pair.next_number()?);
        let range = u8::try_from(bits).ok().zip(u16::try_from(prefix).ok());
        let range = range.and_then(|(bits, prefix)| AuthorRange::new(bits, prefix)).ok_or(NotAMessage)?;
        if cells == 0 && over.is_empty() { Ok(Some(range)) } else { Err(NotAMessage) }
    }

    fn next_month(&mut self) -> Result<Month, NotAMessage> {
        let number = u16::try_from(self.next_number()?).map_err(|_| NotAMessage)?;
        if number < limits::MONTHS { Ok(Month(number)) } else { Err(NotAMessage) }
    }

    fn next_bytes(&mut self) -> Result<Vec<u8>, NotAMessage> {
        self.0.next().and_then(|value| value.into_bytes().ok()).ok_or(NotAMessage)
    }

    fn next_array(&mut self) -> Result<Vec<Value>, NotAMessage> {
        self.0.next().and_then(|value| value.into_array().ok()).ok_or(NotAMessage)
    }
}

#[cfg(test)]
#[path = "message_tests.rs"]
mod tests;
