//! As much of JSON Schema as the program's own schemas use; anything else in a schema is itself a complaint.

use serde_json::Value;

pub(crate) struct Validator {
    root: Value,
}

impl Validator {
    pub(crate) fn new(schema: &str) -> Self {
        Self { root: serde_json::from_str(schema).unwrap() }
    }

    /// What is wrong with a document; nothing where it is as the schema says.
    pub(crate) fn complaints(&self, document: &Value) -> Vec<String> {
        let mut out = Vec::new();
        self.look(&self.root, document, "$", &mut out);
        out
    }

    fn look(&self, schema: &Value, value: &Value, at: &str, out: &mut Vec<String>) {
        let Some(rules) = schema.as_object() else {
            if schema != &Value::Bool(true) {
                out.push(format!("{at}: the schema {schema} takes nothing"));
            }
            return;
        };
        for (rule, wanted) in rules {
            let fits = match rule.as_str() {
                "$schema" | "title" | "description" | "$defs" | "default" => true,
                "$ref" => {
                    let name = wanted.as_str().unwrap().strip_prefix("#/$defs/").unwrap();
                    self.look(&self.root["$defs"][name], value, at, out);
                    true
                }
                "type" => match wanted {
                    Value::Array(types) => types.iter().any(|name| is(value, name.as_str().unwrap())),
                    name => is(value, name.as_str().unwrap()),
                },
                "format" => match wanted.as_str().unwrap() {
                    "double" | "int64" => true,
                    "uint" | "uint8" | "uint32" | "uint64" => !value.is_number() || value.is_u64(),
                    other => {
                        out.push(format!("{at}: unknown format {other}"));
                        true
                    }
                },
                "minimum" => value.as_f64().is_none_or(|number| number >= wanted.as_f64().unwrap()),
                "enum" => wanted.as_array().unwrap().contains(value),
                "const" => wanted == value,
                "required" => {
                    for key in wanted.as_array().unwrap() {
                        if value.is_object() && value.get(key.as_str().unwrap()).is_none() {
                            out.push(format!("{at}: {key} is not there"));
                        }
                    }
                    true
                }
                "properties" => {
                    for (key, schema) in wanted.as_object().unwrap() {
                        if let Some(item) = value.get(key) {
                            self.look(schema, item, &format!("{at}.{key}"), out);
                        }
                    }
                    // The types leave nothing out: a key that the schema does not know is a slip.
                    if !rules.contains_key("additionalProperties") {
                        for key in value.as_object().into_iter().flat_map(serde_json::Map::keys) {
                            if wanted.get(key).is_none() {
                                out.push(format!("{at}: {key} is not in the schema"));
                            }
                        }
                    }
                    true
                }
                "additionalProperties" => {
                    let known = rules.get("properties").and_then(Value::as_object);
                    for (key, item) in value.as_object().into_iter().flatten() {
                        if known.is_none_or(|known| !known.contains_key(key)) {
                            self.look(wanted, item, &format!("{at}.{key}"), out);
                        }
                    }
                    true
                }
                "items" => {
                    for (n, item) in value.as_array().into_iter().flatten().enumerate() {
                        self.look(wanted, item, &format!("{at}[{n}]"), out);
                    }
                    true
                }
                "minItems" => {
                    value.as_array().is_none_or(|list| list.len() as u64 >= wanted.as_u64().unwrap())
                }
                "maxItems" => {
                    value.as_array().is_none_or(|list| list.len() as u64 <= wanted.as_u64().unwrap())
                }
                "anyOf" | "oneOf" => {
                    let taken = wanted.as_array().unwrap().iter().filter(|schema| {
                        let mut inner = Vec::new();
                        self.look(schema, value, at, &mut inner);
                        inner.is_empty()
                    });
                    let count = taken.count();
                    if rule == "oneOf" { count == 1 } else { count > 0 }
                }
                other => {
                    out.push(format!("{at}: unknown rule {other}"));
                    true
                }
            };
            if !fits {
                let found: String = value.to_string().chars().take(60).collect();
                out.push(format!("{at}: {rule} {wanted}, found {found}"));
            }
        }
    }
}

fn is(value: &Value, name: &str) -> bool {
    match name {
        "object" => value.is_object(),
        "array" => value.is_array(),
        "string" => value.is_string(),
        "boolean" => value.is_boolean(),
        "null" => value.is_null(),
        "integer" => value.is_i64() || value.is_u64(),
        "number" => value.is_number(),
        _ => false,
    }
}

#[test]
fn the_validator_complains() {
    let schema = r##"{"type": "object", "required": ["a"], "properties": {"a": {"$ref": "#/$defs/A"}},
        "$defs": {"A": {"anyOf": [{"type": "number", "minimum": 0}, {"enum": ["x"]}]}}}"##;
    let validator = Validator::new(schema);
    let complains = |text: &str| !validator.complaints(&serde_json::from_str(text).unwrap()).is_empty();
    assert!(!complains(r#"{"a": 1}"#) && !complains(r#"{"a": "x"}"#));
    for wrong in [r#"{"a": -1}"#, r#"{"a": "y"}"#, "{}", "3", r#"{"a": 1, "b": 2}"#] {
        assert!(complains(wrong), "{wrong}");
    }
}
