//! A question about drift: a camera, where it points, points of the sensor.

use serde::Serialize;
use serde_json::Value;
use tarnlight::angle::Angle;
use tarnlight::camera::fastest::Search;
use tarnlight::camera::view::{SensorPoint, View};

use super::camera::camera;
use super::field::{Field, FieldError};

#[derive(Serialize)]
pub struct DriftAnswer<'a> {
    points: Vec<PointAnswer<'a>>,
    frame_max: Option<PointAnswer<'a>>,
    frame_max_above_horizon: Option<PointAnswer<'a>>,
}

#[derive(Serialize)]
struct PointAnswer<'a> {
    x_mm: f64,
    y_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    name: Option<&'a Value>,
    #[serde(flatten)]
    image: Image,
}

#[derive(Serialize)]
#[serde(untagged)]
enum Image {
    /// The lens has no image there.
    Outside {
        outside_projection: bool,
    },
    Drifting(PointDrift),
}

#[derive(Serialize)]
struct PointDrift {
    theta_deg: Option<f64>,
    alt_deg: Option<f64>,
    dec_deg: Option<f64>,
    vx_um_s: f64,
    vy_um_s: f64,
    speed_um_s: f64,
    speed_px_s: f64,
    path_um: Option<f64>,
    path_px: Option<f64>,
    chord_um: Option<f64>,
}

/// A view and an exposure.
struct Exposure {
    view: View,
    pitch_um: f64,
    seconds: f64,
}

/// Answers it.
pub fn answer<'a>(question: &Field<'a>) -> Result<DriftAnswer<'a>, FieldError> {
    let camera = camera(question)?;
    let latitude = question.at("site_lat_deg").angle(-90.0..=90.0)?;
    let exposure = Exposure {
        view: View::new(camera.sensor, camera.lens, camera.frame, latitude),
        pitch_um: camera.pitch_um,
        seconds: question.at("exposure_s").number(0.0..=86_400.0)?,
    };
    let mut points = Vec::new();
    for row in question.at("points").list()? {
        let point = SensorPoint {
            x_mm: row.at("x_mm").number(-1000.0..=1000.0)?,
            y_mm: row.at("y_mm").number(-1000.0..=1000.0)?,
        };
        points.push(exposure.at_point(point, row.at("name").value()));
    }
    let fastest = |search| {
        let found = exposure.view.fastest(search)?;
        Some(exposure.at_point(found.point, None))
    };
    Ok(DriftAnswer {
        points,
        frame_max: fastest(Search::WholeFrame),
        frame_max_above_horizon: fastest(Search::AboveHorizon),
    })
}

impl Exposure {
    fn at_point<'a>(&self, point: SensorPoint, name: Option<&'a Value>) -> PointAnswer<'a> {
        let outside = Image::Outside {
            outside_projection: true,
        };
        PointAnswer {
            x_mm: point.x_mm,
            y_mm: point.y_mm,
            name,
            image: self.drift_at(point).map_or(outside, Image::Drifting),
        }
    }

    /// `None` where the lens has no image.
    fn drift_at(&self, point: SensorPoint) -> Option<PointDrift> {
        let Self {
            view,
            pitch_um,
            seconds,
        } = self;
        let drift = view.drift_at(point)?;
        let path_um = view.trail_um(point, *seconds);
        let end = view.star_after(point, *seconds);
        Some(PointDrift {
            theta_deg: view.off_axis_at(point).map(Angle::degrees),
            alt_deg: view.altitude_at(point).map(Angle::degrees),
            dec_deg: view.declination_at(point).map(Angle::degrees),
            vx_um_s: drift.right_um_s,
            vy_um_s: drift.up_um_s,
            speed_um_s: drift.speed_um_s(),
            speed_px_s: drift.speed_um_s() / pitch_um,
            path_um,
            path_px: path_um.map(|path_um| path_um / pitch_um),
            chord_um: end.map(|end| 1000.0 * (end.x_mm - point.x_mm).hypot(end.y_mm - point.y_mm)),
        })
    }
}
