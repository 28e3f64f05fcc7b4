//! A question about a tracker: the trail its errors leave.

use serde::Serialize;
use tarnlight::angle::Angle;
use tarnlight::light::tracking::{Mount, TrackingRate};
use tarnlight::light::tracking_residual::KEEP_FRACTION;
use tarnlight::vector::Vector;

use super::field::{Field, FieldError};

const ARCSEC_PER_DEG: f64 = 3600.0;

const RATES: [(&str, TrackingRate); 2] = [
    ("full", TrackingRate::Sidereal),
    ("half", TrackingRate::Half),
];

#[derive(Serialize)]
pub struct TrackerAnswer {
    polar_error_deg: f64,
    along_arcsec_s: f64,
    across_arcsec_s: f64,
    swing_arcsec: f64,
    field_turn_deg_min: f64,
    trail_arcsec: f64,
    kept: f64,
    trail_kept_arcsec: f64,
    longest_s: Option<f64>,
}

/// Answers it, from the field `tracker`.
pub fn answer(question: &Field) -> Result<TrackerAnswer, FieldError> {
    let latitude = question.at("lat_deg").angle(-90.0..=90.0)?;
    let star = Vector::from_bearing(
        question.at("az_deg").angle(-360.0..=720.0)?,
        question.at("alt_deg").angle(-90.0..=90.0)?,
    );
    let rate = question.at("rate").choice(&RATES)?;
    let mount = Mount {
        azimuth_error: question.at("azimuth_error_deg").angle(-10.0..=10.0)?,
        altitude_error: question.at("altitude_error_deg").angle(-10.0..=10.0)?,
        periodic: small_angle(&question.at("periodic_arcsec"), 3600.0)?,
        period_s: question.at("period_s").number(10.0..=20_000.0)?,
        rate,
    };
    let exposure_s = question.at("exposure_s").number(0.001..=3600.0)?;
    let phase = question.at("phase_deg").angle(-360.0..=360.0)?;
    let allowed = small_angle(&question.at("allowed_arcsec"), 36_000.0)?;
    let share = question.at("share").number_or(0.01..=1.0, KEEP_FRACTION)?;
    let residual = mount.tracking_residual(latitude, star, rate);
    let arcsec = |radians: f64| radians.to_degrees() * ARCSEC_PER_DEG;
    Ok(TrackerAnswer {
        polar_error_deg: mount.polar_error(latitude).degrees(),
        along_arcsec_s: arcsec(residual.along_rad_s),
        across_arcsec_s: arcsec(residual.across_rad_s),
        swing_arcsec: arcsec(residual.periodic_amplitude_rad),
        field_turn_deg_min: mount
            .field_rotation_rad_s(latitude, star, rate)
            .to_degrees()
            * 60.0,
        trail_arcsec: arcsec(residual.trail(exposure_s, phase).radians()),
        kept: residual.fraction_kept(exposure_s, allowed),
        trail_kept_arcsec: arcsec(residual.trail_at_fraction(exposure_s, share).radians()),
        longest_s: residual.longest_s(allowed, share),
    })
}

/// An angle given in arcseconds, from 0.
fn small_angle(field: &Field, most_arcsec: f64) -> Result<Angle, FieldError> {
    let arcsec = field.number(0.0..=most_arcsec)?;
    Ok(Angle::from_degrees(arcsec / ARCSEC_PER_DEG))
}
