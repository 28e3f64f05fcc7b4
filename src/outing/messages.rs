//! What the page asks of its worker, and what the worker answers.
//!
//! The worker is a second program beside the page: it reads photos, tables, tiles and the
//! magnetic model, and draws pictures and codes. Page and worker share no memory; they send
//! each other bytes, which are these types in the postcard format. Files do not go through
//! that: a message's files travel beside its bytes, as the browser's own objects.
//!
//! Both programs are built together and compile this file, so the format has no version.
//! Bytes that are not a message, as a copy of another build might send, decode to `None`.
//!
//! Source of the format: *Postcard Wire Format*, version 1.0.

use chrono::NaiveDate;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use crate::angle::Angle;
use crate::camera::photo::PhotoFacts;
use crate::land::declination::Declination;
use crate::land::skyline::Viewpoint;
use crate::land::survey::Surveyed;
use crate::light::patch::Patch;
use crate::outing::share::qr::QrCode;

/// What the page can ask.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Request {
    /// What the photo beside says of its camera.
    ReadPhoto,
    /// The skyline in the table beside, or as seen over the tiles of heights beside.
    ReadSkyline {
        /// Where the tiles are looked over from.
        eye: Viewpoint,
        /// Bend of light along the ground: the share of the Earth's curve it follows.
        bend: f64,
    },
    /// The skyline in the text of a table.
    ReadTable(String),
    /// The magnetic declination.
    Declination {
        /// Latitude, north positive (WGS84).
        latitude: Angle,
        /// Longitude, east positive (WGS84).
        longitude: Angle,
        /// Height above the sea, m.
        height_m: f64,
        /// The date at whose first hour it is asked for.
        #[serde(with = "days")]
        date: NaiveDate,
    },
    /// Pictures of patches of sky.
    DrawPatches(Vec<Patch>),
    /// A text as a code.
    DrawCode(String),
}

/// What the worker found, one variant for each kind of result.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Response {
    /// To [`Request::ReadPhoto`].
    Photo(PhotoFacts),
    /// To [`Request::ReadSkyline`] and [`Request::ReadTable`].
    Skyline(Vec<Surveyed>),
    /// To [`Request::Declination`]: `None` for a date the model does not hold for.
    Declination(Option<Declination>),
    /// To [`Request::DrawPatches`]: the brightness of each pixel, a picture for each patch.
    Patches(Vec<Vec<u8>>),
    /// To [`Request::DrawCode`].
    QrCode(QrCode),
}

/// A message from the page.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ToWorker {
    /// By which the page knows the answer.
    pub id: u32,
    /// What is asked.
    pub request: Request,
}

/// A message from the worker.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum FromWorker {
    /// The worker has started and takes requests.
    Ready,
    /// The answer to a request.
    Answer {
        /// The request's.
        id: u32,
        /// What was found, or a sentence that says why there is nothing.
        result: Result<Response, String>,
    },
}

/// A message as bytes; `None` where memory does not suffice.
pub fn encode(message: &impl Serialize) -> Option<Vec<u8>> {
    postcard::to_allocvec(message).ok()
}

/// A message from bytes; `None` where they are not one, from the first to the last.
pub fn decode<T: DeserializeOwned>(bytes: &[u8]) -> Option<T> {
    let (message, rest) = postcard::take_from_bytes(bytes).ok()?;
    rest.is_empty().then_some(message)
}

/// A date as the number of its day, counted from 1 January of the year 1: without the text
/// that chrono's own serialisation writes and parses.
mod days {
    use chrono::{Datelike, NaiveDate};
    use serde::de::Error;
    use serde::{Deserialize, Deserializer, Serializer};

    pub fn serialize<S: Serializer>(date: &NaiveDate, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_i32(date.num_days_from_ce())
    }

    pub fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<NaiveDate, D::Error> {
        let day = i32::deserialize(from)?;
        NaiveDate::from_num_days_from_ce_opt(day).ok_or_else(|| D::Error::custom("no such day"))
    }
}
