//! Outings, kits and sites as a text file, to be shared.
//!
//! The first line is the format and its version, `tarnlight 1`; every other line is a word and the
//! written form of one item:
//!
//! ```text
//! tarnlight 1
//! kit v=1&lat=36&sensor=36x24&px=6000x4000&mm=20&f=1.8&sharp=2&keep=core
//! site v=1&lat=46.52&lon=9.91&sensor=36x24&px=6000x4000&mm=20&f=1.8&sharp=2&keep=core
//! ```
//!
//! A line that cannot be read is reported, and the rest is used. A bare written form or a link in
//! place of a file is read as an outing.

use crate::outing::plan::Outing;
use crate::outing::plan::kit::{Kit, MOST_KITS};
use crate::outing::plan::site::{MOST_SITES, Site};
use crate::outing::share::query::{self, DecodedPlan};

/// Version of the file written here. Older ones are read, newer ones unsupported.
pub const VERSION: u32 = 1;

/// Largest file read, bytes: thirty sites with the finest skylines take a million and a half.
pub const MOST_BYTES: usize = 2_000_000;

/// Error message for a larger one.
pub const TOO_LARGE: &str = "this file is too large to be one of ours";

/// Most errors reported for one file.
const MOST_ERRORS: usize = 4;

/// The word at the start of a file.
const NAME: &str = "tarnlight";

/// The contents of a file.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SharedFile {
    /// An outing, if any.
    pub outing: Option<Outing>,
    /// Kits, newest first; at most [`MOST_KITS`].
    pub kits: Vec<Kit>,
    /// Sites, newest first; at most [`MOST_SITES`].
    pub sites: Vec<Site>,
    /// Messages for what could not be read; a few at most.
    pub errors: Vec<String>,
}

/// A kit as a line: an otherwise default outing with it.
pub fn kit_line(kit: &Kit) -> String {
    query::write(&Outing {
        kit: kit.clone(),
        f_number: kit.lens.f_number,
        ..Outing::default()
    })
}

/// A site as a line: an otherwise default outing with it.
pub fn site_line(site: &Site) -> String {
    query::write(&Outing {
        site: site.clone(),
        ..Outing::default()
    })
}

/// A file with an outing.
///
/// ```
/// use tarnlight::outing::{plan::Outing, share::file};
/// let text = file::write_outing(&Outing::default());
/// assert!(text.starts_with("tarnlight 1\nouting v=1&"));
/// assert_eq!(file::read(&text).unwrap().outing, Some(Outing::default()));
/// ```
pub fn write_outing(outing: &Outing) -> String {
    let mut file = start();
    put(&mut file, "outing", &query::write(outing));
    file
}

/// A file with kits and sites.
pub fn write_lists(kits: &[Kit], sites: &[Site]) -> String {
    let mut file = start();
    for kit in kits {
        put(&mut file, "kit", &kit_line(kit));
    }
    for site in sites {
        put(&mut file, "site", &site_line(site));
    }
    file
}

fn start() -> String {
    format!("{NAME} {VERSION}\n")
}

fn put(file: &mut String, word: &str, line: &str) {
    file.push_str(word);
    file.push(' ');
    file.push_str(line);
    file.push('\n');
}

/// Reads any text: a file, a written form, or a link.
///
/// Fails where nothing of it was used.
pub fn read(text: &str) -> Result<SharedFile, String> {
    if text.len() > MOST_BYTES {
        return Err(TOO_LARGE.to_owned());
    }
    let text = text.trim_start_matches('\u{feff}').trim();
    let (first, rest) = text.split_once('\n').unwrap_or((text, ""));
    // an address may begin with the same word
    let is_separated = |after: &&str| after.is_empty() || after.starts_with(char::is_whitespace);
    let Some(version) = first.trim().strip_prefix(NAME).filter(is_separated) else {
        return read_bare(text);
    };
    match version.trim().parse::<u32>() {
        Ok(version) if version > VERSION => {
            return Err(
                "this file was made by a newer Tarnlight; update the page to read it".to_owned(),
            );
        }
        Ok(1..) => {}
        _ => return Err("this file does not say which form it has (tarnlight 1)".to_owned()),
    }
    let mut bundle = SharedFile::default();
    let mut message = Vec::new();
    for (place, line) in rest.lines().enumerate() {
        let line = line.trim();
        if line.is_empty() {
            continue;
        }
        if let Err(why) = take(&mut bundle, line) {
            // lines are counted from one, and the first is the file's name
            message.push(format!("line {}: {why}", place + 2));
        }
    }
    let left = message.len().saturating_sub(MOST_ERRORS);
    message.truncate(MOST_ERRORS);
    if left > 0 {
        message.push(format!("and more of the like: {left}"));
    }
    bundle.errors = message;
    Ok(bundle)
}

/// Reads one line; fails where not all of it was used.
fn take(bundle: &mut SharedFile, line: &str) -> Result<(), String> {
    let (word, form) = line.split_once(' ').unwrap_or((line, ""));
    let full = match word {
        "outing" => bundle.outing.is_some(),
        "kit" => bundle.kits.len() >= MOST_KITS,
        "site" => bundle.sites.len() >= MOST_SITES,
        _ => {
            let word: String = word.chars().take(20).collect();
            return Err(format!("{word} means nothing here"));
        }
    };
    if full {
        return Err(match word {
            "outing" => "a second outing; the first one stands".to_owned(),
            _ => format!("too many; at most {MOST_KITS} {word}s are kept"),
        });
    }
    let DecodedPlan {
        outing,
        mut errors,
        invalid,
        ..
    } = query::read(form);
    if !invalid {
        match word {
            "outing" => bundle.outing = Some(outing),
            "kit" => bundle.kits.push(outing.kit),
            _ => bundle.sites.push(outing.site),
        }
    }
    // only the first error of a line is reported
    errors.drain(..).next().map_or(Ok(()), Err)
}

/// Whether a text has a version.
fn versioned(form: &str) -> bool {
    form.split('&').any(|pair| pair.starts_with("v="))
}

/// A text that is not a file: a link or a bare written form.
fn read_bare(text: &str) -> Result<SharedFile, String> {
    // text around a link is ignored, also with a number sign
    let form = match text.split('#').skip(1).find(|after| versioned(after)) {
        Some(after) => after.split_whitespace().next().unwrap_or_default(),
        None => text.lines().next().unwrap_or_default(),
    };
    if !versioned(form) {
        return Err("this is neither a file of ours nor a link to an outing".to_owned());
    }
    let DecodedPlan {
        outing,
        errors,
        unsupported,
        invalid,
        of_newer_version: _,
    } = query::read(form);
    // a corrupted outing is not used
    if unsupported {
        return Err(errors.concat());
    }
    if invalid {
        return Err(query::LINK_IGNORED.to_owned() + &errors.join("; "));
    }
    Ok(SharedFile {
        outing: Some(outing),
        errors,
        ..SharedFile::default()
    })
}

/// Counts of an import.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct ImportCounts {
    /// Imported.
    pub new: usize,
    /// Existing already.
    pub existing: usize,
    /// Dropped for lack of room.
    pub no_room: usize,
}

/// Chooses what to import, in its order and before existing items; existing items are not
/// duplicated and never removed. `existing` and `incoming` are the lines of each; returns the
/// indices in `incoming` to import.
pub fn new_items(
    existing: &[String],
    incoming: &[String],
    most: usize,
) -> (Vec<usize>, ImportCounts) {
    let mut places: Vec<usize> = Vec::new();
    let mut counts = ImportCounts::default();
    for (place, line) in incoming.iter().enumerate() {
        if existing.contains(line) || incoming[..place].contains(line) {
            counts.existing += 1;
        } else if existing.len() + places.len() < most {
            places.push(place);
        } else {
            counts.no_room += 1;
        }
    }
    counts.new = places.len();
    (places, counts)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kit(name: &str) -> Kit {
        Kit {
            name: name.to_owned(),
            ..Kit::default()
        }
    }

    fn site(name: &str) -> Site {
        Site {
            name: name.to_owned(),
            ..Site::default()
        }
    }

    #[test]
    fn what_is_written_is_read() {
        let kits = [kit("old & odd, 100 % “fish” #1"), kit("")];
        let sites = [site("tarn\nkit v=1"), site("ridge")];
        let bundle = read(&write_lists(&kits, &sites)).expect("ours");
        assert_eq!(bundle.kits, kits);
        assert_eq!(bundle.sites, sites, "a name makes no line of its own");
        assert_eq!((bundle.outing, bundle.errors), (None, Vec::new()));
        let empty = read(&write_lists(&[], &[])).expect("ours");
        assert_eq!(empty, SharedFile::default());
    }

    #[test]
    fn lines_that_mean_nothing_are_named_and_the_rest_stands() {
        let file = "\u{feff}tarnlight 1\r\n\r\nboat v=1\r\nkit v=1&mm=35&colour=blue\r\n\
                    site v=2\r\nouting v=1&mm=85\r\nouting v=1&mm=24\r\nkit\r\n";
        let bundle = read(file).expect("ours");
        assert_eq!(
            bundle.errors,
            [
                "line 3: boat means nothing here",
                "line 4: colour: means nothing here",
                "line 5: this was made by a newer Tarnlight; update the page to read it",
                "line 7: a second outing; the first one stands",
                "and more of the like: 1",
            ]
        );
        assert_eq!(bundle.kits.len(), 1);
        assert_eq!(bundle.kits[0].lens.focal_mm, 35.0);
        assert_eq!(bundle.sites, []);
        assert_eq!(bundle.outing.expect("an outing").kit.lens.focal_mm, 85.0);
    }

    #[test]
    fn a_form_or_a_link_is_an_outing() {
        for text in [
            "v=1&mm=35",
            "  v=1&mm=35\n",
            "#v=1&mm=35",
            "https://example.org/night/#v=1&mm=35",
            "Look: https://example.org/night/#v=1&mm=35 – at ten?\nBye",
            "Car park #2, https://example.org/night/#v=1&mm=35",
            "https://example.org/#lat=36&v=1&mm=35",
            "tarnlight.example/#v=1&mm=35",
            "tarnlight: https://example.org/#v=1&mm=35",
        ] {
            let bundle = read(text).expect(text);
            let outing = bundle.outing.expect(text);
            assert_eq!(outing.kit.lens.focal_mm, 35.0, "{text}");
            assert_eq!(bundle.errors, Vec::<String>::new(), "{text}");
        }
    }

    #[test]
    fn newer_foreign_and_huge_texts_are_refused_in_words() {
        for (text, message) in [
            ("tarnlight 2\nkit v=1", "newer Tarnlight"),
            ("tarnlight\nkit v=1", "does not say which form"),
            ("tarnlight 0", "does not say which form"),
            ("tarnlight −1", "does not say which form"),
            ("v=2&mm=35", "newer Tarnlight"),
            ("https://example.org/#v=9", "newer Tarnlight"),
            ("https://example.org/#v=1&mm=20&lat=999", "latitude must be"),
            ("v=1&mm=0&night=2026-02-31", "must be"),
            ("", "neither a file"),
            ("<html>", "neither a file"),
            (&"x".repeat(MOST_BYTES + 1), "too large"),
        ] {
            let why = read(text).expect_err("unsupported");
            assert!(why.contains(message), "{text:.40}: {why}");
        }
    }

    #[test]
    fn a_file_fills_no_more_than_there_is_room_for() {
        let kits: Vec<_> = (0..MOST_KITS + 2).map(|n| kit(&n.to_string())).collect();
        let bundle = read(&write_lists(&kits, &[])).expect("ours");
        assert_eq!(bundle.kits, kits[..MOST_KITS]);
        assert_eq!(bundle.errors.len(), 2);
        assert!(bundle.errors[0].contains("at most 30 kits"));
    }

    #[test]
    fn the_largest_file_written_is_read() {
        use crate::angle::Angle;
        use crate::land::ridge::{MOST_SIGHTINGS, RidgeLine, Sighting};
        let finest = (0..MOST_SIGHTINGS).map(|tenths| Sighting {
            bearing: Angle::from_degrees(tenths as f64 / 10.0),
            height: Angle::from_degrees(-9.99),
        });
        let mut finest = Site {
            ridge: RidgeLine::new(Angle::ZERO, finest),
            ..site(&"☃".repeat(query::LONGEST_NAME))
        };
        let sites: Vec<_> = (0..MOST_SITES)
            .map(|number| {
                finest.height_m = number as f64;
                finest.clone()
            })
            .collect();
        let kits: Vec<_> = (0..MOST_KITS).map(|n| kit(&n.to_string())).collect();
        let file = write_lists(&kits, &sites);
        let bundle = read(&file).expect("ours");
        assert_eq!(bundle.errors, Vec::<String>::new(), "{} B", file.len());
        assert_eq!((bundle.kits.len(), bundle.sites.len()), (30, 30));
    }

    #[test]
    fn newcomers_come_first_and_push_nobody_out() {
        let lines = |words: &[&str]| words.iter().map(|&word| word.to_owned()).collect();
        let existing: Vec<String> = lines(&["a", "b"]);
        let incoming: Vec<String> = lines(&["c", "a", "c", "d", "e"]);
        let (places, counts) = new_items(&existing, &incoming, 4);
        assert_eq!(places, [0, 3]);
        let wanted = ImportCounts {
            new: 2,
            existing: 2,
            no_room: 1,
        };
        assert_eq!(counts, wanted);
        assert_eq!(new_items(&incoming, &incoming, 4).1.new, 0);
    }
}
