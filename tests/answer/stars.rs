//! A question about stars in a picture: a site, an instant, a camera, where it points.

use serde::Serialize;
use serde_json::Value;
use tarnlight::camera::view::{SensorPoint, View};
use tarnlight::sky::altitude::Air;
use tarnlight::sky::celestial_to_horizontal::{horizontal, refract};
use tarnlight::sky::observer::Observer;
use tarnlight::vector::Vector;

use super::camera::camera;
use super::field::{Field, FieldError};
use super::site::{SkyPlace, dut1_s, site};

#[derive(Serialize)]
pub struct StarsAnswer<'a> {
    stars: Vec<StarAnswer<'a>>,
}

/// A star; places on the sensor are `None` where the lens has no image.
#[derive(Serialize)]
struct StarAnswer<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    name: Option<&'a Value>,
    #[serde(flatten)]
    place: SkyPlace,
    x_mm: Option<f64>,
    y_mm: Option<f64>,
    x_px: Option<f64>,
    y_px: Option<f64>,
}

/// Answers it.
pub fn answer<'a>(question: &Field<'a>) -> Result<StarsAnswer<'a>, FieldError> {
    let site = site(question)?;
    let dut1_s = dut1_s(question)?;
    let moment = question.at("utc").moment()?;
    let camera = camera(question)?;
    let (sensor, pitch_um) = (camera.sensor, camera.pitch_um);
    let air = air(&question.at("refraction"))?;
    let view = View::new(sensor, camera.lens, camera.frame, site.latitude);
    let sky = Observer::with_dut1(site, dut1_s).celestial_to_horizontal(moment);
    let mut stars = Vec::new();
    for row in question.at("stars").list()? {
        let direction = Vector::from_spherical(
            row.at("ra_deg").angle(-360.0..=720.0)?,
            row.at("dec_deg").angle(-90.0..=90.0)?,
        );
        let true_direction = sky.apply(direction);
        let in_picture = air.map_or(true_direction, |air| refract(air, true_direction));
        let in_camera = camera.frame.axes().to_camera(in_picture);
        let image = view.image_of(in_camera).filter(|_| in_camera.z > 0.0);
        let right_px = |at: SensorPoint| (sensor.width_mm / 2.0 + at.x_mm) * 1000.0 / pitch_um;
        let down_px = |at: SensorPoint| (sensor.height_mm / 2.0 - at.y_mm) * 1000.0 / pitch_um;
        stars.push(StarAnswer {
            name: row.at("name").value(),
            place: horizontal(true_direction).into(),
            x_mm: image.map(|at| at.x_mm),
            y_mm: image.map(|at| at.y_mm),
            x_px: image.map(right_px),
            y_px: image.map(down_px),
        });
    }
    Ok(StarsAnswer { stars })
}

/// The air a picture is taken through, if any.
fn air(refraction: &Field) -> Result<Option<Air>, FieldError> {
    match refraction.value() {
        None | Some(Value::Null | Value::Bool(false)) => Ok(None),
        Some(Value::Bool(true)) => Ok(Some(Air::STANDARD)),
        Some(_) => Err(refraction.error("must be true or false")),
    }
}
