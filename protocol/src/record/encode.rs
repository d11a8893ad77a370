//! From typed records to CBOR values.

use ciborium::Value;

use super::{
    Arm, Auxin, Body, Code, Counts, Facets, Head, Phase, Region, Revocation, Rotation, StageCounts, Summary,
    Taxon, Vouch, Weeks, Withdrawal, kind,
};
use crate::cbor::MapWriter;

impl From<Code> for Value {
    fn from(code: Code) -> Self {
        code.0.into()
    }
}

/// The value of a body, ready for the deterministic writer.
pub(crate) fn body(body: &Body) -> Value {
    match body {
        Body::Summary(body) => summary(body),
        Body::Withdrawal(body) => withdrawal(body),
        Body::Rotation(body) => rotation(body),
        Body::Revocation(body) => revocation(body),
        Body::Vouch(body) => vouch(body),
    }
    .finish()
}

fn head(kind: u8, head: Head) -> MapWriter {
    MapWriter::default().put(0, kind).put(1, head.major).put(2, head.minor).put(3, head.signed.0)
}

fn bytes(bytes: &[u8]) -> Value {
    Value::Bytes(bytes.to_vec())
}

fn text(text: &str) -> Value {
    Value::Text(text.to_owned())
}

fn numbers(numbers: &[u16]) -> Value {
    Value::Array(numbers.iter().map(|n| (*n).into()).collect())
}

fn summary(body: &Summary) -> MapWriter {
    head(kind::SUMMARY, body.head)
        .put(4, bytes(&body.series))
        .put(5, body.revision)
        .put(6, taxon(&body.taxon))
        .put(7, region(&body.region))
        .put(8, body.season.0)
        .put(9, weeks(&body.weeks))
        .put(10, body.design.0)
        .maybe(11, body.stock_plants)
        .maybe(12, body.doi.as_deref())
        .maybe(13, body.grower_mark.map(|mark| bytes(&mark)))
        .put(14, Value::Array(body.arms.iter().map(|a| arm(a).finish()).collect()))
        .maybe(15, body.parent.map(|parent| bytes(&parent.series)))
        .maybe(16, body.parent.map(|parent| parent.relation.number()))
        .maybe(17, body.control)
        .extend(&body.extensions)
}

fn weeks(weeks: &Weeks) -> MapWriter {
    MapWriter::default()
        .maybe(1, weeks.lift)
        .maybe(2, weeks.spring)
        .maybe(3, weeks.last)
        .maybe(4, weeks.season)
}

fn region(region: &Region) -> MapWriter {
    MapWriter::default()
        .put(0, region.rule)
        .maybe(1, region.koppen)
        .maybe(2, region.zone)
        .maybe(3, region.coldest)
        .maybe(4, region.hottest)
        .maybe(5, region.rain)
        .extend(&region.extensions)
}

fn taxon(taxon: &Taxon) -> MapWriter {
    let pair = |a: Value, b: &str| Value::Array(vec![a, text(b)]);
    MapWriter::default()
        .put(0, taxon.genus.as_str())
        .maybe(1, taxon.species.as_deref())
        .maybe(2, taxon.infraspecific.as_ref().map(|(rank, epithet)| pair((*rank).into(), epithet)))
        .maybe(3, taxon.group.as_deref())
        .maybe(4, taxon.cultivar.as_deref())
        .maybe(5, Some(taxon.marks).filter(|marks| *marks != 0))
        .maybe(6, taxon.other_parent.as_ref().map(|(genus, species)| pair(text(genus), species)))
}

fn arm(arm: &Arm) -> MapWriter {
    let phases = arm.phases.iter().map(|p| phase(p).finish()).collect::<Vec<_>>();
    MapWriter::default()
        .put(0, arm.number)
        .put(1, arm.started)
        .put(2, facets(&arm.facets))
        .maybe(3, Some(stages(&arm.stages)).filter(|stages| !stages.is_empty()))
        .maybe(4, arm.replicates.as_deref().map(numbers))
        .maybe(5, arm.start_offset_months)
        .maybe(6, arm.unlisted_difference)
        .maybe(7, Some(phases).filter(|phases| !phases.is_empty()))
        .maybe(8, arm.weeks_to_lift)
        .extend(&arm.extensions)
}

fn stages(stages: &StageCounts) -> MapWriter {
    MapWriter::default()
        .maybe(1, stages.lift.as_ref().map(counts))
        .maybe(2, stages.spring.as_ref().map(counts))
        .maybe(3, stages.last.as_ref().map(counts))
        .maybe(4, stages.season.as_ref().map(counts))
}

fn counts(counts: &Counts) -> MapWriter {
    MapWriter::default()
        .maybe(1, counts.alive)
        .maybe(2, counts.callused)
        .maybe(3, counts.rooted)
        .maybe(4, counts.established)
        .maybe(5, counts.finished)
        .maybe(6, counts.dead)
        .maybe(7, counts.lost)
        .maybe(8, counts.replicates.as_deref().map(numbers))
        .maybe(9, counts.left_as_finished)
        .maybe(10, counts.ever_rooted)
        .maybe(11, counts.lost_by_replicate.as_deref().map(numbers))
        .extend(&counts.extensions)
}

fn phase(phase: &Phase) -> MapWriter {
    MapWriter::default().put(0, phase.after_weeks).put(1, facets(&phase.facets))
}

fn facets(facets: &Facets) -> MapWriter {
    MapWriter::default()
        .put(0, facets.kind)
        .maybe(1, facets.wood)
        .maybe(2, facets.form)
        .maybe(3, facets.medium.as_deref().map(medium))
        .maybe(4, facets.auxin.as_deref().map(auxins))
        .maybe(5, facets.solvent)
        .maybe(6, facets.wound)
        .maybe(7, facets.leaves)
        .maybe(8, facets.humidity)
        .maybe(9, facets.bottom_heat)
        .maybe(10, facets.container)
        .maybe(11, facets.growing_place)
        .maybe(12, facets.rootstock.as_ref().map(taxon))
        .maybe(13, facets.stratification.map(|(warm, cold)| Value::Array(vec![warm.into(), cold.into()])))
        .maybe(14, facets.bbch)
        .maybe(15, facets.stock_origin)
        .maybe(16, facets.stock_age)
        .maybe(17, facets.watering)
        .maybe(18, facets.tip_nodes_removed)
        .maybe(19, facets.flower_buds)
        .maybe(20, facets.light)
        .maybe(21, facets.cultivar.as_deref())
        .maybe(22, facets.bottom_heat_state)
        .maybe(23, facets.scarified)
        .extend(&facets.extensions)
}

fn medium(components: &[(Code, u8)]) -> Value {
    let component = |(code, share): &(Code, u8)| Value::Array(vec![(*code).into(), (*share).into()]);
    Value::Array(components.iter().map(component).collect())
}

fn auxins(auxins: &[Auxin]) -> Value {
    let dose = |dose: Option<u16>| dose.map_or(Value::Null, Value::from);
    let auxin = |a: &Auxin| Value::Array(vec![a.substance.into(), a.form.into(), dose(a.dose)]);
    Value::Array(auxins.iter().map(auxin).collect())
}

fn withdrawal(body: &Withdrawal) -> MapWriter {
    head(kind::WITHDRAWAL, body.head).put(4, bytes(&body.series)).put(5, body.reason).extend(&body.extensions)
}

fn rotation(body: &Rotation) -> MapWriter {
    head(kind::ROTATION, body.head)
        .put(4, bytes(&body.new_key.0))
        .put(5, bytes(&body.proof))
        .extend(&body.extensions)
}

fn revocation(body: &Revocation) -> MapWriter {
    head(kind::REVOCATION, body.head).maybe(4, body.from.map(|month| month.0)).extend(&body.extensions)
}

fn vouch(body: &Vouch) -> MapWriter {
    head(kind::VOUCH, body.head)
        .put(4, bytes(&body.subject.0))
        .put(5, body.sequence)
        .put(6, u8::from(body.vouches))
        .extend(&body.extensions)
}
