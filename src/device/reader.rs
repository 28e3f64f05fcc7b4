//! The reader's side of what page and reader say to each other.
//!
//! The reader runs in a worker of its own, so that the page stays quick while a
//! tile is read, and is fetched when it is first wanted, so that the page
//! stays light. A question is an object: what is asked, or a table itself, a list of
//! files or of one text, a list of numbers, and a number by which the answer is known. The answer
//! carries a text where something is wrong, else numbers.

use std::io::{self, Read, Seek, SeekFrom};
use std::iter;

use chrono::{Datelike, NaiveDate};
use js_sys::{Array, Float64Array, Object, Reflect, Uint8Array};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Blob, DedicatedWorkerGlobalScope, File, FileReaderSync, MessageEvent};

use crate::angle::Angle;
use crate::camera::photo::PhotoFacts;
use crate::land::declination::declination;
use crate::land::ridge::Sighting;
use crate::land::skyline::{Eye, skyline, to_numbers};
use crate::land::table;
use crate::land::terrain::Terrain;
use crate::land::tile::Tile;
use crate::light::patch::Patch;
use crate::outing::code;

/// Bytes read from a file at once: each reading waits for the browser, for some
/// milliseconds.
const PIECE: u64 = 1 << 23;

/// A larger photo is refused: it would fill a phone's memory, bytes.
const LARGEST_PHOTO: u64 = 300_000_000;

const UNOPENED: &str = "the phone could not open this file";

/// Answers questions for as long as the worker lives.
pub fn serve() {
    let scope: DedicatedWorkerGlobalScope = js_sys::global().unchecked_into();
    let back = scope.clone();
    let heard = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
        let question = event.data();
        let said = Object::new();
        let put = |key: &str, value: &JsValue| {
            // a plain object takes any key
            let _ = Reflect::set(&said, &key.into(), value);
        };
        put("number", &part(&question, "number"));
        match answer(&question) {
            Ok(numbers) => put("numbers", &Float64Array::from(&numbers[..])),
            Err(why) => put("wrong", &why.into()),
        }
        // numbers and texts can always be sent
        let _ = back.post_message(&said);
    });
    scope.set_onmessage(Some(heard.as_ref().unchecked_ref()));
    heard.forget();
    // the page may ask before this program is there; it waits for this word
    let _ = scope.post_message(&JsValue::NULL);
}

fn part(of: &JsValue, key: &str) -> JsValue {
    Reflect::get(of, &key.into()).unwrap_or_default()
}

fn answer(question: &JsValue) -> Result<Vec<f64>, String> {
    let files: Vec<File> = Array::from(&part(question, "files"))
        .iter()
        .filter_map(|file| file.dyn_into().ok())
        .collect();
    let numbers = Float64Array::new(&part(question, "numbers")).to_vec();
    let number = |place: usize| numbers.get(place).copied().unwrap_or(f64::NAN);
    match part(question, "asked").as_string().as_deref() {
        Some("photo") => photo(files.first()),
        Some("skyline") => {
            let eye = Eye {
                latitude: Angle::from_degrees(number(0)),
                longitude: Angle::from_degrees(number(1)),
                height_m: Some(number(2)).filter(|height| height.is_finite()),
            };
            match files.first() {
                Some(file) if !is_tile(&file.name()) => rows(&text(file)?),
                _ => land(files, eye, number(3)),
            }
        }
        Some("patches") => Ok(patches(&numbers)),
        Some("declination") => Ok(magnetic([0, 1, 2, 3].map(number))),
        Some("code") => squares(&Array::from(&part(question, "files")).get(0)),
        table => rows(table.unwrap_or_default()),
    }
}

/// Numbers that a patch is sent as.
pub const PATCH_NUMBERS: usize = 10;

/// The seed of all pictures.
const SEED: u64 = 1;

/// Pictures of patches, one after another, a number for each byte.
fn patches(numbers: &[f64]) -> Vec<f64> {
    let picture = |fields: &[f64]| {
        let at = |place: usize| fields.get(place).copied().unwrap_or(f64::NAN);
        Patch {
            sky_e_s: at(0),
            glow_e_s: at(1),
            dark_e_s: at(2),
            read_noise_e: at(3),
            star_e_s: at(4),
            blur_px: at(5),
            trail_px: at(6),
            frames: at(7),
            frame_s: at(8),
            white_e: at(9),
        }
        .shown(SEED)
    };
    let patches = numbers.chunks(PATCH_NUMBERS).flat_map(picture);
    patches.map(f64::from).collect()
}

/// A text drawn as a code: how many squares to a side, and for each whether it
/// is dark.
fn squares(text: &JsValue) -> Result<Vec<f64>, String> {
    let code = code::draw(&text.as_string().unwrap_or_default());
    let code = code.ok_or("this link is too long for a code")?;
    let dark = code.dark.iter().map(|dark| f64::from(*dark));
    Ok(iter::once(code.side as f64).chain(dark).collect())
}

/// What a photo says: pixels, sensor and lens; not a number for what it does not.
fn photo(file: Option<&File>) -> Result<Vec<f64>, String> {
    let mut source = Source::of(file.ok_or(UNOPENED)?).ok_or(UNOPENED)?;
    if source.length > LARGEST_PHOTO {
        return Err("this file is too large to open here".to_owned());
    }
    let mut bytes = Vec::new();
    source.read_to_end(&mut bytes).map_err(|_| UNOPENED)?;
    let facts = PhotoFacts::read(&bytes).map_err(|why| why.to_string())?;
    let nothing = (f64::NAN, f64::NAN);
    let pixels = facts
        .pixels
        .map(|(across, down)| (across.into(), down.into()));
    let (pixels, size) = (pixels.unwrap_or(nothing), facts.size_mm.unwrap_or(nothing));
    let [focal, f_number] = [facts.focal_mm, facts.f_number].map(|it| it.unwrap_or(f64::NAN));
    Ok(vec![pixels.0, pixels.1, size.0, size.1, focal, f_number])
}

/// Whether a file is a tile of heights by its name; all others are tables.
fn is_tile(name: &str) -> bool {
    let end = |end: &str| {
        let start = name.len().checked_sub(end.len());
        start.is_some_and(|start| name.as_bytes()[start..].eq_ignore_ascii_case(end.as_bytes()))
    };
    end(".hgt") || end(".tif") || end(".tiff")
}

/// A file as text.
fn text(file: &File) -> Result<String, String> {
    // far longer than any table
    const MOST: u64 = 4_000_000;
    let mut bytes = Vec::new();
    let source = Source::of(file).ok_or(UNOPENED)?;
    source
        .take(MOST)
        .read_to_end(&mut bytes)
        .map_err(|_| UNOPENED)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// A table's bearings and heights in turn, degrees.
fn rows(text: &str) -> Result<Vec<f64>, String> {
    let rows = table::read(text).map_err(|why| why.to_string())?;
    let pair = |row: &Sighting| [row.bearing.degrees(), row.height.degrees()];
    Ok(rows.iter().flat_map(pair).collect())
}

/// The skyline over tiles.
fn land(files: Vec<File>, eye: Eye, bend: f64) -> Result<Vec<f64>, String> {
    let mut tiles = Vec::with_capacity(files.len());
    for file in files {
        let name = file.name();
        let bytes = Source::of(&file).ok_or(UNOPENED)?;
        tiles.push(Tile { name, bytes });
    }
    let terrain = Terrain::read(tiles, eye.latitude, eye.longitude);
    let seen = terrain.and_then(|terrain| skyline(&terrain, eye, bend));
    let seen = seen.map_err(|why| why.to_string())?;
    Ok(to_numbers(&seen))
}

/// The declination at a latitude, longitude, height and day; nothing where the model has
/// none.
fn magnetic([latitude, longitude, height_m, day]: [f64; 4]) -> Vec<f64> {
    let [latitude, longitude] = [latitude, longitude].map(Angle::from_degrees);
    let date = NaiveDate::from_num_days_from_ce_opt(day as i32);
    let found = date.and_then(|date| declination(latitude, longitude, height_m, date));
    found.map_or_else(Vec::new, |found| found.to_numbers().into())
}

/// The day of a date, as a question has it: counted from the first of our era.
pub(super) fn day(date: NaiveDate) -> f64 {
    f64::from(date.num_days_from_ce())
}

/// A file read piece by piece.
struct Source {
    blob: Blob,
    reader: FileReaderSync,
    length: u64,
    at: u64,
    /// The piece held, and where it begins.
    held: (u64, Vec<u8>),
}

impl Source {
    fn of(file: &File) -> Option<Self> {
        Some(Self {
            blob: file.clone().into(),
            reader: FileReaderSync::new().ok()?,
            length: file.size() as u64,
            at: 0,
            held: (0, Vec::new()),
        })
    }
}

impl Read for Source {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        if self.at >= self.length || into.is_empty() {
            return Ok(0);
        }
        let end = self.held.0 + self.held.1.len() as u64;
        if !(self.held.0..end).contains(&self.at) {
            let broken = |_| io::Error::other("the file cannot be read");
            let to = (self.at + PIECE).min(self.length);
            let piece = self
                .blob
                .slice_with_f64_and_f64(self.at as f64, to as f64)
                .and_then(|piece| self.reader.read_as_array_buffer(&piece))
                .map_err(broken)?;
            self.held = (self.at, Uint8Array::new(&piece).to_vec());
        }
        let held = &self.held.1[(self.at - self.held.0) as usize..];
        let count = held.len().min(into.len());
        into[..count].copy_from_slice(&held[..count]);
        self.at += count as u64;
        Ok(count)
    }
}

impl Seek for Source {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        let place = match to {
            SeekFrom::Start(place) => i64::try_from(place).ok(),
            SeekFrom::End(place) => (self.length as i64).checked_add(place),
            SeekFrom::Current(place) => (self.at as i64).checked_add(place),
        };
        match place.and_then(|place| u64::try_from(place).ok()) {
            Some(place) => {
                self.at = place;
                Ok(place)
            }
            None => Err(io::ErrorKind::InvalidInput.into()),
        }
    }
}
