//! Reads fields of a question; what is wrong is told with the field's name.

use chrono::{DateTime, NaiveDate, Utc};
use serde_json::Value;
use tarnlight::angle::Angle;

/// What is wrong with a question: the field, and a sentence.
#[derive(Debug, Clone, PartialEq)]
pub struct Bad {
    /// Path of the field, such as `site.lat_deg`.
    pub field: String,
    /// A plain sentence.
    pub message: String,
}

/// An error about a field.
pub fn bad(field: &str, message: impl Into<String>) -> Bad {
    Bad {
        field: field.to_owned(),
        message: message.into(),
    }
}

/// The value at a path such as `site.lat_deg`.
pub fn at<'a>(question: &'a Value, path: &str) -> Option<&'a Value> {
    let mut value = question;
    for key in path.split('.') {
        value = value.get(key)?;
    }
    Some(value)
}

/// The number at a path, within limits.
pub fn number(question: &Value, path: &str, least: f64, most: f64) -> Result<f64, Bad> {
    let value = at(question, path).ok_or_else(|| bad(path, "is missing"))?;
    let value = value
        .as_f64()
        .ok_or_else(|| bad(path, "must be a number"))?;
    if (least..=most).contains(&value) {
        Ok(value)
    } else {
        Err(bad(path, format!("must be from {least} to {most}")))
    }
}

/// The same, with a value for a field left out or null.
pub fn number_or(
    question: &Value,
    path: &str,
    (least, most): (f64, f64),
    usual: f64,
) -> Result<f64, Bad> {
    match at(question, path) {
        None | Some(Value::Null) => Ok(usual),
        Some(_) => number(question, path, least, most),
    }
}

/// An angle at a path, given in degrees.
pub fn angle(question: &Value, path: &str, least: f64, most: f64) -> Result<Angle, Bad> {
    number(question, path, least, most).map(Angle::from_degrees)
}

/// The same, in degrees, with a value for a field left out or null.
pub fn angle_or(
    question: &Value,
    path: &str,
    bounds: (f64, f64),
    usual_deg: f64,
) -> Result<Angle, Bad> {
    number_or(question, path, bounds, usual_deg).map(Angle::from_degrees)
}

/// The text at a path.
pub fn word<'a>(question: &'a Value, path: &str) -> Result<&'a str, Bad> {
    let value = at(question, path).ok_or_else(|| bad(path, "is missing"))?;
    value.as_str().ok_or_else(|| bad(path, "must be a text"))
}

/// The list at a path; empty where it is left out.
pub fn list<'a>(question: &'a Value, path: &str) -> Result<&'a [Value], Bad> {
    match at(question, path) {
        None | Some(Value::Null) => Ok(&[]),
        Some(Value::Array(list)) => Ok(list),
        Some(_) => Err(bad(path, "must be a list")),
    }
}

/// The date at a path, as `2026-06-14`.
pub fn date(question: &Value, path: &str) -> Result<NaiveDate, Bad> {
    let text = word(question, path)?;
    text.parse()
        .map_err(|_| bad(path, "must be a date such as 2026-06-14"))
}

/// An instant, as `2026-06-14T23:10:00Z`.
pub fn instant(text: &str, path: &str) -> Result<DateTime<Utc>, Bad> {
    let read = DateTime::parse_from_rfc3339(text);
    read.map(|instant| instant.with_timezone(&Utc))
        .map_err(|_| bad(path, "must be an instant such as 2026-06-14T23:10:00Z"))
}
