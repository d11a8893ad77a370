//! What describes a method: facets, and the phases that change them.

use ciborium::Value;

use super::{array, fields, name, pair, taxon};
use crate::limits;
use crate::record::reader::{Context, Read, SchemaError, SchemaFault, code, list, number};
use crate::record::{Auxin, Code, Facets, Phase};

pub(super) fn phase(value: Value, cx: &mut Context) -> Read<Phase> {
    let mut f = fields("phase", value)?;
    let phase = Phase {
        after_weeks: f.need(0, "after_weeks", number(1, limits::WEEKS_MAX))?,
        facets: f.need_nested(1, "facets", |v| facets(v, cx))?,
    };
    f.close().map(|()| phase)
}

pub(super) fn facets(value: Value, cx: &mut Context) -> Read<Facets> {
    let mut f = fields("facets", value)?;
    let read = Facets {
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
        bottom_heat_state: f.newer(cx, 22, "bottom_heat_state", code)?,
        container: f.maybe(10, "container", code)?,
        growing_place: f.maybe(11, "growing_place", code)?,
        rootstock: f.maybe_nested(12, "rootstock", |v| taxon(v, cx))?,
        stratification: f.maybe(13, "stratification", stratification)?,
        bbch: f.maybe(14, "bbch", number(0, limits::BBCH_MAX))?,
        stock_origin: f.maybe(15, "stock_origin", code)?,
        stock_age: f.maybe(16, "stock_age", code)?,
        watering: f.maybe(17, "watering", code)?,
        tip_nodes_removed: f.maybe(18, "tip_nodes_removed", number(0, limits::TIP_NODES_MAX))?,
        flower_buds: f.maybe(19, "flower_buds", code)?,
        light: f.maybe(20, "light", code)?,
        cultivar: f.maybe(21, "cultivar", name)?,
        scarified: f.newer(cx, 23, "scarified", code)?,
        extensions: f.open(cx)?,
    };
    if read.bottom_heat.is_some() && read.bottom_heat_state.is_some() {
        return Err(SchemaError::at("bottom_heat_state", SchemaFault::Beside("bottom_heat")));
    }
    Ok(read)
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
