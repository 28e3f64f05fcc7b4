//! Reads what is compared: the JSON-lines interface's answer and the reference's, field by field.

use chrono::{DateTime, FixedOffset};
use serde_json::Value;

/// The number under a key.
pub fn number(value: &Value, key: &str) -> f64 {
    let number = value[key].as_f64();
    number.unwrap_or_else(|| panic!("no number {key:?} in {value}"))
}

/// The list under a key.
pub fn rows<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    let rows = value[key].as_array();
    rows.unwrap_or_else(|| panic!("no list {key:?} in {value}"))
}

/// The instant under a key, with the offset it is written in.
pub fn instant(value: &Value, key: &str) -> DateTime<FixedOffset> {
    let text = value[key].as_str().unwrap_or_default();
    DateTime::parse_from_rfc3339(text).unwrap_or_else(|why| panic!("{key} {text:?}: {why}"))
}

/// Seconds from one instant to another, both under a key.
pub fn apart_s(got: &Value, want: &Value, key: &str) -> f64 {
    let apart = instant(got, key) - instant(want, key);
    apart.num_milliseconds() as f64 / 1000.0
}

/// Degrees from one bearing to another, the shorter way.
pub fn turned(from: f64, to: f64) -> f64 {
    (to - from + 180.0).rem_euclid(360.0) - 180.0
}

/// Two lists that must be as long as one another, row by row.
pub fn pairs<'a>(
    got: &'a Value,
    want: &'a Value,
    key: &str,
    id: &str,
) -> Vec<(&'a Value, &'a Value)> {
    let (got, want) = (rows(got, key), rows(want, key));
    assert_eq!(got.len(), want.len(), "{id}: {key}: {got:?}, want {want:?}");
    got.iter().zip(want).collect()
}
