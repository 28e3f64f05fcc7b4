//! A question about stars in a picture: a site, an instant, a camera, where it points.

use chrono::Datelike;
use serde_json::{Map, Value, json};
use tarnlight::camera::view::{SensorPoint, View};
use tarnlight::sky::altitude::Air;
use tarnlight::sky::celestial_to_horizontal::{CelestialToHorizontal, horizontal, through};
use tarnlight::sky::moment::{Moment, YEARS};
use tarnlight::sky::observer::Observer;
use tarnlight::vector::Vector;

use super::drift::camera;
use super::night::{apparent_deg, site};
use super::question::{Bad, angle, at, bad, instant, list, number, number_or, word};

/// Answers it.
pub fn answer(question: &Value) -> Result<Value, Bad> {
    let site = site(question)?;
    let dut1_s = number_or(question, "time.dut1_s", (-1.0, 1.0), 0.0)?;
    let utc = instant(word(question, "utc")?, "utc")?;
    if !YEARS.contains(&utc.year()) {
        let message = format!("must be from {} to {}", YEARS.start(), YEARS.end());
        return Err(bad("utc", message));
    }
    let (sensor, lens, frame) = camera(question)?;
    let pitch_um = number(question, "camera.pixel_pitch_um", 0.1, 1000.0)?;
    let air = match at(question, "refraction") {
        None | Some(Value::Null | Value::Bool(false)) => None,
        Some(Value::Bool(true)) => Some(Air::STANDARD),
        Some(_) => return Err(bad("refraction", "must be true or false")),
    };
    let view = View::new(sensor, lens, frame, site.latitude);
    let sky = Observer::with_dut1(site, dut1_s).celestial_to_horizontal(Moment::from_utc(utc));
    let mut stars = Vec::new();
    for (place, row) in list(question, "stars")?.iter().enumerate() {
        let direction = direction(row).map_err(|wrong| Bad {
            field: format!("stars.{place}.{}", wrong.field),
            ..wrong
        })?;
        let mut message = message(&sky, direction);
        let seen = sky.see(direction);
        let seen = air.map_or(seen, |air| through(air, seen));
        let seen = frame.axes().see(seen);
        let image = view.image_of(seen).filter(|_| seen.z > 0.0);
        message.insert("x_mm".to_owned(), json!(image.map(|at| at.x_mm)));
        message.insert("y_mm".to_owned(), json!(image.map(|at| at.y_mm)));
        let across = |at: SensorPoint| (sensor.width_mm / 2.0 + at.x_mm) * 1000.0 / pitch_um;
        let down = |at: SensorPoint| (sensor.height_mm / 2.0 - at.y_mm) * 1000.0 / pitch_um;
        message.insert("x_px".to_owned(), json!(image.map(across)));
        message.insert("y_px".to_owned(), json!(image.map(down)));
        if let Some(name) = row.get("name") {
            message.insert("name".to_owned(), name.clone());
        }
        stars.push(Value::Object(message));
    }
    Ok(json!({ "stars": stars }))
}

fn direction(row: &Value) -> Result<Vector, Bad> {
    Ok(Vector::towards(
        angle(row, "ra_deg", -360.0, 720.0)?,
        angle(row, "dec_deg", -90.0, 90.0)?,
    ))
}

fn message(sky: &CelestialToHorizontal, direction: Vector) -> Map<String, Value> {
    let standing = horizontal(sky.see(direction));
    let mut message = Map::new();
    let mut put = |key: &str, value: Value| message.insert(key.to_owned(), value);
    put("az_deg", json!(standing.bearing.degrees()));
    put("alt_geom_deg", json!(standing.altitude.0.degrees()));
    put("alt_apparent_deg", json!(apparent_deg(standing.altitude)));
    message
}
