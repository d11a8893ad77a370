//! Schemas of values that JSON holds as one text.

/// Says how the text of a type looks, by a regular expression.
macro_rules! text_schema {
    ($name:ident, $about:literal, $pattern:literal) => {
        impl schemars::JsonSchema for $name {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($name).into()
            }

            fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
                schemars::json_schema!({ "type": "string", "description": $about, "pattern": $pattern })
            }
        }
    };
}

pub(crate) use text_schema;
