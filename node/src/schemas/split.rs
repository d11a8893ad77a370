//! One schema of many formats to one schema a format.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Map, Value, json};

use super::Schemas;

/// The schema of an enumeration whose tag is the format, as one schema a format.
pub(super) fn by_format(mut all: Value) -> Schemas {
    let parts = all["$defs"].take();
    let Value::Array(variants) = all["oneOf"].take() else { panic!("every outcome is a variant: {all}") };
    let mut found = Schemas::new();
    for mut variant in variants {
        variant["$schema"] = all["$schema"].clone();
        variant["$defs"] = parts.clone();
        add(&mut found, variant);
    }
    found
}

/// Adds the schema of one format under its name; a format of several shapes holds any of them.
pub(super) fn add(found: &mut Schemas, mut schema: Value) {
    tag(&mut schema);
    let format = schema["properties"]["format"]["const"].as_str();
    let format = format.unwrap_or_else(|| panic!("a format is named: {schema}")).to_owned();
    only_used(&mut schema);
    schema = plainly_named(schema);
    schema["title"] = json!(format);
    let name = format.split(['.', '/']).nth(1).expect("a name between the dot and the number").to_owned();
    match found.remove(&name) {
        None => found.insert(name, schema),
        Some(other) => found.insert(name, either(other, schema)),
    };
}

/// Names the format of a struct that is tagged by its own name: the derive knows the name, and not that it is a tag.
fn tag(schema: &mut Value) {
    let title = schema["title"].as_str().filter(|title| title.starts_with("propagule."));
    let Some(format) = title.map(str::to_owned) else { return };
    schema["properties"]["format"] = json!({ "type": "string", "const": format });
    match &mut schema["required"] {
        Value::Array(required) => required.push(json!("format")),
        required => *required = json!(["format"]),
    }
}

/// A schema of two shapes.
fn either(mut one: Value, mut other: Value) -> Value {
    let (title, dialect) = (one["title"].clone(), one["$schema"].clone());
    let mut parts = Map::new();
    for schema in [&mut one, &mut other] {
        let fields = schema.as_object_mut().expect("an object");
        for key in ["$schema", "title"] {
            fields.remove(key);
        }
        if let Some(Value::Object(more)) = fields.remove("$defs") {
            for (name, part) in more {
                let known = parts.entry(name.clone()).or_insert_with(|| part.clone());
                assert_eq!(*known, part, "two shapes of {title} name {name} and mean different things");
            }
        }
    }
    json!({ "$schema": dialect, "title": title, "anyOf": [one, other], "$defs": parts })
}

/// Leaves out parts that nothing refers to.
fn only_used(schema: &mut Value) {
    let Some(Value::Object(parts)) = schema.as_object_mut().expect("an object").remove("$defs") else {
        return;
    };
    let (mut used, mut open) = (BTreeSet::new(), named_in(schema));
    while let Some(name) = open.pop() {
        if used.insert(name.clone()) {
            open.extend(named_in(&parts[&name]));
        }
    }
    let parts: Map<String, Value> = parts.into_iter().filter(|(name, _)| used.contains(name)).collect();
    if !parts.is_empty() {
        schema["$defs"] = Value::Object(parts);
    }
}

/// Takes the number from a name that is told apart from one of another format only.
fn plainly_named(mut schema: Value) -> Value {
    let Some(Value::Object(parts)) = schema.get("$defs") else { return schema };
    let plain = |name: &str| name.trim_end_matches(|c: char| c.is_ascii_digit()).to_owned();
    let mut all: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for name in parts.keys() {
        all.entry(plain(name)).or_default().push(name.clone());
    }
    for (plain, names) in all {
        if let [name] = &names[..]
            && *name != plain
        {
            let part =
                schema["$defs"].as_object_mut().and_then(|parts| parts.remove(name)).expect("it is there");
            schema["$defs"][&plain] = part;
            rename(&mut schema, &format!("#/$defs/{name}"), &format!("#/$defs/{plain}"));
        }
    }
    schema
}

fn rename(schema: &mut Value, from: &str, to: &str) {
    match schema {
        Value::Object(fields) => {
            for (name, field) in fields {
                match field {
                    Value::String(path) if name == "$ref" && path == from => to.clone_into(path),
                    field => rename(field, from, to),
                }
            }
        }
        Value::Array(all) => all.iter_mut().for_each(|one| rename(one, from, to)),
        _ => {}
    }
}

/// Names of the parts that a schema refers to.
fn named_in(schema: &Value) -> Vec<String> {
    match schema {
        Value::Object(fields) => {
            let own =
                fields.get("$ref").and_then(Value::as_str).and_then(|path| path.strip_prefix("#/$defs/"));
            own.map(str::to_owned).into_iter().chain(fields.values().flat_map(named_in)).collect()
        }
        Value::Array(all) => all.iter().flat_map(named_in).collect(),
        _ => Vec::new(),
    }
}
