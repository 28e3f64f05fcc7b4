//! Reads the reference values beside it; see `README.md` there.

use serde_json::Value;
use tarnlight::angle::Angle;
use tarnlight::camera::frame::Frame;
use tarnlight::camera::lens::{Lens, Projection};
use tarnlight::camera::sensor::Sensor;
use tarnlight::camera::view::{SensorPoint, View};

/// Parses one of the files.
pub fn parse(text: &str) -> Value {
    serde_json::from_str(text).expect("the reference is JSON")
}

/// The list under a key.
pub fn rows<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    let list = value[key].as_array();
    list.unwrap_or_else(|| panic!("no list {key:?}"))
}

/// The number under a key.
pub fn number(value: &Value, key: &str) -> f64 {
    let number = value[key].as_f64();
    number.unwrap_or_else(|| panic!("no number {key:?} in {value}"))
}

/// The word under a key.
pub fn word<'a>(value: &'a Value, key: &str) -> &'a str {
    let word = value[key].as_str();
    word.unwrap_or_else(|| panic!("no word {key:?} in {value}"))
}

/// The place on the sensor under `x_mm` and `y_mm`.
pub fn point(value: &Value) -> SensorPoint {
    SensorPoint {
        x_mm: number(value, "x_mm"),
        y_mm: number(value, "y_mm"),
    }
}

/// A lens by the reference's words; its aperture plays no part in drift.
pub fn lens(value: &Value) -> Lens {
    let projection = match word(value, "projection") {
        "rectilinear" => Projection::Rectilinear,
        "stereographic" => Projection::Stereographic,
        "equidistant" => Projection::Equidistant,
        "equisolid" => Projection::Equisolid,
        other => panic!("no projection {other:?}"),
    };
    Lens {
        focal_mm: number(value, "focal_mm"),
        f_number: 2.8,
        projection,
        ..Lens::default()
    }
}

/// A view by bearing, tilt, roll and latitude in degrees.
pub fn view(sensor: Sensor, lens: Lens, aim_deg: [f64; 3], latitude_deg: f64) -> View {
    let [bearing, tilt, roll] = aim_deg.map(Angle::from_degrees);
    let frame = Frame {
        bearing,
        tilt,
        roll,
    };
    View::new(sensor, lens, frame, Angle::from_degrees(latitude_deg))
}
