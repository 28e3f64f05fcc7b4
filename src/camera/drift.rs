//! How far stars drift across the sensor while the shutter is open.
//!
//! The camera is fixed and the sky turns about the pole, once in a sidereal day. Every star
//! therefore moves along the sensor at a speed that depends on its distance from the pole and on
//! the lens's local scale. This is exact for a lens of the given projection and distortion and
//! without refraction.
//!
//! With ŝ the direction of a star as right, up, forward and θ its angle from the axis, its image is
//! f · m(θ) · (ŝ_x, ŝ_y), where m = r/sin θ is the lens's tangential scale. The rate of change is
//! then
//!
//! ```text
//! u̇ = f (m ṡ_x − k ṡ_z ŝ_x),   v̇ = f (m ṡ_y − k ṡ_z ŝ_y),   k = (dr/dθ − m cos θ)/sin² θ
//! ```
//!
//! and k is [`Projection::bend`](crate::camera::lens::Projection::bend).
//! [Distortion](crate::camera::distortion) then multiplies the radial component of this velocity by
//! dr_d/dr, and the tangential one by r_d/r.

use crate::camera::view::{SensorPoint, View, sine_and_cosine};
use crate::vector::Vector;

/// Earth's nominal rotation rate, rad/s.
///
/// Source: IERS Conventions (2010), IERS Technical Note 36, ch. 1 (place from
/// memory).
pub const EARTH_RATE: f64 = 7.292_115e-5;

/// µm in a mm.
const UM_PER_MM: f64 = 1000.0;

/// Largest rotation of the sky in one interval of the trail's integral, radians. With ten nodes an
/// interval the sum is then good to 1e-10 of the trail.
const STRETCH: f64 = 0.05;

/// Nodes and weights of Gauss–Legendre quadrature with ten points on [−1, 1],
/// positive half.
///
/// Source: M. Abramowitz & I. A. Stegun, *Handbook of Mathematical Functions*
/// (1964), table 25.4.
pub(super) const NODES: [(f64, f64); 5] = [
    (0.148_874_338_981_631_21, 0.295_524_224_714_752_87),
    (0.433_395_394_129_247_2, 0.269_266_719_309_996_36),
    (0.679_409_568_299_024_4, 0.219_086_362_515_982_04),
    (0.865_063_366_688_984_5, 0.149_451_349_150_580_6),
    (0.973_906_528_517_171_7, 0.066_671_344_308_688_14),
];

/// A star's velocity on the sensor, in the upright picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drift {
    /// To the right, µm/s.
    pub right_um_s: f64,
    /// Up, µm/s.
    pub up_um_s: f64,
}

impl Drift {
    /// Speed, µm/s.
    pub fn speed_um_s(self) -> f64 {
        (self.right_um_s * self.right_um_s + self.up_um_s * self.up_um_s).sqrt()
    }
}

/// Speed, µm/s, of a star of declination δ imaged at the centre of any lens:
/// 1000 · ω · f · cos δ.
///
/// ```
/// use tarnlight::{angle::Angle, camera::drift::centre_speed_um_s};
/// let speed = centre_speed_um_s(24.0, Angle::from_degrees(-29.0078));
/// assert!((speed - 1.53056).abs() < 1e-5);
/// ```
pub fn centre_speed_um_s(focal_mm: f64, declination: crate::angle::Angle) -> f64 {
    UM_PER_MM * EARTH_RATE * focal_mm * declination.cos()
}

impl View {
    /// Velocity of the star imaged at a point. `None` where the lens has no image.
    ///
    /// Within 1e-6 of a brute-force rotation for all four projections (30
    /// cameras, `tests/drift_cases.rs`), with distortion too
    /// (`tests/distortion.rs`).
    ///
    /// ```text
    /// 45° N, due south, 20° up, 24 mm rectilinear, centre  →  1.5861 µm/s
    /// ```
    pub fn drift_at(&self, point: SensorPoint) -> Option<Drift> {
        self.direction_at(point)
            .and_then(|seen| self.drift_of(seen))
    }

    /// Velocity of the image of a direction. `None` where it has no image.
    pub(super) fn drift_of(&self, seen: Vector) -> Option<Drift> {
        let projection = self.lens.projection;
        let (across, bend) = projection.scale_and_bend(sine_and_cosine(seen))?;
        // plus, not minus: right, up, forward is left-handed
        let motion = self.pole().cross(seen).times(EARTH_RATE);
        let focal_mm = self.lens.focal_mm;
        let focal_um = UM_PER_MM * focal_mm;
        let ideal = Drift {
            right_um_s: focal_um * (across * motion.x - bend * motion.z * seen.x),
            up_um_s: focal_um * (across * motion.y - bend * motion.z * seen.y),
        };
        let place = SensorPoint {
            x_mm: focal_mm * across * seen.x,
            y_mm: focal_mm * across * seen.y,
        };
        let drift = self.distorted_drift(place, ideal)?;
        drift.speed_um_s().is_finite().then_some(drift)
    }

    /// The distorted velocity at `place`, from the undistorted one. `None` where there is no image.
    fn distorted_drift(&self, place: SensorPoint, ideal: Drift) -> Option<Drift> {
        let distortion = self.lens.distortion;
        if distortion.is_none() {
            return Some(ideal);
        }
        let radius = self.in_half_diagonals(place);
        distortion.distorted(radius)?;
        let across = distortion.tangential_scale(radius);
        let along = distortion.radial_scale(radius);
        // on the axis both scales are 1
        let from_axis_mm = place.from_centre_mm().max(f64::MIN_POSITIVE);
        let (x, y) = (place.x_mm / from_axis_mm, place.y_mm / from_axis_mm);
        let outwards_um_s = ideal.right_um_s * x + ideal.up_um_s * y;
        Some(Drift {
            right_um_s: across * ideal.right_um_s + (along - across) * outwards_um_s * x,
            up_um_s: across * ideal.up_um_s + (along - across) * outwards_um_s * y,
        })
    }

    /// Speed of the star imaged at a point, µm/s.
    pub fn speed_at(&self, point: SensorPoint) -> Option<f64> {
        self.drift_at(point).map(Drift::speed_um_s)
    }

    /// Position after `seconds` of the star that is at a point when the shutter opens.
    pub fn star_after(&self, point: SensorPoint, seconds: f64) -> Option<SensorPoint> {
        let start = self.direction_at(point)?;
        self.image_of(self.turned(start, seconds))
    }

    /// Length, µm, of the trail of the star that is at a point when the shutter opens, along its
    /// curve. It continues past the sensor's edge and below the horizon; `None` when it leaves the
    /// projection.
    ///
    /// Within 1e-6 of a brute-force sum of 4000 chords (30 cameras,
    /// `tests/drift_cases.rs`).
    pub fn trail_um(&self, point: SensorPoint, seconds: f64) -> Option<f64> {
        let start = self.direction_at(point)?;
        let stretches = (EARTH_RATE * seconds.abs() / STRETCH).ceil().max(1.0);
        let half = seconds / stretches / 2.0;
        let mut trail = 0.0;
        for stretch in 0..stretches as u32 {
            let middle = half * f64::from(2 * stretch + 1);
            for (node, weight) in NODES {
                for at in [middle - half * node, middle + half * node] {
                    let drift = self.drift_of(self.turned(start, at))?;
                    trail += half * weight * drift.speed_um_s();
                }
            }
        }
        Some(trail)
    }

    /// A direction rotated with the sky for `seconds`.
    fn turned(&self, seen: Vector, seconds: f64) -> Vector {
        seen.rotated_about(self.pole(), EARTH_RATE * seconds)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::angle::Angle;
    use crate::camera::frame::Frame;
    use crate::camera::lens::{Lens, Projection};
    use crate::camera::sensor::FORMATS;

    fn view(latitude: f64, bearing: f64, tilt: f64, focal_mm: f64) -> View {
        let lens = Lens {
            focal_mm,
            f_number: 2.8,
            projection: Projection::Rectilinear,
            ..Lens::default()
        };
        let frame = Frame {
            bearing: Angle::from_degrees(bearing),
            tilt: Angle::from_degrees(tilt),
            roll: Angle::ZERO,
        };
        let sensor = FORMATS[1].sensor(24.0);
        View::new(sensor, lens, frame, Angle::from_degrees(latitude))
    }

    /// 45° N, due south, 20° up, 24 mm on 36 × 24 mm, computed independently.
    #[test]
    fn agrees_with_the_worked_table() {
        let view = view(45.0, 180.0, 20.0, 24.0);
        let table = [
            // x, y mm; u̇, v̇ µm/s; δ °
            (0.0, 0.0, 1.5861, 0.0, -25.0),
            (18.0, 12.0, 2.8482, 0.0401, 1.2997),
            (18.0, -12.0, 2.1085, -1.1495, -40.5799),
            (0.0, 12.0, 1.9559, 0.0, 1.5651),
            (0.0, -12.0, 1.2163, 0.0, -51.5651),
            (18.0, 0.0, 2.4783, -0.5547, -19.7608),
        ];
        for (x_mm, y_mm, right, up, dec) in table {
            let point = SensorPoint { x_mm, y_mm };
            let drift = view.drift_at(point).expect("inside the projection");
            assert!(
                (drift.right_um_s - right).abs() < 6e-5,
                "{point:?}: {drift:?}"
            );
            assert!((drift.up_um_s - up).abs() < 6e-5, "{point:?}: {drift:?}");
            let got = view.declination_at(point).expect("a direction").degrees();
            assert!((got - dec).abs() < 6e-5, "{point:?}: δ {got}");
        }
    }

    /// f 24 mm: 1.75011 and 1.53056 µm/s; 20 s on 6 µm pixels leave 5.834 and 5.102 px. Computed
    /// from the definition.
    #[test]
    fn agrees_with_the_worked_centre_speeds() {
        for (dec, speed, pixels) in [(0.0, 1.750_11, 5.834), (-29.0078, 1.530_56, 5.102)] {
            let got = centre_speed_um_s(24.0, Angle::from_degrees(dec));
            assert!((got - speed).abs() < 6e-6, "δ {dec}: {got}");
            assert!((got * 20.0 / 6.0 - pixels).abs() < 1e-3, "δ {dec}: {got}");
        }
    }

    #[test]
    fn the_pole_stands_still() {
        for (latitude, bearing) in [(45.0, 0.0), (-45.0, 180.0), (90.0, 12.0), (-90.0, 0.0)] {
            let view = view(latitude, bearing, f64::abs(latitude), 24.0);
            let speed = view.speed_at(SensorPoint::CENTRE).expect("a direction");
            assert!(speed < 1e-12, "φ {latitude}: {speed}");
        }
    }

    /// A star returns after a sidereal day, and the length of its circle about the pole is 2πr.
    #[test]
    fn a_whole_turn_closes() {
        let view = view(45.0, 0.0, 45.0, 24.0);
        let start = SensorPoint {
            x_mm: 9.0,
            y_mm: 2.0,
        };
        let day = std::f64::consts::TAU / EARTH_RATE;
        let end = view.star_after(start, day).expect("still in the field");
        assert!((end.x_mm - start.x_mm).abs() < 1e-9, "{end:?}");
        let round = view.trail_um(start, day).expect("still in the field");
        let want = std::f64::consts::TAU * 1000.0 * start.from_centre_mm();
        assert!((round / want - 1.0).abs() < 1e-9, "{round}, want {want}");
    }

    #[test]
    fn a_star_that_leaves_the_projection_has_no_trail() {
        let view = view(0.0, 90.0, 0.0, 24.0);
        let six_hours = 6.5 * 3600.0;
        assert_eq!(view.trail_um(SensorPoint::CENTRE, six_hours), None);
    }
}
