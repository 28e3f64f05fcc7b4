//! What was timed, where, and how long it took.

use serde_json::{Value, json};

/// Where something is timed: a column of the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Column {
    /// This machine's own code.
    Native,
    /// A page in Chromium, as fast as the machine is.
    Chromium,
    /// The same with the page's scripts slowed four times.
    SlowedFour,
    /// The same with the page's scripts slowed six times.
    SlowedSix,
}

impl Column {
    /// All columns, from left to right.
    pub const ALL: [Self; 4] = [
        Self::Native,
        Self::Chromium,
        Self::SlowedFour,
        Self::SlowedSix,
    ];

    /// Its name, in the table and in files.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Native => "native",
            Self::Chromium => "Chromium",
            Self::SlowedFour => "Chromium ×4",
            Self::SlowedSix => "Chromium ×6",
        }
    }
}

/// Units of time in seconds, from the shortest.
const UNITS: [(&str, f64); 4] = [("ns", 1e-9), ("µs", 1e-6), ("ms", 1e-3), ("s", 1.0)];

/// A time in seconds, from a number and its unit.
pub fn seconds(value: f64, unit: &str) -> Option<f64> {
    let (_, unit_s) = UNITS.iter().find(|(name, _)| *name == unit)?;
    let seconds = value * unit_s;
    (seconds.is_finite() && seconds > 0.0).then_some(seconds)
}

/// A time as a number and the longest unit in which it is at least one.
fn scaled(seconds: f64) -> (f64, &'static str) {
    let fitting = UNITS.iter().rev().find(|(_, unit_s)| seconds >= *unit_s);
    let (name, unit_s) = fitting.unwrap_or(&UNITS[0]);
    (seconds / unit_s, name)
}

/// A time to three digits, with its unit.
pub fn words(seconds: f64) -> String {
    let (value, unit) = scaled(seconds);
    let decimals = if value < 10.0 {
        2
    } else {
        usize::from(value < 100.0)
    };
    format!("{value:.decimals$} {unit}")
}

/// One figure.
#[derive(Debug, Clone, PartialEq)]
pub struct Timing {
    /// What was timed: a row of the table.
    pub name: String,
    /// Where.
    pub column: Column,
    /// How long it took, s; more than 0.
    pub seconds: f64,
}

impl Timing {
    /// As it stands in a file; `None` for anything else.
    pub fn from_json(value: &Value) -> Option<Self> {
        let column = value["column"].as_str()?;
        Some(Self {
            name: value["name"].as_str()?.to_owned(),
            column: Column::ALL.into_iter().find(|it| it.name() == column)?,
            seconds: seconds(value["value"].as_f64()?, value["unit"].as_str()?)?,
        })
    }

    /// As it stands in a file, to a thousandth of its unit.
    pub fn to_json(&self) -> Value {
        let (value, unit) = scaled(self.seconds);
        let value = (value * 1000.0).round() / 1000.0;
        json!({"name": self.name, "column": self.column.name(), "unit": unit, "value": value})
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_timing_is_written_and_read() {
        for (seconds, text) in [
            (1.234_56e-7, "123 ns"),
            (3.051e-4, "305 µs"),
            (0.012_34, "12.3 ms"),
            (1.499, "1.50 s"),
            (75.0, "75.0 s"),
        ] {
            assert_eq!(words(seconds), text);
            let timing = Timing {
                name: "a press".to_owned(),
                column: Column::SlowedFour,
                seconds,
            };
            let read = Timing::from_json(&timing.to_json()).expect("it is whole");
            assert_eq!((read.name, read.column), (timing.name, timing.column));
            let miss = (read.seconds / seconds - 1.0).abs();
            assert!(miss < 1e-3, "{} s, want {seconds} s", read.seconds);
        }
    }

    #[test]
    fn what_is_no_timing_is_none() {
        let whole = json!({"name": "a", "column": "native", "unit": "ms", "value": 1.0});
        assert!(Timing::from_json(&whole).is_some());
        for (key, wrong) in [
            ("name", Value::Null),
            ("column", json!("elsewhere")),
            ("unit", json!("fortnights")),
            ("value", json!(-1.0)),
        ] {
            let mut broken = whole.clone();
            broken[key] = wrong;
            assert_eq!(Timing::from_json(&broken), None, "{key}");
        }
    }
}
