//! The outing as text: the written form for storage, links and files.
//!
//! The form is a query string, such as
//! `v=1&lat=36&sensor=36x24&px=6000x4000&mm=20&f=1.8&sharp=2&keep=core`. It is short enough for an
//! address, and readable. Each key is read by itself: errors are reported, and the rest is used.
//! Keys at their default may be omitted. The table of keys is in `keys`.

mod keys;
#[cfg(test)]
mod tests;

use std::fmt::Write;

use crate::camera::lens::Projection;
use crate::outing::plan::Outing;

/// Version of the form written here. Older ones are read, newer ones unsupported.
pub const VERSION: u32 = 1;

/// Longest text parsed, bytes.
const LONGEST_TEXT: usize = 60_000;

/// Longest name of a kit or site, characters.
pub const LONGEST_NAME: usize = 40;

/// Prefix of the errors of a link that was ignored.
pub const LINK_IGNORED: &str = "The link was not taken: ";

/// Most errors reported for one text.
const MOST_ERRORS: usize = 3;

/// Longest unknown key in an error message, characters.
const LONGEST_KEY: usize = 20;

/// An outing read from text, and its errors.
#[derive(Debug, Clone, PartialEq)]
pub struct DecodedPlan {
    /// The outing; what could not be read has its default.
    pub outing: Outing,
    /// A message for each key that could not be read.
    pub errors: Vec<String>,
    /// Whether the text has another form or version, and nothing of it was used.
    pub unsupported: bool,
    /// Whether a newer version of the page wrote the text.
    pub of_newer_version: bool,
    /// Whether a known key had an invalid value, so that the outing is not the intended one.
    pub invalid: bool,
}

/// Names of all keys but the version's, in the order they are written.
pub fn key_names() -> impl Iterator<Item = &'static str> {
    keys::all().map(|key| key.name)
}

/// Writes an outing.
///
/// ```
/// use tarnlight::outing::{plan::Outing, share::query};
/// assert_eq!(
///     query::write(&Outing::default()),
///     "v=1&lat=36&sensor=36x24&px=6000x4000&mm=20&f=1.8&sharp=2&keep=core"
/// );
/// ```
pub fn write(outing: &Outing) -> String {
    let mut text = format!("v={VERSION}");
    for key in keys::all() {
        if let Some(value) = (key.write)(outing) {
            let value: String = form_urlencoded::byte_serialize(value.as_bytes()).collect();
            // writing to a String cannot fail
            let _ = write!(text, "&{}={value}", key.name);
        }
    }
    text
}

/// Reads an outing from any text.
///
/// Every key that cannot be read, and every unknown one, gives an error; a text of a newer version
/// is unsupported as a whole.
pub fn read(text: &str) -> DecodedPlan {
    let text = text.trim().trim_start_matches('#');
    if text.len() > LONGEST_TEXT {
        return unsupported_plan("this address is too long to be one of ours");
    }
    let pairs: Vec<_> = form_urlencoded::parse(text.as_bytes()).collect();
    let version = pairs.iter().find(|(name, _)| name == "v");
    match version.map(|(_, value)| value.parse::<u32>()) {
        Some(Ok(version)) if version > VERSION => {
            let why = "this was made by a newer Tarnlight; update the page to read it";
            return DecodedPlan {
                of_newer_version: true,
                ..unsupported_plan(why)
            };
        }
        Some(Ok(1..)) => {}
        _ => return unsupported_plan("this address does not say which form it has (v=1)"),
    }
    let mut outing = Outing::default();
    let mut errors = Vec::new();
    let mut invalid = false;
    let mut present = Vec::new();
    for (name, value) in pairs.iter().filter(|(name, _)| name != "v") {
        let Some(key) = keys::find(name) else {
            let name: String = name.chars().take(LONGEST_KEY).collect();
            errors.push(format!("{name}: means nothing here"));
            continue;
        };
        match (key.read)(&mut outing, value) {
            Ok(()) => present.push(key.name),
            Err(why) => {
                invalid = true;
                errors.push(format!("{}: {why}", key.name));
            }
        }
    }
    for key in keys::all() {
        if let Some(set_default) = key.absent
            && !present.contains(&key.name)
        {
            set_default(&mut outing);
        }
    }
    errors.truncate(MOST_ERRORS);
    DecodedPlan {
        outing,
        errors,
        unsupported: false,
        of_newer_version: false,
        invalid,
    }
}

/// The default outing for a text of which nothing is used.
fn unsupported_plan(why: &str) -> DecodedPlan {
    DecodedPlan {
        outing: Outing::default(),
        errors: vec![why.to_owned()],
        unsupported: true,
        of_newer_version: false,
        invalid: true,
    }
}

/// A projection's word in the written form and on the page.
pub const fn projection_word(projection: Projection) -> &'static str {
    match projection {
        Projection::Rectilinear => "rectilinear",
        Projection::Stereographic => "stereographic",
        Projection::Equidistant => "equidistant",
        Projection::Equisolid => "equisolid",
    }
}
