//! The kinds of record that speak of series and keys rather than of trials.

use ciborium::Value;

use super::{month, record};
use crate::id::AuthorKey;
use crate::record::reader::{Context, Read, SchemaFault, bytes, code, number};
use crate::record::{Revocation, Rotation, Vouch, Withdrawal};

pub(super) fn withdrawal(value: Value, cx: &mut Context) -> Read<Withdrawal> {
    let (mut f, head) = record("withdrawal", value)?;
    Ok(Withdrawal {
        head,
        series: f.need(4, "series", bytes)?,
        reason: f.need(5, "reason", code)?,
        extensions: f.open(cx)?,
    })
}

fn key(value: Value) -> Result<AuthorKey, SchemaFault> {
    bytes(value).map(AuthorKey)
}

pub(super) fn rotation(value: Value, cx: &mut Context) -> Read<Rotation> {
    let (mut f, head) = record("rotation", value)?;
    Ok(Rotation {
        head,
        new_key: f.need(4, "new_key", key)?,
        proof: f.need(5, "proof", bytes)?,
        extensions: f.open(cx)?,
    })
}

pub(super) fn revocation(value: Value, cx: &mut Context) -> Read<Revocation> {
    let (mut f, head) = record("revocation", value)?;
    Ok(Revocation { head, from: f.maybe(4, "from", month)?, extensions: f.open(cx)? })
}

pub(super) fn vouch(value: Value, cx: &mut Context) -> Read<Vouch> {
    let (mut f, head) = record("vouch", value)?;
    Ok(Vouch {
        head,
        subject: f.need(4, "subject", key)?,
        sequence: f.need(5, "sequence", number(0, 255))?,
        vouches: f.need(6, "vouches", number::<u8>(0, 1))? == 1,
        extensions: f.open(cx)?,
    })
}
