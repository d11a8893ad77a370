//! From CBOR values to typed records. Shapes and ranges only; counts are judged in `rules`.

mod method;
mod signer;

use ciborium::Value;

use method::{facets, phase};
use signer::{revocation, rotation, vouch, withdrawal};

use super::reader::{
    self, Context, CriticalKey, Fields, Read, SchemaError, SchemaFault, bytes, code, list, number, text,
};
use super::{
    Arm, Body, Counts, DesignFlags, Head, Parent, Region, Relation, StageCounts, Summary, Taxon, Weeks, kind,
};
use crate::limits;
use crate::month::Month;
use crate::text_rules::{is_doi, is_epithet, is_name};

/// The parts that mean the same in every major: kind and head.
pub(crate) fn peek(value: &Value) -> Read<(u64, Head)> {
    let only_head = match value {
        Value::Map(entries) => entries.iter().filter(|(k, _)| is_head_key(k)).cloned().collect(),
        _ => return Err(SchemaError::at("record", SchemaFault::WrongType("a map"))),
    };
    let mut fields = fields("record", Value::Map(only_head))?;
    let kind = fields.need(0, "kind", number(0, i64::MAX))?;
    Ok((kind, head(&mut fields)?))
}

fn is_head_key(key: &Value) -> bool {
    key.as_integer().is_some_and(|n| (0..=3).contains(&i128::from(n)))
}

fn head(fields: &mut Fields) -> Read<Head> {
    Ok(Head {
        major: fields.need(1, "major", number(0, limits::VERSION_MAX))?,
        minor: fields.need(2, "minor", number(0, limits::VERSION_MAX))?,
        signed: fields.need(3, "signed", month)?,
    })
}

fn fields(map: &'static str, value: Value) -> Read<Fields> {
    Fields::new(map, value).map_err(|fault| SchemaError::at("", fault))
}

fn month(value: Value) -> Result<Month, SchemaFault> {
    number(0, limits::MONTH_MAX)(value).map(Month)
}

/// Reads a body of a major that this version knows; `None` for a kind it does not know. Unknown critical keys
/// are noted and otherwise passed over.
pub(crate) fn body(value: Value, critical: &mut Vec<CriticalKey>) -> Read<Option<Body>> {
    let (number, Head { major, .. }) = peek(&value)?;
    let cx = &mut Context { major, critical };
    Ok(Some(match u8::try_from(number).unwrap_or_default() {
        kind::SUMMARY => Body::Summary(summary(value, cx)?),
        kind::WITHDRAWAL => Body::Withdrawal(withdrawal(value, cx)?),
        kind::ROTATION => Body::Rotation(rotation(value, cx)?),
        kind::REVOCATION => Body::Revocation(revocation(value, cx)?),
        kind::VOUCH => Body::Vouch(vouch(value, cx)?),
        _ => return Ok(None),
    }))
}

fn record(map: &'static str, value: Value) -> Read<(Fields, Head)> {
    let mut fields = fields(map, value)?;
    fields.need(0, "kind", number::<u64>(0, i64::MAX))?;
    let head = head(&mut fields)?;
    Ok((fields, head))
}

fn summary(value: Value, cx: &mut Context) -> Read<Summary> {
    let (mut f, head) = record("summary", value)?;
    Ok(Summary {
        head,
        series: f.need(4, "series", bytes)?,
        revision: f.need(5, "revision", number(0, limits::REVISION_MAX))?,
        taxon: f.need_nested(6, "taxon", |v| taxon(v, cx))?,
        region: f.need_nested(7, "region", |v| region(v, cx))?,
        season: f.need(8, "season", month)?,
        weeks: f.need_nested(9, "weeks", |v| weeks(v, cx))?,
        design: DesignFlags(f.need(10, "design", number(0, design_max(cx)))?),
        stock_plants: f.maybe(11, "stock_plants", number(1, limits::STOCK_PLANTS_MAX))?,
        doi: f.maybe(12, "doi", text(is_doi, "a lower-case DOI"))?,
        grower_mark: f.maybe(13, "grower_mark", bytes)?,
        parent: parent(&mut f, cx)?,
        control: f.newer(cx, 17, "control", number(1, limits::ARMS as i64))?,
        arms: f.need_nested(14, "arms", |v| list(v, 1, limits::ARMS, |v| arm(v, cx)))?,
        extensions: f.open(cx)?,
    })
}

/// Flags that a summary of this major may set.
fn design_max(cx: &Context) -> u16 {
    if cx.is_old() { limits::OLD_DESIGN_MAX } else { limits::DESIGN_MAX }
}

/// The earlier trial and the relation to it: both, or none.
fn parent(f: &mut Fields, cx: &Context) -> Read<Option<Parent>> {
    let series = f.newer(cx, 15, "parent", bytes)?;
    let relation = f.newer(cx, 16, "relation", relation)?;
    match (series, relation) {
        (Some(series), Some(relation)) => Ok(Some(Parent { series, relation })),
        (None, None) => Ok(None),
        (Some(_), None) => Err(SchemaError::at("relation", SchemaFault::Missing)),
        (None, Some(_)) => Err(SchemaError::at("parent", SchemaFault::Missing)),
    }
}

fn relation(value: Value) -> Result<Relation, SchemaFault> {
    let number = number(1, limits::RELATION_MAX)(value)?;
    Ok(Relation::of_number(number).expect("the range was checked"))
}

fn weeks(value: Value, cx: &Context) -> Read<Weeks> {
    let mut f = fields("weeks", value)?;
    let weeks = Weeks {
        lift: f.maybe(1, "lift", number(0, limits::WEEKS_MAX))?,
        season: f.newer(cx, 4, "season_end", number(0, limits::WEEKS_MAX))?,
        spring: f.maybe(2, "spring", number(0, limits::WEEKS_MAX))?,
        last: f.maybe(3, "final", number(0, limits::WEEKS_MAX))?,
    };
    f.close().map(|()| weeks)
}

fn region(value: Value, cx: &mut Context) -> Read<Region> {
    let mut f = fields("region", value)?;
    Ok(Region {
        rule: f.need(0, "rule", code)?,
        koppen: f.maybe(1, "koppen", code)?,
        zone: f.maybe(2, "zone", number(limits::ZONE.0, limits::ZONE.1))?,
        coldest: f.maybe(3, "coldest", number(limits::COLDEST.0, limits::COLDEST.1))?,
        hottest: f.maybe(4, "hottest", number(limits::HOTTEST.0, limits::HOTTEST.1))?,
        rain: f.maybe(5, "rain", number(0, limits::RAIN_MAX))?,
        extensions: f.open(cx)?,
    })
}

fn epithet(value: Value) -> Result<String, SchemaFault> {
    text(is_epithet, "an epithet")(value)
}

fn name(value: Value) -> Result<String, SchemaFault> {
    text(is_name, "a plain name of at most 40 bytes")(value)
}

fn taxon(value: Value, cx: &mut Context) -> Read<Taxon> {
    let mut f = fields("taxon", value)?;
    let mut taxon = Taxon {
        genus: f.need(0, "genus", epithet)?,
        species: f.maybe(1, "species", epithet)?,
        infraspecific: f.maybe(2, "infraspecific", |v| pair(v, number(0, 255), epithet))?,
        group: f.maybe(3, "group", name)?,
        cultivar: f.maybe(4, "cultivar", name)?,
        marks: f.maybe(5, "marks", number(1, limits::TAXON_MARKS_MAX))?.unwrap_or(0),
        other_parent: f.maybe(6, "other_parent", |v| pair(v, epithet, epithet))?,
        has_extensions: false,
    };
    taxon.has_extensions = !f.open(cx)?.is_empty();
    Ok(taxon)
}

fn pair<A, B>(
    value: Value,
    first: impl FnOnce(Value) -> Result<A, SchemaFault>,
    second: impl FnOnce(Value) -> Result<B, SchemaFault>,
) -> Result<(A, B), SchemaFault> {
    let [a, b] = array(value)?;
    Ok((first(a)?, second(b)?))
}

fn array<const N: usize>(value: Value) -> Result<[Value; N], SchemaFault> {
    let items = reader::items(value, N, N)?;
    Ok(items.try_into().expect("the length was checked"))
}

fn arm(value: Value, cx: &mut Context) -> Read<Arm> {
    let mut f = fields("arm", value)?;
    Ok(Arm {
        number: f.need(0, "number", number(1, limits::ARMS as i64))?,
        started: f.need(1, "started", number(1, limits::STARTED_MAX))?,
        facets: f.need_nested(2, "facets", |v| facets(v, cx))?,
        stages: f.maybe_nested(3, "stages", |v| stages(v, cx))?.unwrap_or_default(),
        replicates: f.maybe_nested(4, "replicates", |v| replicates(v, u16::from(cx.is_old())))?,
        start_offset_months: f.maybe(5, "start_offset_months", start_offset)?,
        unlisted_difference: f.maybe(6, "unlisted_difference", number(1, 255))?,
        phases: f
            .maybe_nested(7, "phases", |v| list(v, 1, limits::PHASES, |v| phase(v, cx)))?
            .unwrap_or_default(),
        weeks_to_lift: f.maybe(8, "weeks_to_lift", number(0, limits::WEEKS_MAX))?,
        extensions: f.open(cx)?,
    })
}

fn start_offset(value: Value) -> Result<i8, SchemaFault> {
    number(-limits::START_OFFSET_MAX, limits::START_OFFSET_MAX)(value)
}

fn replicates(value: Value, low: u16) -> Read<Vec<u16>> {
    let count = |v| number(low, limits::STARTED_MAX)(v).map_err(|fault| SchemaError::at("", fault));
    list(value, limits::REPLICATES_MIN, limits::REPLICATES, count)
}

fn stages(value: Value, cx: &mut Context) -> Read<StageCounts> {
    let mut f = fields("stages", value)?;
    let stages = StageCounts {
        lift: f.maybe_nested(1, "lift", |v| counts(v, cx))?,
        season: f.newer_nested(cx, 4, "season_end", counts)?,
        spring: f.maybe_nested(2, "spring", |v| counts(v, cx))?,
        last: f.maybe_nested(3, "final", |v| counts(v, cx))?,
    };
    f.close().map(|()| stages)
}

fn count(value: Value) -> Result<u16, SchemaFault> {
    number(0, limits::STARTED_MAX)(value)
}

fn counts(value: Value, cx: &mut Context) -> Read<Counts> {
    let mut f = fields("counts", value)?;
    Ok(Counts {
        alive: f.maybe(1, "alive", count)?,
        callused: f.maybe(2, "callused", count)?,
        rooted: f.maybe(3, "rooted", count)?,
        established: f.maybe(4, "established", count)?,
        finished: f.maybe(5, "final", count)?,
        dead: f.maybe(6, "dead", count)?,
        lost: f.maybe(7, "lost", count)?,
        replicates: f.maybe_nested(8, "replicates", |v| replicates(v, 0))?,
        left_as_finished: f.maybe(9, "left_as_finished", count)?,
        ever_rooted: f.newer(cx, 10, "ever_rooted", count)?,
        lost_by_replicate: f.newer_nested(cx, 11, "lost_by_replicate", |v, _| replicates(v, 0))?,
        extensions: f.open(cx)?,
    })
}
