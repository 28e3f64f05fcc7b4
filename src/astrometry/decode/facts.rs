//! What the camera wrote about a frame: its clock, the exposure and the lens's marked focal length.

use chrono::{FixedOffset, NaiveDate, NaiveDateTime};
use exif::{DateTime, Field, In, Tag, Value};

use super::orientation::Orientation;
use crate::camera::photo::{PhotoFacts, read_exif_fields};

/// Minutes to seconds.
const SECONDS_PER_MINUTE: i32 = 60;

/// The camera's clock when the shutter opened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ClockTime {
    /// Date and time as the clock showed them, to the millisecond where the file has it.
    pub local: NaiveDateTime,
    /// What the clock was ahead of UTC; `None` where the file does not say.
    pub offset: Option<FixedOffset>,
}

/// What a file says about its frame; `None` where it does not.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FrameFacts {
    /// The camera's clock.
    pub taken: Option<ClockTime>,
    /// Exposure time, s.
    pub exposure_s: Option<f64>,
    /// ISO speed.
    pub iso: Option<f64>,
    /// Sensor and lens: size and pixels (longer side first), focal length as marked, f-number.
    pub photo: PhotoFacts,
    /// How the stored picture was turned to stand upright; done already to the decoded picture.
    pub orientation: Orientation,
    /// Whether the picture has half as many pixels across and down as the file, which has too many
    /// to be measured.
    pub halved: bool,
}

impl FrameFacts {
    /// Reads the EXIF data of a JPEG, PNG, TIFF or TIFF-based raw file; without any, all is `None`.
    pub fn read(bytes: &[u8]) -> Self {
        let Some(fields) = read_exif_fields(bytes) else {
            return Self::default();
        };
        Self {
            taken: taken(&fields),
            exposure_s: positive(number(&fields, Tag::ExposureTime)),
            iso: positive(number(&fields, Tag::PhotographicSensitivity)),
            photo: PhotoFacts::from_fields(&fields),
            orientation: find(&fields, Tag::Orientation)
                .and_then(|field| field.value.get_uint(0))
                .map(Orientation::from_tag)
                .unwrap_or_default(),
            halved: false,
        }
    }
}

fn find(fields: &[Field], tag: Tag) -> Option<&Field> {
    fields
        .iter()
        .find(|field| field.tag == tag && field.ifd_num == In::PRIMARY)
}

fn number(fields: &[Field], tag: Tag) -> Option<f64> {
    match &find(fields, tag)?.value {
        Value::Rational(list) => list.first().map(exif::Rational::to_f64),
        other => other.get_uint(0).map(f64::from),
    }
}

fn positive(value: Option<f64>) -> Option<f64> {
    value.filter(|value| *value > 0.0 && value.is_finite())
}

fn text(fields: &[Field], tag: Tag) -> Option<&[u8]> {
    match &find(fields, tag)?.value {
        Value::Ascii(list) => list.first().map(Vec::as_slice),
        _ => None,
    }
}

fn taken(fields: &[Field]) -> Option<ClockTime> {
    let mut time = DateTime::from_ascii(text(fields, Tag::DateTimeOriginal)?).ok()?;
    // what cannot be read of the fraction and the offset is as if it were not there
    if let Some(fraction) = text(fields, Tag::SubSecTimeOriginal) {
        let _ = time.parse_subsec(fraction);
    }
    let offset = text(fields, Tag::OffsetTimeOriginal).or_else(|| text(fields, Tag::OffsetTime));
    if let Some(offset) = offset {
        let _ = time.parse_offset(offset);
    }
    let milliseconds = time.nanosecond.unwrap_or(0) / 1_000_000;
    let local = NaiveDate::from_ymd_opt(
        i32::from(time.year),
        u32::from(time.month),
        u32::from(time.day),
    )?
    .and_hms_milli_opt(
        u32::from(time.hour),
        u32::from(time.minute),
        u32::from(time.second),
        milliseconds,
    )?;
    let offset = time
        .offset
        .and_then(|minutes| FixedOffset::east_opt(i32::from(minutes) * SECONDS_PER_MINUTE));
    Some(ClockTime { local, offset })
}
