//! JSON Schema files of everything that the program shows, made from the types that JSON is made of.

mod drawn;
mod made;
mod only_added;
mod round_trip;
mod split;

use std::collections::BTreeMap;

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, SchemaGenerator};
use serde_json::Value;

use crate::cli::bare::HomeShown;
use crate::cli::init::HomeMade;
use crate::web::problem::Refused;
use crate::web::rooms::bench::saved::Saved;
use propagule_app::Request;
use propagule_app::outcome::Outcome;
use propagule_bench::archive::{Manifest, Trust};
use propagule_files::fault::Fault;
use propagule_present::fault::FaultShown;
use propagule_present::outcome::export::BenchExported;
use propagule_present::outcome::paper::PageShown;

/// Names of files with their schemas, which are JSON objects.
type Schemas = BTreeMap<String, Value>;

/// Every format that is shown or kept as JSON, each under its name; commands and faults as they go over the
/// socket.
fn all() -> Schemas {
    let mut found = split::by_format(written::<Outcome>());
    let alone = [
        written::<HomeShown>(),
        written::<HomeMade>(),
        written::<PageShown<'_>>(),
        written::<BenchExported<'_>>(),
        written::<FaultShown<'_>>(),
        written::<Saved<'_>>(),
        written::<Refused>(),
        written::<Manifest>(),
        written::<Trust>(),
    ];
    for schema in alone {
        split::add(&mut found, schema);
    }
    found.insert("command".to_owned(), read::<Request>());
    found.insert("socket_fault".to_owned(), written::<Fault>());
    found
}

fn root<T: JsonSchema>(settings: SchemaSettings) -> Value {
    let schema = SchemaGenerator::new(settings).into_root_schema_for::<T>();
    Value::from(schema)
}

/// As the program reads it.
fn read<T: JsonSchema>() -> Value {
    root::<T>(SchemaSettings::draft2020_12())
}

/// As the program writes it.
fn written<T: JsonSchema>() -> Value {
    root::<T>(SchemaSettings::draft2020_12().for_serialize())
}
