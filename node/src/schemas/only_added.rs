//! Whether a schema still holds everything that an older one of the same format held.

use std::collections::BTreeSet;

use serde_json::Value;

/// Fields of the older schema that the newer one does not have, or not of that type.
pub(super) fn gone(older: &Value, newer: &Value) -> Vec<String> {
    let (older, newer) = (fields(older), fields(newer));
    older.difference(&newer).cloned().collect()
}

/// Every field by its path, once for each type that it can have.
fn fields(root: &Value) -> BTreeSet<String> {
    let mut walk = Walk { root, inside: Vec::new(), found: BTreeSet::new() };
    walk.schema(root, "");
    walk.found
}

struct Walk<'a> {
    root: &'a Value,
    /// Parts that the walk is inside of, since a part may hold itself.
    inside: Vec<&'a str>,
    found: BTreeSet<String>,
}

impl<'a> Walk<'a> {
    fn schema(&mut self, schema: &'a Value, path: &str) {
        self.types(schema, path);
        if let Some(name) = schema["$ref"].as_str()
            && !self.inside.contains(&name)
        {
            let part = self.root.pointer(name.trim_start_matches('#')).expect("what is referred to is there");
            self.inside.push(name);
            self.schema(part, path);
            self.inside.pop();
        }
        for (name, field) in schema["properties"].as_object().into_iter().flatten() {
            self.schema(field, &format!("{path}.{name}"));
        }
        for key in ["oneOf", "anyOf", "allOf", "prefixItems"] {
            schema[key].as_array().into_iter().flatten().for_each(|one| self.schema(one, path));
        }
        for key in ["items", "additionalProperties"] {
            if schema[key].is_object() {
                self.schema(&schema[key], &format!("{path}[]"));
            }
        }
    }

    fn types(&mut self, schema: &Value, path: &str) {
        let kinds = match &schema["type"] {
            Value::Array(kinds) => kinds.clone(),
            kind => vec![kind.clone()],
        };
        for kind in kinds.iter().filter_map(Value::as_str) {
            self.found.insert(format!("{path}: {kind}"));
        }
        for word in schema.get("const").into_iter().chain(schema["enum"].as_array().into_iter().flatten()) {
            self.found.insert(format!("{path} = {word}"));
        }
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn what_is_gone_is_found_wherever_it_stands_and_what_is_added_is_not() {
        let tree = json!({ "type": "object", "properties": {
            "name": { "type": ["string", "null"] },
            "branches": { "type": "array", "items": { "$ref": "#/$defs/Tree" } },
        } });
        let root = |tree: &Value| json!({ "$ref": "#/$defs/Tree", "$defs": { "Tree": tree } });
        let older = root(&tree);
        assert!(gone(&older, &older).is_empty());
        let mut more = tree.clone();
        more["properties"]["height"] = json!({ "type": "number" });
        assert!(gone(&older, &root(&more)).is_empty());
        assert_eq!(gone(&root(&more), &older), [".height: number"]);
        let mut other = tree.clone();
        other["properties"]["name"] = json!({ "type": "integer" });
        assert_eq!(gone(&older, &root(&other)), [".name: null", ".name: string"]);
        let fewer = |words| json!({ "properties": { "kind": { "enum": words } } });
        assert_eq!(gone(&fewer(json!(["a", "b"])), &fewer(json!(["a"]))), [".kind = \"b\""]);
    }
}
