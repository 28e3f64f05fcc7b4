//! A question about drift: a camera, where it points, points of the sensor.

use serde_json::{Map, Value, json};
use tarnlight::camera::distortion::Distortion;
use tarnlight::camera::frame::Frame;
use tarnlight::camera::lens::{Lens, Projection};
use tarnlight::camera::sensor::Sensor;
use tarnlight::camera::view::{SensorPoint, View};
use tarnlight::camera::worst::Search;

use super::question::{Bad, angle, bad, list, number, number_or, word};

/// Answers it.
pub fn answer(question: &Value) -> Result<Value, Bad> {
    let view = view(question)?;
    let pitch_um = number(question, "camera.pixel_pitch_um", 0.1, 1000.0)?;
    let seconds = number(question, "exposure_s", 0.0, 86_400.0)?;
    let mut points = Vec::new();
    for (place, row) in list(question, "points")?.iter().enumerate() {
        let point = point(row).map_err(|wrong| Bad {
            field: format!("points.{place}.{}", wrong.field),
            ..wrong
        })?;
        let mut message = at_point(&view, point, pitch_um, seconds);
        if let Some(name) = row.get("name") {
            message.insert("name".to_owned(), name.clone());
        }
        points.push(Value::Object(message));
    }
    let fastest = |search| match view.fastest(search) {
        Some(found) => Value::Object(at_point(&view, found.point, pitch_um, seconds)),
        None => Value::Null,
    };
    Ok(json!({
        "points": points,
        "frame_max": fastest(Search::WholeFrame),
        "frame_max_above_horizon": fastest(Search::AboveHorizon),
    }))
}

/// The view a question is about.
fn view(question: &Value) -> Result<View, Bad> {
    let (sensor, lens, frame) = camera(question)?;
    let latitude = angle(question, "site_lat_deg", -90.0, 90.0)?;
    Ok(View::new(sensor, lens, frame, latitude))
}

/// The camera a question is about, and where it points.
pub fn camera(question: &Value) -> Result<(Sensor, Lens, Frame), Bad> {
    let pitch_um = number(question, "camera.pixel_pitch_um", 0.1, 1000.0)?;
    let width_mm = number(question, "camera.sensor_w_mm", 0.1, 1000.0)?;
    let height_mm = number(question, "camera.sensor_h_mm", 0.1, 1000.0)?;
    // the pitch is given rounded; nothing in micrometres hangs on whole pixels
    let pixels = |side_mm: f64| (1000.0 * side_mm / pitch_um).round().max(1.0) as u32;
    let sensor = Sensor {
        width_mm,
        height_mm,
        pixels_across: pixels(width_mm),
        pixels_down: pixels(height_mm),
    };
    let projection = match word(question, "camera.projection")? {
        "rectilinear" => Projection::Rectilinear,
        "stereographic" => Projection::Stereographic,
        "equidistant" => Projection::Equidistant,
        "equisolid" => Projection::Equisolid,
        _ => {
            let known = "must be rectilinear, stereographic, equidistant or equisolid";
            return Err(bad("camera.projection", known));
        }
    };
    let coefficient = |path| number_or(question, path, (-0.5, 0.5), 0.0);
    let distortion = Distortion {
        k1: coefficient("camera.k1")?,
        k2: coefficient("camera.k2")?,
    };
    if !distortion.reaches_corner() {
        let folded = "must, with k2, let the picture grow steadily out to the sensor's corner";
        return Err(bad("camera.k1", folded));
    }
    let lens = Lens {
        focal_mm: number(question, "camera.focal_mm", 0.1, 10_000.0)?,
        // plays no part in drift
        f_number: 2.8,
        projection,
        distortion,
        ..Lens::default()
    };
    let frame = Frame {
        bearing: angle(question, "pointing.az_deg", -360.0, 720.0)?,
        tilt: angle(question, "pointing.alt_deg", -90.0, 90.0)?,
        roll: tarnlight::angle::Angle::from_degrees(number_or(
            question,
            "pointing.roll_deg",
            (-360.0, 360.0),
            0.0,
        )?),
    };
    Ok((sensor, lens, frame))
}

fn point(row: &Value) -> Result<SensorPoint, Bad> {
    Ok(SensorPoint {
        x_mm: number(row, "x_mm", -1000.0, 1000.0)?,
        y_mm: number(row, "y_mm", -1000.0, 1000.0)?,
    })
}

fn at_point(view: &View, point: SensorPoint, pitch_um: f64, seconds: f64) -> Map<String, Value> {
    let mut message = Map::new();
    let mut put = |key: &str, value: Value| message.insert(key.to_owned(), value);
    put("x_mm", json!(point.x_mm));
    put("y_mm", json!(point.y_mm));
    let Some(drift) = view.drift_at(point) else {
        put("outside_projection", json!(true));
        return message;
    };
    let degrees = |angle: Option<tarnlight::angle::Angle>| json!(angle.map(|it| it.degrees()));
    put("theta_deg", degrees(view.off_axis_at(point)));
    put("alt_deg", degrees(view.altitude_at(point)));
    put("dec_deg", degrees(view.declination_at(point)));
    put("vx_um_s", json!(drift.right_um_s));
    put("vy_um_s", json!(drift.up_um_s));
    put("speed_um_s", json!(drift.speed_um_s()));
    put("speed_px_s", json!(drift.speed_um_s() / pitch_um));
    let path_um = view.trail_um(point, seconds);
    put("path_um", json!(path_um));
    put("path_px", json!(path_um.map(|path_um| path_um / pitch_um)));
    let chord_um = view
        .star_after(point, seconds)
        .map(|end| 1000.0 * (end.x_mm - point.x_mm).hypot(end.y_mm - point.y_mm));
    put("chord_um", json!(chord_um));
    message
}
