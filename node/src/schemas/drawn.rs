//! Documents drawn at random from a schema, from bytes: those that run out draw what is simplest, so that a failure shrinks.

use proptest::strategy::{Strategy, ValueTree};
use proptest::string::string_regex;
use proptest::test_runner::TestRunner;
use serde_json::{Map, Number, Value, json};

/// What growers type, and what does harm.
const TEXTS: [&str; 8] = [
    "",
    "M1",
    "Morus nigra",
    "1:1 mix",
    "peat; wound=light",
    "vole, 2=mice",
    "\u{202e}\u{1f331}\n\"'<b>",
    "-1",
];

/// What draws.
pub(super) struct Draw<'a> {
    root: &'a Value,
    bytes: std::slice::Iter<'a, u8>,
}

impl<'a> Draw<'a> {
    pub(super) fn new(root: &'a Value, bytes: &'a [u8]) -> Self {
        Self { root, bytes: bytes.iter() }
    }

    fn byte(&mut self) -> u8 {
        self.bytes.next().copied().unwrap_or(0)
    }

    fn below(&mut self, count: usize) -> usize {
        usize::from(self.byte()) % count.max(1)
    }

    fn one<'b, T>(&mut self, all: &'b [T]) -> &'b T {
        &all[self.below(all.len())]
    }

    /// A document that the schema allows.
    pub(super) fn document(&mut self, schema: &Value) -> Value {
        let Some(schema) = schema.as_object().filter(|schema| !schema.is_empty()) else { return json!(null) };
        let parts: Vec<Value> = self.in_place(schema);
        if let Some(constant) = schema.get("const") {
            return constant.clone();
        }
        for key in ["examples", "enum"] {
            if let Some(Value::Array(all)) = schema.get(key) {
                return self.one(all).clone();
            }
        }
        let own = schema.get("type").map(|kind| self.typed(kind, schema));
        let all = own.into_iter().chain(parts);
        all.reduce(merged).unwrap_or_else(|| panic!("nothing is said of {schema:?}"))
    }

    /// What the parts of a schema say that speak of the same value.
    fn in_place(&mut self, schema: &Map<String, Value>) -> Vec<Value> {
        let mut found = Vec::new();
        if let Some(path) = schema.get("$ref").and_then(Value::as_str) {
            let part = self.root.pointer(path.trim_start_matches('#')).expect("what is referred to is there");
            found.push(self.document(part));
        }
        for key in ["oneOf", "anyOf"] {
            if let Some(Value::Array(all)) = schema.get(key) {
                let chosen = self.one(all);
                found.push(self.document(chosen));
            }
        }
        found
    }

    fn typed(&mut self, kind: &Value, schema: &Map<String, Value>) -> Value {
        let kind = match kind {
            Value::Array(kinds) => self.one(kinds).clone(),
            kind => kind.clone(),
        };
        match kind.as_str().expect("a name") {
            "null" => Value::Null,
            "boolean" => (self.byte() % 2 == 1).into(),
            "integer" => self.integer(schema),
            "number" => self.number().into(),
            "string" => self.text(schema),
            "array" => self.array(schema),
            "object" => self.object(schema),
            other => panic!("no schema of ours is of the type {other}"),
        }
    }

    fn integer(&mut self, schema: &Map<String, Value>) -> Value {
        let bits = match schema.get("format").and_then(Value::as_str) {
            Some(format) => format.trim_start_matches("uint").trim_start_matches("int").parse().unwrap_or(64),
            None => 64,
        };
        let is_signed =
            schema.get("format").and_then(Value::as_str).is_none_or(|name| name.starts_with("int"));
        let drawn = (0..8).fold(0_u64, |sum, _| (sum << 8) | u64::from(self.byte()));
        let drawn = if self.byte().is_multiple_of(2) { drawn % 30 } else { drawn >> (64 - bits) };
        if is_signed { json!((drawn as i64) >> 1) } else { json!(drawn) }
    }

    fn number(&mut self) -> Number {
        let drawn = (0..4).fold(0_i32, |sum, _| (sum << 8) | i32::from(self.byte()));
        Number::from_f64(f64::from(drawn) / 1024.0).expect("a finite number")
    }

    fn text(&mut self, schema: &Map<String, Value>) -> Value {
        let Some(pattern) = schema.get("pattern").and_then(Value::as_str) else {
            return json!(*self.one(&TEXTS));
        };
        let mut runner = TestRunner::deterministic();
        let texts = string_regex(pattern.trim_matches(['^', '$'])).expect("a pattern");
        // The runner always begins alike: the byte says how far it goes.
        let drawn =
            (0..=self.below(8)).map(|_| texts.new_tree(&mut runner).expect("a text").current()).last();
        let text: String = drawn.expect("one at least");
        // Not every month has more days than this, which no pattern says.
        json!(text.replace("-29", "-28").replace("-30", "-28").replace("-31", "-28"))
    }

    fn array(&mut self, schema: &Map<String, Value>) -> Value {
        if let Some(Value::Array(items)) = schema.get("prefixItems") {
            return items.iter().map(|item| self.document(item)).collect();
        }
        let least = schema.get("minItems").and_then(Value::as_u64).unwrap_or(0) as usize;
        let most = schema.get("maxItems").and_then(Value::as_u64).map_or(least + 3, |most| most as usize);
        let count = least + self.below(most - least + 1);
        let items = schema.get("items").unwrap_or(&Value::Null);
        (0..count).map(|_| self.document(items)).collect()
    }

    fn object(&mut self, schema: &Map<String, Value>) -> Value {
        let mut fields = Map::new();
        let required: Vec<&str> = schema
            .get("required")
            .and_then(Value::as_array)
            .into_iter()
            .flatten()
            .filter_map(Value::as_str)
            .collect();
        for (name, field) in schema.get("properties").and_then(Value::as_object).into_iter().flatten() {
            // Its names are of a list that the schema does not hold.
            if name == "at_home" {
                continue;
            }
            if required.contains(&name.as_str()) || self.byte() % 2 == 1 {
                fields.insert(name.clone(), self.document(field));
            }
        }
        if let Some(more @ Value::Object(_)) = schema.get("additionalProperties") {
            for name in TEXTS.iter().take(self.below(3)) {
                fields.insert((*name).to_owned(), self.document(more));
            }
        }
        if let Some(Value::Object(patterns)) = schema.get("patternProperties") {
            for more in patterns.values() {
                fields.insert(self.byte().to_string(), self.document(more));
            }
        }
        Value::Object(fields)
    }
}

/// Two objects as one; of anything else the second.
fn merged(one: Value, other: Value) -> Value {
    match (one, other) {
        (Value::Object(mut one), Value::Object(other)) => {
            one.extend(other);
            Value::Object(one)
        }
        (_, other) => other,
    }
}
