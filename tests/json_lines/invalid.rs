//! Ten thousand questions with random changes.

use proptest::prelude::*;
use serde_json::{Value, json};

use super::questions::{KINDS, QUICK, complete};
use super::{answer, fault};

const LINES: u32 = 10_000;

/// Values that hardly any field may have.
fn odd() -> impl Strategy<Value = Value> {
    let numbers = prop_oneof![
        any::<f64>().prop_map(|number| json!(number)),
        any::<i64>().prop_map(|number| json!(number)),
        (-400.0..400.0).prop_map(|number| json!(number)),
        prop::sample::select(vec![
            0.0, -0.0, 1e-308, 1e308, -90.0, 90.0, 360.0, 1000.0, 86_400.0
        ])
        .prop_map(|number| json!(number)),
    ];
    let texts = prop::sample::select(vec![
        "",
        " ",
        "equisolid",
        "stereographic",
        "equidistant",
        "Europe/Nowhere",
        "America/St_Johns",
        "1950-01-01",
        "2100-12-31",
        "2101-01-01",
        "2026-02-30",
        "-0001-01-01",
        "+262142-12-31",
        "1950-01-01T00:00:00Z",
        "2100-12-31T23:59:60Z",
        "2026-06-14T23:10:00",
        "999999999999999999999",
        "NaN",
        "\u{0}\u{202e}🌌",
    ]);
    let plain = prop_oneof![
        4 => numbers,
        3 => texts.prop_map(|text| json!(text)),
        1 => any::<String>().prop_map(|text| json!(text)),
        1 => any::<bool>().prop_map(|truth| json!(truth)),
        1 => Just(Value::Null),
    ];
    plain.prop_recursive(3, 8, 3, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..3).prop_map(Value::Array),
            prop::collection::hash_map("[a-z_]{0,8}", inner, 0..3).prop_map(|fields| json!(fields)),
        ]
    })
}

/// A change to a question, as a value or as a text.
#[derive(Debug, Clone)]
enum Change {
    Replace(usize, Value),
    Remove(usize),
    Cut(usize, usize),
    Insert(usize, String),
}

fn changes() -> impl Strategy<Value = Vec<Change>> {
    let one = prop_oneof![
        6 => (any::<usize>(), odd()).prop_map(|(at, odd)| Change::Replace(at, odd)),
        1 => any::<usize>().prop_map(Change::Remove),
        1 => (any::<usize>(), 1..6_usize).prop_map(|(at, length)| Change::Cut(at, length)),
        1 => (any::<usize>(), "[-0-9eE.,:{}\\[\\]\"a-z]{1,4}")
            .prop_map(|(at, text)| Change::Insert(at, text)),
    ];
    prop::collection::vec(one, 1..4)
}

/// JSON pointers to a value and to everything in it.
fn pointers(value: &Value, path: &str, found: &mut Vec<String>) {
    found.push(path.to_owned());
    match value {
        Value::Object(object) => {
            for (key, value) in object {
                pointers(value, &format!("{path}/{key}"), found);
            }
        }
        Value::Array(list) => {
            for (place, value) in list.iter().enumerate() {
                pointers(value, &format!("{path}/{place}"), found);
            }
        }
        _ => (),
    }
}

/// The line of a question after changes.
fn changed(mut question: Value, changes: &[Change]) -> String {
    let chosen = |question: &Value, at: usize| {
        let mut found = Vec::new();
        pointers(question, "", &mut found);
        found.swap_remove(at % found.len())
    };
    for change in changes {
        match change {
            Change::Replace(at, odd) => {
                let path = chosen(&question, *at);
                if let Some(place) = question.pointer_mut(&path) {
                    *place = odd.clone();
                }
            }
            Change::Remove(at) => {
                let path = chosen(&question, *at);
                let (parent, key) = path.rsplit_once('/').unwrap_or_default();
                if let Some(Value::Object(object)) = question.pointer_mut(parent) {
                    object.remove(key);
                }
            }
            _ => (),
        }
    }
    let mut characters: Vec<char> = question.to_string().chars().collect();
    for change in changes {
        let length = characters.len();
        match change {
            Change::Cut(at, count) => {
                let from = at % (length + 1);
                characters.drain(from..(from + count).min(length));
            }
            Change::Insert(at, text) => {
                let from = at % (length + 1);
                characters.splice(from..from, text.chars());
            }
            _ => (),
        }
    }
    characters.into_iter().collect()
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: LINES,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn invalid_questions_get_an_answer_or_an_error(kind in prop::sample::select(&KINDS[..QUICK]), changes in changes()) {
        let line = changed(complete(kind), &changes);
        let answer = answer::reply(&line);
        prop_assert_eq!(fault(&line, &answer), None, "{}: {}", line, answer);
    }
}
