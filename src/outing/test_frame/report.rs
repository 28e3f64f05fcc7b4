//! What the worker is asked about a frame, and what it reports.

use serde::{Deserialize, Serialize};

use super::border::BorderPoint;
use crate::angle::Angle;
use crate::astrometry::cause::Cause;
use crate::astrometry::knock::Knock;
use crate::astrometry::solution::NoSolution;
use crate::astrometry::strokes::Zone;
use crate::astrometry::verdict::Verdict;
use crate::camera::lens::Projection;
use crate::camera::sensor::Sensor;
use crate::sky::observer::GeoPosition;

/// Width and height of a picture that the browser decoded because the worker could not, px. Its
/// pixels are sent as a second file beside the picture's own.
pub type DecodedSize = Option<(u32, u32)>;

/// What the outing knows about a frame beforehand.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct FramePriors {
    /// Longer and shorter side of the kit's sensor, mm.
    pub sensor_mm: (f64, f64),
    /// The kit's focal length, mm; for files that have none.
    pub focal_mm: f64,
    /// Where it was taken, if that is known.
    pub site: Option<GeoPosition>,
    /// What the camera's clock is ahead of UTC, s; `None` where that was never measured.
    pub clock_ahead_s: Option<f64>,
    /// What the photographer said the clock is ahead of UTC in this picture, s.
    pub said_ahead_s: Option<f64>,
    /// See [`DecodedSize`].
    pub decoded: DecodedSize,
}

/// The worker's answer about a file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum FrameAnswer {
    /// A frame was measured.
    Measured(Box<FrameReport>),
    /// The code in a picture was read.
    Clock(ClockReading),
    /// The file is of a kind that the worker does not decode, though the browser may; with a
    /// sentence.
    Undecoded(String),
}

/// A camera's clock against the code it photographed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ClockReading {
    /// What the camera's clock was ahead of UTC, s; to one second.
    pub ahead_s: f64,
    /// The second that the code held, UTC since 1970.
    pub utc_s: i64,
}

/// What the camera wrote.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct CameraNotes {
    /// Its clock when the shutter opened, ms since 1970 began by the same clock.
    pub taken_ms: Option<i64>,
    /// What that clock was ahead of UTC by the file, minutes.
    pub offset_min: Option<i32>,
    /// Exposure time, s.
    pub exposure_s: Option<f64>,
    /// Focal length as marked, mm.
    pub focal_mm: Option<f64>,
    /// Longer and shorter side of the sensor by the file, mm.
    pub sensor_mm: Option<(f64, f64)>,
    /// f-number.
    pub f_number: Option<f64>,
    /// ISO speed.
    pub iso: Option<f64>,
    /// Whether the picture was halved to be measured, since it has too many pixels.
    pub halved: bool,
}

/// How the moment of a frame is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum TimeSource {
    /// The file has no time.
    None,
    /// The file has a time of which nobody knows the zone.
    UnknownZone,
    /// The photographer said how the clock stands.
    Said,
    /// By the offset in the file.
    File,
    /// By the offset in the file, corrected by the clock's measured error.
    FileCorrected,
    /// By the clock as it was measured.
    Measured,
}

/// What a frame shows.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FrameReport {
    /// Width and height of the upright picture, px.
    pub size_px: (u32, u32),
    /// Stars found.
    pub found: u32,
    /// The brightest stars found and identified; where none was, the brightest found.
    pub stars: Vec<(f32, f32)>,
    /// Middle and corners, as far as there are stars or predictions.
    pub zones: Vec<ZoneReport>,
    /// Lens and pointing.
    pub solution: Result<SolvedFrame, NoSolution>,
    /// The border of sky and ground in the picture, px.
    pub border: Vec<BorderPoint>,
    /// True bearing and apparent altitude of the skyline.
    pub skyline: Vec<(Angle, Angle)>,
    /// What explains the stars.
    pub verdict: Verdict,
    /// What made them other than the turning sky does, the weightiest first, two at most.
    pub causes: Vec<Cause>,
    /// By how much the camera moved, px.
    pub moved_px: Option<f64>,
    /// The second image of each star that it left, where there is one.
    pub knock: Option<Knock>,
    /// What the camera wrote.
    pub notes: CameraNotes,
    /// How the moment is known.
    pub time: TimeSource,
    /// The moment when the shutter opened, ms since 1970, UTC.
    pub start_ms: Option<i64>,
}

impl FrameReport {
    /// How many pixels of a sensor a pixel of the picture is long, by the longer sides of both: the
    /// picture may have been made smaller.
    pub fn pixel_ratio(&self, sensor: Sensor) -> f64 {
        let (width, height) = self.size_px;
        let sensor_px = sensor.pixels_across.max(sensor.pixels_down);
        f64::from(sensor_px) / f64::from(width.max(height).max(1))
    }
}

/// A straight stroke.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Stroke {
    /// Length, px.
    pub length_px: f64,
    /// Direction from the picture's right, anticlockwise as seen.
    pub angle: Angle,
}

/// The stars of a part of the picture.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ZoneReport {
    /// Which part.
    pub zone: Zone,
    /// Its place, px.
    pub at: (f32, f32),
    /// What was measured.
    pub measured: Option<ZoneStars>,
    /// The stroke that the turning sky draws there.
    pub predicted: Option<Stroke>,
}

/// Measured stars.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ZoneStars {
    /// Their stroke.
    pub stroke: Stroke,
    /// Whether it is too short to be told from a star's own shape.
    pub short: bool,
    /// Full width at half maximum, or a disc's diameter, px.
    pub width_px: f64,
    /// Whether they are discs.
    pub discs: bool,
    /// One of them.
    pub crop: Option<StarCrop>,
}

/// A star pixel by pixel.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct StarCrop {
    /// Pixels along a side, an odd number; the star is in the middle one.
    pub side: u32,
    /// Light over that of the brightest pixel, 0 to 255, row by row from the upper left.
    pub light: Vec<u8>,
}

/// A solved frame.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct SolvedFrame {
    /// Stars identified.
    pub matched: u32,
    /// Root mean square of their distances from where they should be, px.
    pub rms_px: f64,
    /// Projection.
    pub projection: Projection,
    /// True focal length, mm, and the distortion, by half diagonals; `None` where it is not known
    /// that the kit's sensor took the whole picture.
    pub lens: Option<MeasuredLens>,
    /// Right ascension and declination of the picture's middle, ICRS.
    pub middle: Option<(Angle, Angle)>,
    /// Where the camera pointed, where site and moment are known.
    pub aim: Option<Aim>,
}

/// The lens as the stars show it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct MeasuredLens {
    /// True focal length, mm.
    pub focal_mm: f64,
    /// Distortion.
    pub k1: f64,
    /// Distortion.
    pub k2: f64,
}

/// Where the camera pointed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Aim {
    /// True bearing of the picture's middle.
    pub bearing: Angle,
    /// Its apparent altitude.
    pub altitude: Angle,
    /// Turn about the axis, clockwise as seen from behind the camera.
    pub roll: Angle,
}
