//! The three views hold the same: numbers are read back from text and page, and everything that the JSON shows stands in both.

use super::numbers::groups;
use super::{KEPT, of_example};
use pintle::report::calcs::{SCHEMA, html, json, text};
use serde_json::Value;

/// Wide enough that no value is broken over two lines.
const WIDE: usize = 100_000;

/// The texts of a page, without its markup, its style and its list of contents.
fn texts_of(page: &str) -> String {
    let from = page.find("<section").unwrap();
    let mut text = String::new();
    for part in page[from..page.find("</main>").unwrap()].split('<') {
        text.push(' ');
        text.push_str(part.split_once('>').map_or(part, |(_, text)| text));
    }
    let plain = [("&#39;", "'"), ("&quot;", "\""), ("&lt;", "<"), ("&gt;", ">"), ("&amp;", "&")];
    plain.into_iter().fold(text, |text, (entity, c)| text.replace(entity, c))
}

/// The text view without its head and its caution.
fn body_of(text: &str) -> &str {
    &text[text.find("====").unwrap()..text.find("\ncaution").unwrap()]
}

fn squeezed(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Every value that the JSON shows, with what it is of.
fn shown(value: &Value, found: &mut Vec<String>) {
    match value {
        Value::Object(map) => {
            if map.len() == 2 && map.contains_key("rounded") {
                found.extend(map["text"].as_str().map(str::to_string));
            }
            for key in ["written", "title", "remedy"] {
                found.extend(map.get(key).and_then(Value::as_str).map(str::to_string));
            }
            map.values().for_each(|value| shown(value, found));
        }
        Value::Array(list) => list.iter().for_each(|value| shown(value, found)),
        _ => {}
    }
}

#[test]
fn text_and_page_hold_the_same_numbers() {
    for (name, file, section, thing) in KEPT {
        let document = of_example(file, section, thing);
        let (text, page) = (text(&document, WIDE), html(&document));
        let (mut in_text, mut in_page) = (groups(body_of(&text)), groups(&texts_of(&page)));
        in_text.dedup();
        in_page.dedup();
        assert_eq!(in_text, in_page, "{name}");
    }
}

#[test]
fn what_the_json_shows_stands_in_text_and_page() {
    for (name, file, section, thing) in KEPT {
        let document = of_example(file, section, thing);
        let whole: Value = serde_json::from_str(&json(&document)).unwrap();
        let mut found = Vec::new();
        shown(&whole["calculations"], &mut found);
        assert!(!found.is_empty(), "{name}");
        let (text, page) = (squeezed(&text(&document, WIDE)), squeezed(&texts_of(&html(&document))));
        for value in found.iter().map(|value| squeezed(value)).filter(|value| !value.is_empty()) {
            assert!(text.contains(&value), "{name}: {value} is not in the text");
            assert!(page.contains(&value), "{name}: {value} is not on the page");
        }
    }
}

#[test]
fn the_json_is_as_its_schema_says() {
    let schema: Value = serde_json::from_str(SCHEMA).unwrap();
    assert!(jsonschema::meta::is_valid(&schema));
    let validator = jsonschema::draft202012::new(&strict(&schema)).unwrap();
    for (name, file, section, thing) in KEPT {
        let whole: Value = serde_json::from_str(&json(&of_example(file, section, thing))).unwrap();
        let wrong: Vec<String> = validator.iter_errors(&whole).map(|error| format!("{}: {error}", error.instance_path())).collect();
        assert!(wrong.is_empty(), "{name}: {}", wrong.join("\n"));
    }
    assert!(!validator.is_valid(&serde_json::json!({"shape": 1, "calculations": []})));
}

/// The schema with every object closed: the document holds nothing that is not described.
fn strict(schema: &Value) -> Value {
    match schema {
        Value::Object(map) => {
            let mut map: serde_json::Map<String, Value> = map.iter().map(|(key, value)| (key.clone(), strict(value))).collect();
            if map.get("type").is_some_and(|kind| kind == "object") {
                map.insert("additionalProperties".into(), false.into());
            }
            Value::Object(map)
        }
        Value::Array(list) => Value::Array(list.iter().map(strict).collect()),
        other => other.clone(),
    }
}
