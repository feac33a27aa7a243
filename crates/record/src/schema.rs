//! The JSON Schema (2020-12) of the job file, made from the grammar. A TOML file has the same data model,
//! with its own dates in place of text.
//!
//! The schema says what form each value has. That spaces exist and do not clash is for [`crate::read_job`].

use crate::grammar::{Form, Key, ROOT, Table, TextForm};
use crate::limits;
use crate::text::words::SPELLINGS;
use serde_json::{Map, Value, json};

const DAY_PATTERN: &str = "^[0-9]{4}-[0-9]{2}-[0-9]{2}$";
const MOMENT_PATTERN: &str = "^([0-9]{4}-[0-9]{2}-[0-9]{2}|([0-9]{4}-[0-9]{2}-[0-9]{2}[Tt ])?[0-9]{2}:[0-9]{2}(:[0-9]{2}(\\.[0-9]{1,9})?)?)$";

/// The schema of the job file.
pub fn schema() -> Value {
    let mut definitions = Map::new();
    let root = table(&ROOT, &mut definitions);
    let mut schema = Map::new();
    schema.insert("$schema".into(), json!("https://json-schema.org/draft/2020-12/schema"));
    schema.insert("title".into(), json!("Panelwright job file, version 1"));
    if let Value::Object(root) = root {
        schema.extend(root);
    }
    schema.insert("$defs".into(), Value::Object(definitions));
    Value::Object(schema)
}

/// The schema of one stored fact.
pub fn fact_schema() -> Value {
    schemars::schema_for!(crate::fact::Fact).to_value()
}

fn table(table: &'static Table, definitions: &mut Map<String, Value>) -> Value {
    let mut properties = Map::new();
    for key in table.all_keys() {
        properties.insert(key.name.into(), described(key, definitions));
    }
    let required: Vec<&str> = table.all_keys().filter(|key| key.need).map(|key| key.name).collect();
    let mut schema = json!({
        "description": table.doc,
        "type": "object",
        "properties": properties,
        "additionalProperties": false,
    });
    if !required.is_empty() {
        schema["required"] = json!(required);
    }
    let rules: Vec<Value> = table.choices.iter().flat_map(|choice| rules(choice.keys, choice.need)).collect();
    if !rules.is_empty() {
        schema["allOf"] = json!(rules);
    }
    schema
}

/// At most one of the keys, or exactly one.
fn rules(keys: &[&str], need: bool) -> Vec<Value> {
    if need {
        let one: Vec<Value> = keys.iter().map(|key| json!({ "required": [key] })).collect();
        return vec![json!({ "oneOf": one })];
    }
    let mut rules = Vec::new();
    for (idx, first) in keys.iter().enumerate() {
        for second in &keys[idx + 1..] {
            rules.push(json!({ "not": { "required": [first, second] } }));
        }
    }
    rules
}

fn described(key: &Key, definitions: &mut Map<String, Value>) -> Value {
    let mut schema = form(&key.form, definitions);
    let unit = match key.form {
        Form::Number(unit, _) if !unit.symbol().is_empty() => format!(" Unit: {}.", unit.symbol()),
        _ => String::new(),
    };
    let doc = json!(format!("{}{unit}", key.doc));
    if let Some(object) = schema.as_object_mut() {
        object.insert("description".into(), doc);
    }
    schema
}

fn reference(inner: &'static Table, definitions: &mut Map<String, Value>) -> Value {
    if !definitions.contains_key(inner.name) {
        // Kept free first, so that a table that holds itself would not be made for ever.
        definitions.insert(inner.name.into(), Value::Null);
        let schema = table(inner, definitions);
        definitions.insert(inner.name.into(), schema);
    }
    json!({ "$ref": format!("#/$defs/{}", inner.name) })
}

fn form(shape: &Form, definitions: &mut Map<String, Value>) -> Value {
    match shape {
        Form::Name => json!({ "type": "string", "minLength": 1, "maxLength": limits::NAME_MAX }),
        Form::Words => json!({ "type": "string", "maxLength": limits::WORDS_MAX }),
        Form::Flag => json!({ "type": "boolean" }),
        Form::Number(_, (low, high)) => json!({ "type": "number", "minimum": low, "maximum": high }),
        Form::Count(low, high) => json!({ "type": "integer", "minimum": low, "maximum": high }),
        Form::Text(shape) => text(shape),
        Form::Day => json!({ "type": "string", "format": "date", "pattern": DAY_PATTERN }),
        Form::Moment => json!({ "type": "string", "pattern": MOMENT_PATTERN }),
        Form::List(inner) => {
            json!({ "type": "array", "maxItems": limits::READINGS_MAX, "items": form(inner, definitions) })
        }
        Form::FirstLast(high) => json!({
            "type": "array",
            "minItems": 2,
            "maxItems": 2,
            "items": { "type": "integer", "minimum": 1, "maximum": high },
        }),
        Form::Either(first, second) => {
            json!({ "anyOf": [form(first, definitions), form(second, definitions)] })
        }
        Form::Table(inner) => reference(inner, definitions),
        Form::Versions(inner) => {
            let one = reference(inner, definitions);
            json!({ "anyOf": [one, { "type": "array", "minItems": 1, "items": one }] })
        }
        Form::Tables(inner) => json!({ "type": "array", "items": reference(inner, definitions) }),
        Form::Map(keys, inner) => json!({
            "type": "object",
            "propertyNames": { "pattern": keys.pattern },
            "additionalProperties": form(inner, definitions),
        }),
    }
}

fn text(shape: &TextForm) -> Value {
    let string = match (shape.words, shape.pattern) {
        ([], "") => json!({ "type": "string" }),
        ([], pattern) => json!({ "type": "string", "pattern": pattern }),
        (words, _) => {
            let also = SPELLINGS.iter().filter(|(_, word)| words.contains(word)).map(|(other, _)| *other);
            let all: Vec<&str> = words.iter().copied().chain(also).collect();
            json!({ "type": "string", "enum": all })
        }
    };
    if shape.or_number { json!({ "anyOf": [{ "type": "integer", "minimum": 1 }, string] }) } else { string }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_reference_has_its_definition() {
        let schema = schema();
        let text = schema.to_string();
        let mut n_references = 0;
        for piece in text.split("\"#/$defs/").skip(1) {
            let name = piece.split('"').next().expect("a name");
            assert!(schema["$defs"][name].is_object(), "{name}");
            n_references += 1;
        }
        assert!(n_references > 20, "{n_references}");
        assert_eq!(schema["$defs"]["breaker"]["properties"]["rating_a"]["maximum"], json!(600.0));
    }

    #[test]
    fn the_schema_of_facts_knows_every_kind() {
        let text = fact_schema().to_string();
        for kind in ["temperature", "retraction", "breaker"] {
            assert!(text.contains(&format!("\"const\":\"{kind}\"")), "{kind}");
        }
    }
}
