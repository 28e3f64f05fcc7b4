//! A star tracker: polar misalignment and periodic error.
//!
//! The first makes every star drift steadily; the second moves it to and fro in right ascension.
//! The trails in frames follow from [`TrackingResidual`].

use std::f64::consts::PI;

use crate::angle::Angle;
use crate::camera::drift::EARTH_RATE;
use crate::light::tracking_residual::TrackingResidual;
use crate::vector::Vector;

/// Tracking rate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TrackingRate {
    /// Sidereal rate.
    Sidereal,
    /// Half of it, so that sky and ground are smeared equally.
    Half,
}

impl TrackingRate {
    /// The rate over the sidereal rate.
    pub const fn share(self) -> f64 {
        match self {
            Self::Sidereal => 1.0,
            Self::Half => 0.5,
        }
    }
}

/// A tracker and its errors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mount {
    /// Polar alignment error in azimuth, east positive.
    pub azimuth_error: Angle,
    /// Polar alignment error in altitude, upwards positive.
    pub altitude_error: Angle,
    /// Amplitude of the periodic error in right ascension.
    pub periodic: Angle,
    /// Period of the periodic error at sidereal rate, s.
    pub period_s: f64,
    /// Tracking rate.
    pub rate: TrackingRate,
}

impl Default for Mount {
    /// A light travel tracker aligned with its polar scope: 8′ in azimuth and 6′ in altitude, ±25″
    /// in ten minutes (common practice).
    fn default() -> Self {
        Self {
            azimuth_error: Angle::from_degrees(8.0 / 60.0),
            altitude_error: Angle::from_degrees(6.0 / 60.0),
            periodic: Angle::from_degrees(25.0 / 3600.0),
            period_s: 600.0,
            rate: TrackingRate::Sidereal,
        }
    }
}

/// The celestial north pole in east, north, up.
fn pole(latitude: Angle) -> Vector {
    Vector::new(0.0, latitude.cos(), latitude.sin())
}

impl Mount {
    /// Its axis in east, north, up, at the end that belongs to the north pole.
    ///
    /// It is aligned on the pole above the horizon; its errors are those of that end.
    pub fn axis(&self, latitude: Angle) -> Vector {
        let south = latitude < Angle::ZERO;
        let height = latitude.degrees().abs() + self.altitude_error.degrees();
        let turned = if south { 180.0 } else { 0.0 } + self.azimuth_error.degrees();
        let end = Vector::from_bearing(Angle::from_degrees(turned), Angle::from_degrees(height));
        let sign = if south { -1.0 } else { 1.0 };
        end.times(sign)
    }

    /// Angle between its axis and the pole.
    ///
    /// An error in azimuth counts by the cosine of the latitude.
    ///
    /// ```text
    /// 1° to the side at 40° N  →  0.766°
    /// ```
    pub fn polar_error(&self, latitude: Angle) -> Angle {
        self.axis(latitude).angle_to(pole(latitude))
    }

    /// The residual motion of a star in a direction in east, north, up, tracked at `rate`.
    ///
    /// v = −ω (p̂ − q m̂) × s, with q the rate over the sidereal rate. Source: first principles;
    /// for q = 1 as in R. N. Hook, *J. Brit. Astron. Assoc.* 99 (1989) 19 (place from memory). The
    /// drift is taken as constant, which errs by a fortieth of the greatest drift ω ε in ten
    /// minutes, and by less in shorter times; measured against rotating stars about both axes.
    pub fn tracking_residual(
        &self,
        latitude: Angle,
        star: Vector,
        rate: TrackingRate,
    ) -> TrackingResidual {
        let (pole, share) = (pole(latitude), rate.share());
        let kept = self.axis(latitude).times(share);
        let creep = pole.plus(kept.times(-1.0)).cross(star).times(-EARTH_RATE);
        let daily = pole.cross(star).times(-1.0);
        let cos_dec = daily.length();
        // at the pole the direction of the daily path is undefined
        let (along, across) = if cos_dec > 1e-9 {
            let along = creep.dot(daily) / cos_dec;
            (along, (creep.dot(creep) - along * along).max(0.0).sqrt())
        } else {
            (0.0, creep.length())
        };
        TrackingResidual {
            along_rad_s: along,
            across_rad_s: across,
            periodic_amplitude_rad: self.periodic.radians().abs() * cos_dec,
            periodic_frequency_rad_s: 2.0 * PI * share / self.period_s.abs().max(1e-3),
        }
    }

    /// Field rotation about a star in a direction in east, north, up, tracked at `rate`; rad/s,
    /// counter-clockwise as seen on the sky positive.
    ///
    /// ω (p̂ − q m̂)·ŝ, with q the rate over the sidereal rate: at sidereal rate only the polar
    /// error rotates the field, at half rate half of the sky's rotation does. Source: first
    /// principles; for q = 1 as in [`Self::tracking_residual`]. Measured against rotating two
    /// neighbouring stars about both axes: within the 0.1° by which the sky moves during the
    /// comparison.
    ///
    /// ```text
    /// full rate, 1° beside the pole, a star at the pole  →  0.0044° a minute at most
    /// half rate, a star at the pole                      →  0.1253° a minute
    /// ```
    pub fn field_rotation_rad_s(&self, latitude: Angle, star: Vector, rate: TrackingRate) -> f64 {
        let followed = self.axis(latitude).times(rate.share());
        EARTH_RATE * pole(latitude).plus(followed.times(-1.0)).dot(star)
    }
}

/// Rate at which the ground smears while tracking, rad/s, in a direction in east, north, up: q ω
/// times the sine of the angle from the pole.
pub fn ground_smear_rad_s(latitude: Angle, towards: Vector, rate: TrackingRate) -> f64 {
    rate.share() * EARTH_RATE * pole(latitude).cross(towards).length()
}

#[cfg(test)]
mod tests;
