//! Reads the fields of a question. An error names the field by its path.
//!
//! Questions are read from a [`Value`] rather than by derived `Deserialize`: a derive reports a
//! missing field at its parent's path, takes a list for an object, and knows no limits, so that
//! the path and the sentence of nearly every error would have to be restored by hand.

use std::ops::RangeInclusive;

use chrono::{DateTime, Datelike, NaiveDate, Utc};
use serde::Serialize;
use serde_json::Value;
use tarnlight::angle::Angle;
use tarnlight::sky::moment::{Moment, YEARS};

/// What is wrong with a question.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FieldError {
    /// Path of the field, such as `site.lat_deg`; empty for the whole line.
    pub field: String,
    /// What is wrong with it.
    #[serde(rename = "error")]
    pub message: String,
}

/// A field of a question, given or not, and its path.
#[derive(Debug, Clone)]
pub struct Field<'a> {
    value: Option<&'a Value>,
    path: String,
}

impl<'a> Field<'a> {
    /// The question itself, at the empty path.
    pub const fn root(question: &'a Value) -> Self {
        Self {
            value: Some(question),
            path: String::new(),
        }
    }

    /// The field at a path below this one, such as `site.lat_deg`.
    pub fn at(&self, path: &str) -> Self {
        let mut keys = path.split('.');
        let value = self
            .value
            .and_then(|value| keys.try_fold(value, |value, key| value.get(key)));
        self.below(path, value)
    }

    /// A column of a row that is written as a list or as an object; its path has the name.
    pub fn column(&self, index: usize, name: &str) -> Self {
        let value = self
            .value
            .and_then(|row| row.get(index).or_else(|| row.get(name)));
        self.below(name, value)
    }

    fn below(&self, path: &str, value: Option<&'a Value>) -> Self {
        let path = if self.path.is_empty() {
            path.to_owned()
        } else {
            format!("{}.{path}", self.path)
        };
        Self { value, path }
    }

    /// An error about this field.
    pub fn error(&self, message: impl Into<String>) -> FieldError {
        FieldError {
            field: self.path.clone(),
            message: message.into(),
        }
    }

    /// The value in the question.
    pub const fn value(&self) -> Option<&'a Value> {
        self.value
    }

    /// Whether the field is there and not null.
    pub fn is_given(&self) -> bool {
        self.value.is_some_and(|value| !value.is_null())
    }

    fn required(&self) -> Result<&'a Value, FieldError> {
        self.value.ok_or_else(|| self.error("is missing"))
    }

    /// A number within limits.
    pub fn number(&self, limits: RangeInclusive<f64>) -> Result<f64, FieldError> {
        self.required()?;
        self.number_in_row(limits)
    }

    /// The same in an element of a list, where a missing number is reported like a text in its
    /// place.
    pub fn number_in_row(&self, limits: RangeInclusive<f64>) -> Result<f64, FieldError> {
        let number = self.value.and_then(Value::as_f64);
        let number = number.ok_or_else(|| self.error("must be a number"))?;
        if limits.contains(&number) {
            Ok(number)
        } else {
            let (least, most) = limits.into_inner();
            Err(self.error(format!("must be from {least} to {most}")))
        }
    }

    /// A number within limits; `None` for a field that is missing or null.
    pub fn optional_number(&self, limits: RangeInclusive<f64>) -> Result<Option<f64>, FieldError> {
        self.is_given().then(|| self.number(limits)).transpose()
    }

    /// A number within limits, or the default for a field that is missing or null.
    pub fn number_or(&self, limits: RangeInclusive<f64>, default: f64) -> Result<f64, FieldError> {
        Ok(self.optional_number(limits)?.unwrap_or(default))
    }

    /// An angle, with limits in degrees.
    pub fn angle(&self, limits_deg: RangeInclusive<f64>) -> Result<Angle, FieldError> {
        self.number(limits_deg).map(Angle::from_degrees)
    }

    /// An angle, or the default in degrees for a field that is missing or null.
    pub fn angle_or(
        &self,
        limits_deg: RangeInclusive<f64>,
        default_deg: f64,
    ) -> Result<Angle, FieldError> {
        self.number_or(limits_deg, default_deg)
            .map(Angle::from_degrees)
    }

    /// A text.
    pub fn text(&self) -> Result<&'a str, FieldError> {
        let text = self.required()?.as_str();
        text.ok_or_else(|| self.error("must be a text"))
    }

    /// One of a few words, and its meaning.
    pub fn choice<T: Copy>(&self, choices: &[(&str, T)]) -> Result<T, FieldError> {
        let text = self.text()?;
        let chosen = choices.iter().find(|(word, _)| *word == text);
        chosen.map(|(_, meaning)| *meaning).ok_or_else(|| {
            let words: Vec<_> = choices.iter().map(|(word, _)| *word).collect();
            let (last, others) = words.split_last().unwrap_or((&"", &[]));
            self.error(format!("must be {} or {last}", others.join(", ")))
        })
    }

    /// The elements of a list; none where it is missing or null.
    pub fn list(&self) -> Result<Vec<Self>, FieldError> {
        match self.value {
            None | Some(Value::Null) => Ok(Vec::new()),
            Some(Value::Array(list)) => Ok(list
                .iter()
                .enumerate()
                .map(|(index, value)| self.below(&index.to_string(), Some(value)))
                .collect()),
            Some(_) => Err(self.error("must be a list")),
        }
    }

    /// A date such as `2026-06-14`, in the years the ephemerides cover.
    pub fn date(&self) -> Result<NaiveDate, FieldError> {
        let date: NaiveDate = self
            .text()?
            .parse()
            .map_err(|_| self.error("must be a date such as 2026-06-14"))?;
        self.check_year(date.year())?;
        Ok(date)
    }

    /// An instant such as `2026-06-14T23:10:00Z`.
    pub fn moment(&self) -> Result<Moment, FieldError> {
        self.parse_moment(self.text()?)
    }

    /// An instant from a text that belongs to this field.
    pub fn parse_moment(&self, text: &str) -> Result<Moment, FieldError> {
        let instant = DateTime::parse_from_rfc3339(text)
            .map_err(|_| self.error("must be an instant such as 2026-06-14T23:10:00Z"))?
            .with_timezone(&Utc);
        self.check_year(instant.year())?;
        Ok(Moment::from_utc(instant))
    }

    fn check_year(&self, year: i32) -> Result<(), FieldError> {
        if YEARS.contains(&year) {
            Ok(())
        } else {
            Err(self.error(format!("must be from {} to {}", YEARS.start(), YEARS.end())))
        }
    }
}
