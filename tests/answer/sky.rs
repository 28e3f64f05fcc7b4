//! A question about the brightness of the sky: without Moon and twilight, and with them.

use serde::Serialize;
use tarnlight::angle::Angle;
use tarnlight::light::air::{air_mass, extinction};
use tarnlight::light::brightness::SurfaceBrightness;
use tarnlight::light::moonlight::MoonGeometry;
use tarnlight::light::twilight::Direction;
use tarnlight::sky::positions::MEAN_LUNAR_DISTANCE_KM;

use super::field::{Field, FieldError};

#[derive(Serialize)]
pub struct SkyAnswer {
    air_mass: Option<f64>,
    extinction: f64,
    lost_mag: Option<f64>,
    dark_v: Option<f64>,
    moonlight_v: Option<f64>,
    moonlight_nl: f64,
    moon_cost_mag: f64,
    twilight_v: Option<f64>,
    sky_v: Option<f64>,
    sky_nl: Option<f64>,
    sky_cd_m2: Option<f64>,
}

/// Answers it, from the field `sky`.
pub fn answer(sky: &Field) -> Result<SkyAnswer, FieldError> {
    let zenith = SurfaceBrightness::from_magnitude(sky.at("zenith_v").number(-15.0..=40.0)?);
    let altitude = sky.at("alt_deg").angle(0.0..=90.0)?;
    let height_m = sky.at("height_m").number_or(-500.0..=9000.0, 0.0)?;
    let extinction = sky
        .at("extinction")
        .number_or(0.0..=3.0, extinction(height_m))?;
    let target_zenith = Angle::from_degrees(90.0 - altitude.degrees());
    let moonlit = moonlit(&sky.at("moon"), target_zenith, extinction)?;
    let sun_altitude = sky.at("sun_alt_deg").angle_or(-90.0..=90.0, -90.0)?;
    // by default the target's bearing is square to the Sun's
    let square = Angle::from_radians((sun_altitude.sin() * altitude.sin()).acos());
    let separation = sky
        .at("sun_separation_deg")
        .angle_or(0.0..=180.0, square.degrees())?;
    let dark = moonlit.dark_sky(zenith);
    let twilight = Direction {
        sun_altitude,
        zenith_distance: target_zenith,
        separation,
        extinction,
    }
    .twilight();
    let moonlight = moonlit.moonlight();
    let whole = twilight.map(|twilight| dark + twilight + moonlight);
    let air_mass = air_mass(altitude);
    Ok(SkyAnswer {
        air_mass,
        extinction,
        lost_mag: air_mass.map(|air_mass| extinction * air_mass),
        dark_v: dark.magnitude(),
        moonlight_v: moonlight.magnitude(),
        moonlight_nl: moonlight.nanolamberts(),
        moon_cost_mag: moonlit.cost(zenith),
        twilight_v: twilight.and_then(SurfaceBrightness::magnitude),
        sky_v: whole.and_then(SurfaceBrightness::magnitude),
        sky_nl: whole.map(SurfaceBrightness::nanolamberts),
        sky_cd_m2: whole.map(SurfaceBrightness::luminance_cd_m2),
    })
}

/// The Moon of the field `moon`; one at the nadir where it is left out.
fn moonlit(
    moon: &Field,
    target_zenith: Angle,
    extinction: f64,
) -> Result<MoonGeometry, FieldError> {
    let given = moon.is_given();
    let angle = |name: &str, limits_deg, default_deg| {
        if given {
            moon.at(name).angle(limits_deg)
        } else {
            Ok(Angle::from_degrees(default_deg))
        }
    };
    let moon_altitude = angle("alt_deg", -90.0..=90.0, -90.0)?;
    Ok(MoonGeometry {
        phase_angle: angle("phase_angle_deg", -180.0..=180.0, 0.0)?,
        moon_zenith: Angle::from_degrees(90.0 - moon_altitude.degrees()),
        target_zenith,
        separation: angle("separation_deg", 0.0..=180.0, 0.0)?,
        extinction,
        distance_km: moon
            .at("distance_km")
            .number_or(1e5..=1e6, MEAN_LUNAR_DISTANCE_KM)?,
    })
}
