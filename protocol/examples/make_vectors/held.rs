//! Records that only a newer version can judge.

use ciborium::Value;
use propagule_protocol::cbor::encode;
use serde_json::Value as Json;

use crate::sample::seal::Seal;
use crate::schema::{body, set, trial};
use crate::{good, network};

pub(crate) fn vectors() -> Vec<Json> {
    let mut all = vec![
        ("unknown kind", set(trial(), &[0], 6)),
        ("highest unknown kind", set(trial(), &[0], 63)),
        ("next major", set(trial(), &[1], 2)),
        ("highest major", set(trial(), &[1], 23)),
        ("next major with another shape", set(set(trial(), &[1], 2), &[14], Value::Null)),
    ];
    let maps: [(&str, &[u64]); 7] = [
        ("critical key in the summary", &[15]),
        ("highest critical key", &[63]),
        ("critical key in the taxon", &[6, 7]),
        ("critical key in the region", &[7, 6]),
        ("critical key in an arm", &[14, 0, 9]),
        ("critical key in the facets", &[14, 0, 2, 22]),
        ("critical key in the counts", &[14, 0, 3, 1, 10]),
    ];
    all.extend(maps.map(|(name, path)| (name, set(trial(), path, 1))));
    let withdrawal = body(&crate::sample::withdrawal());
    all.push(("critical key in a withdrawal", set(withdrawal, &[6], 1)));
    let broken = set(set(trial(), &[15], 1), &[14, 0, 3, 1, 3], 25);
    all.push(("critical key beside a broken rule", broken));
    all.iter().map(|(name, body)| good(name, &Seal::new(1, network(), encode(body)))).collect()
}
