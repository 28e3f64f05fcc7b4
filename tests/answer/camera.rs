//! The camera of a question and where it points.

use tarnlight::camera::distortion::Distortion;
use tarnlight::camera::frame::Frame;
use tarnlight::camera::lens::{Lens, Projection};
use tarnlight::camera::sensor::Sensor;

use super::field::{Field, FieldError};

/// The words for projections.
pub const PROJECTIONS: [(&str, Projection); 4] = [
    ("rectilinear", Projection::Rectilinear),
    ("stereographic", Projection::Stereographic),
    ("equidistant", Projection::Equidistant),
    ("equisolid", Projection::Equisolid),
];

/// A camera and its frame.
pub struct Camera {
    pub sensor: Sensor,
    pub lens: Lens,
    pub frame: Frame,
    /// As given: the sensor's own follows from whole pixels.
    pub pitch_um: f64,
}

/// Reads `camera` and `pointing`.
pub fn camera(question: &Field) -> Result<Camera, FieldError> {
    let camera = question.at("camera");
    let pitch_um = camera.at("pixel_pitch_um").number(0.1..=1000.0)?;
    let width_mm = camera.at("sensor_w_mm").number(0.1..=1000.0)?;
    let height_mm = camera.at("sensor_h_mm").number(0.1..=1000.0)?;
    // the pitch is given rounded; nothing in micrometres depends on whole pixels
    let pixels = |side_mm: f64| (1000.0 * side_mm / pitch_um).round().max(1.0) as u32;
    let sensor = Sensor {
        width_mm,
        height_mm,
        pixels_across: pixels(width_mm),
        pixels_down: pixels(height_mm),
    };
    let projection = camera.at("projection").choice(&PROJECTIONS)?;
    let distortion = Distortion {
        k1: camera.at("k1").number_or(-0.5..=0.5, 0.0)?,
        k2: camera.at("k2").number_or(-0.5..=0.5, 0.0)?,
    };
    if !distortion.reaches_corner() {
        let folded = "must, with k2, let the picture grow steadily out to the sensor's corner";
        return Err(camera.at("k1").error(folded));
    }
    let lens = Lens {
        focal_mm: camera.at("focal_mm").number(0.1..=10_000.0)?,
        // plays no part in drift
        f_number: 2.8,
        projection,
        distortion,
        ..Lens::default()
    };
    let pointing = question.at("pointing");
    let frame = Frame {
        bearing: pointing.at("az_deg").angle(-360.0..=720.0)?,
        tilt: pointing.at("alt_deg").angle(-90.0..=90.0)?,
        roll: pointing.at("roll_deg").angle_or(-360.0..=360.0, 0.0)?,
    };
    Ok(Camera {
        sensor,
        lens,
        frame,
        pitch_um,
    })
}
