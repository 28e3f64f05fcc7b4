//! The site of a question, and places on its sky.

use serde::Serialize;
use tarnlight::sky::altitude::{Air, TrueAltitude};
use tarnlight::sky::observer::{GeoPosition, Horizontal};

use super::field::{Field, FieldError};

/// Below this true altitude, degrees, no apparent one is given.
const NO_APPARENT_BELOW_DEG: f64 = -1.0;

/// Reads the position in `site`.
pub fn site(question: &Field) -> Result<GeoPosition, FieldError> {
    let site = question.at("site");
    Ok(GeoPosition {
        latitude: site.at("lat_deg").angle(-90.0..=90.0)?,
        longitude: site.at("lon_deg").angle(-180.0..=360.0)?,
        height_m: site.at("elev_m").number_or(-500.0..=9000.0, 0.0)?,
    })
}

/// Reads `time.dut1_s`, UT1 less UTC in seconds.
pub fn dut1_s(question: &Field) -> Result<f64, FieldError> {
    question.at("time.dut1_s").number_or(-1.0..=1.0, 0.0)
}

/// A position on the sky.
#[derive(Serialize)]
pub struct SkyPlace {
    az_deg: f64,
    alt_geom_deg: f64,
    alt_apparent_deg: Option<f64>,
}

impl From<Horizontal> for SkyPlace {
    fn from(place: Horizontal) -> Self {
        Self {
            az_deg: place.bearing.degrees(),
            alt_geom_deg: place.altitude.0.degrees(),
            alt_apparent_deg: apparent_deg(place.altitude),
        }
    }
}

/// Altitude through standard air; `None` well below the horizon, where there is no such thing.
fn apparent_deg(altitude: TrueAltitude) -> Option<f64> {
    let apparent = Air::STANDARD.to_apparent(altitude).0.degrees();
    (altitude.0.degrees() > NO_APPARENT_BELOW_DEG).then_some(apparent)
}
