//! The table of keys: each key of the written form once, with its writer and its reader.
//!
//! The files beside this one group the keys by subject. In each of them a check that
//! names every field of the plan's types does not compile once a field is added, so that
//! a new input cannot be left out of the written form.

mod kit;
mod night;
mod picture;
mod site;
mod tracking;

use crate::decimal::plain;
use crate::outing::plan::Outing;

/// One key of the written form.
#[derive(Debug)]
pub struct Key {
    /// The key's name, before the equals sign.
    pub name: &'static str,
    /// The value as text; `None` where it has its default and is left out.
    pub write: fn(&Outing) -> Option<String>,
    /// Reads the value from text into the outing, or returns an error message.
    pub read: fn(&mut Outing, &str) -> Result<(), String>,
    /// Sets the default of a key that is absent or cannot be read, after all others have
    /// been read; `None` where the default does not depend on other keys.
    pub absent: Option<fn(&mut Outing)>,
}

impl Key {
    /// A key whose default does not depend on other keys.
    const fn new(
        name: &'static str,
        write: fn(&Outing) -> Option<String>,
        read: fn(&mut Outing, &str) -> Result<(), String>,
    ) -> Self {
        Self {
            name,
            write,
            read,
            absent: None,
        }
    }

    /// The same key with a default that depends on other keys.
    const fn with_default(self, absent: fn(&mut Outing)) -> Self {
        Self {
            absent: Some(absent),
            ..self
        }
    }
}

/// All keys in the order they are written. The order is part of the written form: texts
/// of equal outings are equal, and `gaps` is read into the line of `line`.
const GROUPS: &[&[Key]] = &[
    site::POSITION,
    kit::SENSOR_AND_FOCAL_LENGTH,
    picture::SHARPNESS,
    kit::LENS,
    picture::FOCUS,
    site::PLACE_AND_SKYLINE,
    picture::FRAME,
    night::LIMITS_AND_TIME,
    kit::NAME,
    site::SKY,
    picture::EXPOSURE,
    tracking::MOUNT,
    site::WEATHER,
    kit::MEASURED,
];

/// All keys in the order they are written.
pub fn all() -> impl Iterator<Item = &'static Key> {
    GROUPS.iter().copied().flatten()
}

/// The key of this name.
pub fn find(name: &str) -> Option<&'static Key> {
    all().find(|key| key.name == name)
}

/// Sets a field to a value that was read.
fn set<T>(field: &mut T, value: Result<T, String>) -> Result<(), String> {
    *field = value?;
    Ok(())
}

/// Sets an optional field.
fn set_some<T>(field: &mut Option<T>, value: Result<T, String>) -> Result<(), String> {
    set(field, value.map(Some))
}

/// A number, unless it is written like the default.
fn unless(default: f64, value: f64) -> Option<String> {
    let written = plain(value);
    (written != plain(default)).then_some(written)
}

/// Two numbers separated by an underscore: `1.5_2.75`.
fn pair_text(first: f64, second: f64) -> String {
    format!("{}_{}", plain(first), plain(second))
}

/// Two values separated by an underscore.
fn pair<'a>(text: &'a str, example: &str) -> Result<(&'a str, &'a str), String> {
    text.split_once('_')
        .ok_or_else(|| format!("must be two numbers such as {example}"))
}

/// Two values separated by an x.
fn by(text: &str) -> Result<(&str, &str), String> {
    text.split_once('x')
        .ok_or_else(|| "must be two numbers such as 36x24".to_owned())
}

/// A name, cut to the length kept; `None` for an empty one.
fn name_text(name: &str) -> Option<String> {
    (!name.is_empty()).then(|| cut_name(name))
}

/// A name cut to the length kept.
fn cut_name(name: &str) -> String {
    name.chars().take(super::LONGEST_NAME).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    /// A second key of one name would never be read.
    #[test]
    fn no_name_stands_twice() {
        let mut names = BTreeSet::from(["v"]);
        for key in all() {
            assert!(names.insert(key.name), "{}", key.name);
        }
    }
}
