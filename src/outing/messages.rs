//! Messages between the page and its worker.
//!
//! The worker is a second program beside the page: it reads photos, tables, tiles and the magnetic
//! model, and draws pictures and codes. Page and worker share no memory; they send each other
//! bytes, these types in the postcard format. Files are sent beside the bytes, as the browser's own
//! objects.
//!
//! Both programs are built together and compile this file, so the format has no version.
//! Bytes that are not a message, as a copy of another build might send, decode to `None`.
//!
//! Source of the format: *Postcard Wire Format*, version 1.0.

use chrono::NaiveDate;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use crate::angle::Angle;
use crate::astrometry::stage::Stage;
use crate::camera::photo::PhotoFacts;
use crate::land::declination::Declination;
use crate::land::skyline::Viewpoint;
use crate::land::survey::Surveyed;
use crate::light::sample_image::SampleImage;
use crate::outing::share::qr::QrCode;
use crate::outing::test_frame::report::{DecodedSize, FramePriors};

/// A request of the page.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Request {
    /// The camera data of the attached photo.
    ReadPhoto,
    /// The skyline in the attached table, or computed from the attached elevation tiles.
    ReadSkyline {
        /// The viewpoint over the tiles.
        eye: Viewpoint,
        /// Refraction coefficient: the curvature of light over the Earth's.
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
        /// The date, at 0 h.
        #[serde(with = "days")]
        date: NaiveDate,
    },
    /// Pictures of patches of sky.
    DrawSampleImages(Vec<SampleImage>),
    /// A text as a QR code.
    DrawCode(String),
    /// The attached picture of the night sky, measured.
    MeasureFrame(Box<FramePriors>),
    /// The attached photo of the clock's code.
    ReadClock(DecodedSize),
}

/// A result of the worker, one variant for each kind.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Response {
    /// To [`Request::ReadPhoto`].
    Photo(PhotoFacts),
    /// To [`Request::ReadSkyline`] and [`Request::ReadTable`].
    Skyline(Vec<Surveyed>),
    /// To [`Request::Declination`]: `None` for a date outside the model.
    Declination(Option<Declination>),
    /// To [`Request::DrawSampleImages`]: the brightness of each pixel, a picture for each patch.
    SampleImages(Vec<Vec<u8>>),
    /// To [`Request::DrawCode`].
    QrCode(QrCode),
    /// To [`Request::MeasureFrame`] and [`Request::ReadClock`]: the bytes of a
    /// [`FrameAnswer`](crate::outing::test_frame::report::FrameAnswer), which the sheet that asked
    /// decodes, so that the first load need not hold its reader.
    Frame(Vec<u8>),
}

/// A message from the page.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ToWorker {
    /// Identifies the answer.
    pub id: u32,
    /// The request.
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
        /// The result, or an error message.
        result: Result<Response, String>,
    },
    /// A stage of [`Request::MeasureFrame`] begins.
    Stage {
        /// The request's.
        id: u32,
        /// The stage.
        stage: Stage,
    },
}

/// A message as bytes; `None` when out of memory.
pub fn encode(message: &impl Serialize) -> Option<Vec<u8>> {
    postcard::to_allocvec(message).ok()
}

/// A message from bytes; `None` unless they are exactly one.
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
