//! From CBOR values to typed records. Shapes and ranges only; counts are judged in `rules`.

use ciborium::Value;

use super::reader::{self, CriticalKey, Fields, SchemaError, SchemaFault, bytes, code, list, number, text};
use super::text::{is_doi, is_epithet, is_name};
use super::{
    Arm, Auxin, Body, Code, Counts, DesignFlags, Facets, Head, Phase, Region, Revocation, Rotation,
    StageCounts, Summary, Taxon, Vouch, Weeks, Withdrawal, kind,
};
use crate::id::AuthorKey;
use crate::limits;
use crate::month::Month;

type Read<T> = Result<T, SchemaError>;

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

/// Reads a body of the schema's major; `None` for a kind this version does not know. Unknown critical
/// keys are noted and otherwise passed over.
pub(crate) fn body(value: Value, critical: &mut Vec<CriticalKey>) -> Read<Option<Body>> {
    let (number, _) = peek(&value)?;
    Ok(Some(match u8::try_from(number).unwrap_or_default() {
        kind::SUMMARY => Body::Summary(summary(value, critical)?),
        kind::WITHDRAWAL => Body::Withdrawal(withdrawal(value, critical)?),
        kind::ROTATION => Body::Rotation(rotation(value, critical)?),
        kind::REVOCATION => Body::Revocation(revocation(value, critical)?),
        kind::VOUCH => Body::Vouch(vouch(value, critical)?),
        _ => return Ok(None),
    }))
}

fn record(map: &'static str, value: Value) -> Read<(Fields, Head)> {
    let mut fields = fields(map, value)?;
    fields.need(0, "kind", number::<u64>(0, i64::MAX))?;
    let head = head(&mut fields)?;
    Ok((fields, head))
}

fn summary(value: Value, critical: &mut Vec<CriticalKey>) -> Read<Summary> {
    let (mut f, head) = record("summary", value)?;
    Ok(Summary {
        head,
        series: f.need(4, "series", bytes)?,
        revision: f.need(5, "revision", number(0, limits::REVISION_MAX))?,
        taxon: f.need_nested(6, "taxon", |v| taxon(v, critical))?,
        region: f.need_nested(7, "region", |v| region(v, critical))?,
        season: f.need(8, "season", month)?,
        weeks: f.need_nested(9, "weeks", weeks)?,
        design: DesignFlags(f.need(10, "design", number(0, limits::DESIGN_MAX))?),
        stock_plants: f.maybe(11, "stock_plants", number(1, limits::STOCK_PLANTS_MAX))?,
        doi: f.maybe(12, "doi", text(is_doi, "a lower-case DOI"))?,
        grower_mark: f.maybe(13, "grower_mark", bytes)?,
        arms: f.need_nested(14, "arms", |v| list(v, 1, limits::ARMS, |v| arm(v, critical)))?,
        extensions: f.open(critical)?,
    })
}

fn weeks(value: Value) -> Read<Weeks> {
    let mut f = fields("weeks", value)?;
    let weeks = Weeks {
        lift: f.maybe(1, "lift", number(0, limits::WEEKS_MAX))?,
        spring: f.maybe(2, "spring", number(0, limits::WEEKS_MAX))?,
        last: f.maybe(3, "final", number(0, limits::WEEKS_MAX))?,
    };
    f.close().map(|()| weeks)
}

fn region(value: Value, critical: &mut Vec<CriticalKey>) -> Read<Region> {
    let mut f = fields("region", value)?;
    Ok(Region {
        rule: f.need(0, "rule", code)?,
        koppen: f.maybe(1, "koppen", code)?,
        zone: f.maybe(2, "zone", number(limits::ZONE.0, limits::ZONE.1))?,
        coldest: f.maybe(3, "coldest", number(limits::COLDEST.0, limits::COLDEST.1))?,
        hottest: f.maybe(4, "hottest", number(limits::HOTTEST.0, limits::HOTTEST.1))?,
        rain: f.maybe(5, "rain", number(0, limits::RAIN_MAX))?,
        extensions: f.open(critical)?,
    })
}

fn epithet(value: Value) -> Result<String, SchemaFault> {
    text(is_epithet, "an epithet")(value)
}

fn name(value: Value) -> Result<String, SchemaFault> {
    text(is_name, "a plain name of at most 40 bytes")(value)
}

fn taxon(value: Value, critical: &mut Vec<CriticalKey>) -> Read<Taxon> {
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
    taxon.has_extensions = !f.open(critical)?.is_empty();
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

fn arm(value: Value, critical: &mut Vec<CriticalKey>) -> Read<Arm> {
    let mut f = fields("arm", value)?;
    Ok(Arm {
        number: f.need(0, "number", number(1, limits::ARMS as i64))?,
        started: f.need(1, "started", number(1, limits::STARTED_MAX))?,
        facets: f.need_nested(2, "facets", |v| facets(v, critical))?,
        stages: f.maybe_nested(3, "stages", |v| stages(v, critical))?.unwrap_or_default(),
        replicates: f.maybe_nested(4, "replicates", |v| replicates(v, 1))?,
        start_offset_months: f.maybe(5, "start_offset_months", start_offset)?,
        unlisted_difference: f.maybe(6, "unlisted_difference", number(1, 255))?,
        phases: f
            .maybe_nested(7, "phases", |v| list(v, 1, limits::PHASES, |v| phase(v, critical)))?
            .unwrap_or_default(),
        weeks_to_lift: f.maybe(8, "weeks_to_lift", number(0, limits::WEEKS_MAX))?,
        extensions: f.open(critical)?,
    })
}

fn start_offset(value: Value) -> Result<i8, SchemaFault> {
    number(-limits::START_OFFSET_MAX, limits::START_OFFSET_MAX)(value)
}

fn replicates(value: Value, low: u16) -> Read<Vec<u16>> {
    let count = |v| number(low, limits::STARTED_MAX)(v).map_err(|fault| SchemaError::at("", fault));
    list(value, limits::REPLICATES_MIN, limits::REPLICATES, count)
}

fn stages(value: Value, critical: &mut Vec<CriticalKey>) -> Read<StageCounts> {
    let mut f = fields("stages", value)?;
    let stages = StageCounts {
        lift: f.maybe_nested(1, "lift", |v| counts(v, critical))?,
        spring: f.maybe_nested(2, "spring", |v| counts(v, critical))?,
        last: f.maybe_nested(3, "final", |v| counts(v, critical))?,
    };
    f.close().map(|()| stages)
}

fn count(value: Value) -> Result<u16, SchemaFault> {
    number(0, limits::STARTED_MAX)(value)
}

fn counts(value: Value, critical: &mut Vec<CriticalKey>) -> Read<Counts> {
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
        extensions: f.open(critical)?,
    })
}

fn phase(value: Value, critical: &mut Vec<CriticalKey>) -> Read<Phase> {
    let mut f = fields("phase", value)?;
    let phase = Phase {
        after_weeks: f.need(0, "after_weeks", number(1, limits::WEEKS_MAX))?,
        facets: f.need_nested(1, "facets", |v| facets(v, critical))?,
    };
    f.close().map(|()| phase)
}

fn facets(value: Value, critical: &mut Vec<CriticalKey>) -> Read<Facets> {
    let mut f = fields("facets", value)?;
    Ok(Facets {
        kind: f.need(0, "kind", code)?,
        wood: f.maybe(1, "wood", code)?,
        form: f.maybe(2, "form", code)?,
        medium: f.maybe_nested(3, "medium", |v| list(v, 1, limits::MEDIUM_COMPONENTS, component))?,
        auxin: f.maybe_nested(4, "auxin", |v| list(v, 1, limits::AUXINS, auxin))?,
        solvent: f.maybe(5, "solvent", code)?,
        wound: f.maybe(6, "wound", code)?,
        leaves: f.maybe(7, "leaves", code)?,
        humidity: f.maybe(8, "humidity", code)?,
        bottom_heat: f.maybe(9, "bottom_heat", number(limits::BOTTOM_HEAT.0, limits::BOTTOM_HEAT.1))?,
        container: f.maybe(10, "container", code)?,
        growing_place: f.maybe(11, "growing_place", code)?,
        rootstock: f.maybe_nested(12, "rootstock", |v| taxon(v, critical))?,
        stratification: f.maybe(13, "stratification", stratification)?,
        bbch: f.maybe(14, "bbch", number(0, limits::BBCH_MAX))?,
        stock_origin: f.maybe(15, "stock_origin", code)?,
        stock_age: f.maybe(16, "stock_age", code)?,
        watering: f.maybe(17, "watering", code)?,
        tip_nodes_removed: f.maybe(18, "tip_nodes_removed", number(0, limits::TIP_NODES_MAX))?,
        flower_buds: f.maybe(19, "flower_buds", code)?,
        light: f.maybe(20, "light", code)?,
        cultivar: f.maybe(21, "cultivar", name)?,
        extensions: f.open(critical)?,
    })
}

fn component(value: Value) -> Read<(Code, u8)> {
    pair(value, code, number(0, 100)).map_err(|fault| SchemaError::at("", fault))
}

fn stratification(value: Value) -> Result<(u8, u8), SchemaFault> {
    pair(value, number(0, limits::STRATIFICATION_MAX), number(0, limits::STRATIFICATION_MAX))
}

fn auxin(value: Value) -> Read<Auxin> {
    let read = |value| {
        let [substance, form, dose] = array(value)?;
        let dose = if dose == Value::Null { None } else { Some(number(0, limits::DOSE_MAX)(dose)?) };
        Ok(Auxin { substance: code(substance)?, form: code(form)?, dose })
    };
    read(value).map_err(|fault| SchemaError::at("", fault))
}

fn withdrawal(value: Value, critical: &mut Vec<CriticalKey>) -> Read<Withdrawal> {
    let (mut f, head) = record("withdrawal", value)?;
    Ok(Withdrawal {
        head,
        series: f.need(4, "series", bytes)?,
        reason: f.need(5, "reason", code)?,
        extensions: f.open(critical)?,
    })
}

fn key(value: Value) -> Result<AuthorKey, SchemaFault> {
    bytes(value).map(AuthorKey)
}

fn rotation(value: Value, critical: &mut Vec<CriticalKey>) -> Read<Rotation> {
    let (mut f, head) = record("rotation", value)?;
    Ok(Rotation {
        head,
        new_key: f.need(4, "new_key", key)?,
        proof: f.need(5, "proof", bytes)?,
        extensions: f.open(critical)?,
    })
}

fn revocation(value: Value, critical: &mut Vec<CriticalKey>) -> Read<Revocation> {
    let (mut f, head) = record("revocation", value)?;
    Ok(Revocation { head, from: f.maybe(4, "from", month)?, extensions: f.open(critical)? })
}

fn vouch(value: Value, critical: &mut Vec<CriticalKey>) -> Read<Vouch> {
    let (mut f, head) = record("vouch", value)?;
    Ok(Vouch {
        head,
        subject: f.need(4, "subject", key)?,
        sequence: f.need(5, "sequence", number(0, 255))?,
        vouches: f.need(6, "vouches", number::<u8>(0, 1))? == 1,
        extensions: f.open(critical)?,
    })
}
