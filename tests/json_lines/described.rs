//! The interface's README against the interface.

use std::collections::BTreeSet;

use serde_json::{Value, json};

use super::answer;
use super::questions::{KINDS, complete};

const README: &str = include_str!("../answer/README.md");

/// A field of a question, or the only element of its list, if it is a number.
fn number_at<'a>(question: &'a mut Value, path: &str) -> Option<&'a mut Value> {
    let place = question.pointer_mut(&format!("/{}", path.replace('.', "/")))?;
    let place = if place.is_array() {
        place.get_mut(0)?
    } else {
        place
    };
    place.is_number().then_some(place)
}

/// A field is answered at both of its limits, and is an error that names it beyond them.
#[test]
fn the_limits_are_as_described() {
    let mut tried = 0;
    for row in README.lines().filter(|line| line.starts_with("| `")) {
        let columns: Vec<_> = row.trim_matches('|').split(" | ").collect();
        let [fields, _, from, to] = columns[..] else {
            continue;
        };
        let limit = |text: &str| text.trim().replace('−', "-").replace(' ', "").parse().ok();
        let (Some(from), Some(to)) = (limit(from), limit(to)) else {
            continue;
        };
        for field in fields.split('`').skip(1).step_by(2) {
            for (value, within) in [
                (from, true),
                (to, true),
                (from - 0.01 * f64::abs(to), false),
                (to + 0.01 * f64::abs(to), false),
            ] {
                let question = KINDS.into_iter().find_map(|kind| {
                    let mut question = complete(kind);
                    // dates have limits too, but are not numbers
                    *number_at(&mut question, field)? = json!(value);
                    Some(question)
                });
                let Some(question) = question else {
                    continue;
                };
                let answer = answer::reply(&question.to_string());
                let error = answer.get("error").map(|_| answer["field"].clone());
                let named = error.as_ref().and_then(Value::as_str);
                let named = named.is_some_and(|named| named.starts_with(field));
                assert!(within == error.is_none(), "{field} at {value}: {error:?}");
                assert!(within || named, "{field} at {value}: {error:?}");
                tried += 1;
            }
        }
    }
    assert_eq!(tried, 4 * 64, "limits tried");
}

/// The keys of a value at any depth.
fn keys(value: &Value, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(object) => {
            for (key, value) in object {
                found.insert(key.clone());
                keys(value, found);
            }
        }
        Value::Array(list) => list.iter().for_each(|value| keys(value, found)),
        _ => (),
    }
}

/// The README's examples are answered, and every field of questions and answers is described in it.
#[test]
fn examples_and_fields_are_as_described() {
    let lines = README.lines().map(str::trim);
    let lines = lines.filter(|line| line.starts_with('{'));
    let (errors, questions): (Vec<_>, Vec<_>) = lines.partition(|line| line.contains("\"error\""));
    assert_eq!(questions.len(), 9, "an example of each kind");
    let mut fields = BTreeSet::new();
    for question in questions {
        let answer = answer::reply(question);
        assert!(answer.get("error").is_none(), "{question}: {answer}");
        keys(&answer, &mut fields);
    }
    fields.extend(["outside_projection", "reason"].map(str::to_owned));
    keys(&json!(KINDS.map(complete)), &mut fields);
    assert!(fields.len() > 60, "{fields:?}");
    for key in fields {
        let written = [format!("`{key}`"), format!("`{key}."), format!(".{key}`")];
        let named = written.iter().any(|written| README.contains(written));
        assert!(named, "{key} is not described");
    }
    let wrong = json!({"id": "b", "site": {"lat_deg": 91}, "night": {}});
    let described: Vec<Value> = errors
        .into_iter()
        .map(|line| serde_json::from_str(line).expect("JSON"))
        .collect();
    assert_eq!(described, [answer::reply(&wrong.to_string())]);
}
