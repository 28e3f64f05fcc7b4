//! Light falloff: how much less light the corners get than the centre.
//!
//! Two causes: mechanical vignetting, when the barrel cuts into oblique beams at wide apertures,
//! hardly left two stops down; and natural falloff, which stays: from the corner the pupil is
//! foreshortened, and the image scale is larger there, so that the same light covers a larger area.

use crate::camera::f_number::exact_f_number;
use crate::camera::lens::{Lens, Projection};
use crate::camera::sensor::Sensor;
use std::f64::consts::LN_2;

/// Light lost in the far corners of a fast wide lens at its widest aperture, stops
/// (common practice: tests find 1.5 to 3).
pub const TYPICAL_STOPS: f64 = 2.0;

/// A lens is called fast from this f-number down (common practice).
const FAST_F: f64 = 2.8;

/// A lens is called wide when its corners are farther off the axis than this, degrees:
/// 37 mm on full frame and shorter (common practice: 35 mm).
const WIDE_DEG: f64 = 30.0;

/// Stops by which a lens is stopped down until mechanical vignetting is gone (common practice: two,
/// for some lenses three).
const BARREL_STOPS: f64 = 2.0;

/// Share, in stops, of the natural loss that real lenses show: wide ones are designed so that their
/// pupil widens and tilts towards oblique beams (M. Roosinov, G. Slyusarev; from memory). Half of
/// cos⁴ is 1.8, 1.1, 0.9 and 0.5 stops at 14, 20, 24 and 35 mm on full frame; tests of such lenses
/// stopped down find 1.2 to 1.8, 0.9 to 1.2, 0.7 to 1.0 and 0.4 to 0.6 (from memory).
const NATURAL_SHARE: f64 = 0.5;

/// Light loss in the corners relative to the centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CornerFalloff {
    /// Loss, stops.
    pub stops: f64,
    /// Whether it is based on [`TYPICAL_STOPS`] instead of a known value of the lens.
    pub typical: bool,
}

impl CornerFalloff {
    /// Light in the corners over that in the centre, 0 to 1.
    pub fn transmission(self) -> f64 {
        (-self.stops * LN_2).exp()
    }
}

impl Projection {
    /// Light of an ideal lens `theta` radians off the axis over that on it: cos θ for the
    /// foreshortened pupil, times the solid angle that an area of the sensor images there over that
    /// on the axis.
    ///
    /// For a rectilinear lens that is cos⁴ θ, the classical law (standard optics); an
    /// equisolid one has cos θ alone. 0 from 90° on.
    pub fn natural_light(self, theta: f64) -> f64 {
        if theta.cos() <= 0.0 {
            return 0.0;
        }
        let across = self.tangential_scale(theta);
        // dr/dθ, from the definition of the bend
        let outwards = self.bend(theta) * theta.sin().powi(2) + theta.cos() * across;
        let light = theta.cos() / (across * outwards);
        if light.is_finite() {
            light.max(0.0)
        } else {
            0.0
        }
    }
}

impl Lens {
    /// Light loss in the corners of a sensor at an f-number, with `self` at its widest aperture.
    /// `None` where the lens has no image of the corners, or its loss is unknown and no typical
    /// value applies.
    ///
    /// The loss wide open falls linearly with the stops it is stopped down by, to the natural loss
    /// at two stops; a loss below the natural one stays. With a known loss wide open good to half a
    /// stop; with the typical value to one. A model made for this: where it matters, measure a
    /// frame of an evenly lit sky instead.
    ///
    /// ```
    /// use tarnlight::camera::{lens::Lens, sensor::FORMATS};
    /// let lens = Lens { corner_falloff_stops: Some(2.4), ..Lens::default() };
    /// let falloff = lens.corner_falloff(1.8, FORMATS[1].sensor(24.0)).unwrap();
    /// assert_eq!((falloff.stops, falloff.typical), (2.4, false));
    /// ```
    pub fn corner_falloff(&self, f_number: f64, sensor: Sensor) -> Option<CornerFalloff> {
        let ideal = self.distortion.ideal(1.0)?;
        let radius = ideal * sensor.diagonal_mm() / 2.0 / self.focal_mm;
        let theta = self.projection.off_axis(radius)?;
        let fast_and_wide = self.f_number <= FAST_F && theta.to_degrees() >= WIDE_DEG;
        let typical = fast_and_wide.then_some(TYPICAL_STOPS);
        let widest_stops = self.corner_falloff_stops.or(typical)?;
        let natural = -NATURAL_SHARE * self.projection.natural_light(theta).ln() / LN_2;
        let natural_stops = natural.min(widest_stops);
        let down_stops = stops_between(self.f_number, f_number)?;
        let barrel = (1.0 - down_stops / BARREL_STOPS).clamp(0.0, 1.0);
        Some(CornerFalloff {
            stops: natural_stops + (widest_stops - natural_stops) * barrel,
            typical: self.corner_falloff_stops.is_none(),
        })
    }
}

/// Stops from one f-number to another, positive where the second lets through less.
fn stops_between(from: f64, to: f64) -> Option<f64> {
    let ratio = exact_f_number(to)? / exact_f_number(from)?;
    Some(2.0 * ratio.ln() / LN_2)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::sensor::FORMATS;

    fn full_frame() -> Sensor {
        FORMATS[1].sensor(24.0)
    }

    fn lens(focal_mm: f64, f_number: f64, corner_falloff_stops: Option<f64>) -> Lens {
        Lens {
            focal_mm,
            f_number,
            corner_falloff_stops,
            ..Lens::default()
        }
    }

    fn stops(lens: Lens, f_number: f64) -> f64 {
        let falloff = lens.corner_falloff(f_number, full_frame());
        falloff.map_or(f64::NAN, |falloff| falloff.stops)
    }

    /// cos⁴ θ of rectilinear lenses; the solid angles of the others by differences: a ring
    /// of the sky from θ to θ + dθ has sin θ dθ, its image r dr.
    #[test]
    fn the_natural_light_is_that_of_the_solid_angle() {
        for degrees in [0.5_f64, 10.0, 30.0, 47.246, 57.091] {
            let theta = degrees.to_radians();
            let got = Projection::Rectilinear.natural_light(theta);
            assert!(
                (got - theta.cos().powi(4)).abs() < 1e-12,
                "{degrees}°: {got}"
            );
        }
        for projection in Projection::ALL {
            for theta in [0.01_f64, 0.3, 0.9, 1.4] {
                let radius = |theta| projection.radius(theta).unwrap_or(f64::NAN);
                let step = 1e-5;
                let ring = (radius(theta + step).powi(2) - radius(theta - step).powi(2)) / 2.0;
                let sky = (theta - step).cos() - (theta + step).cos();
                let want = theta.cos() * sky / ring;
                let got = projection.natural_light(theta);
                assert!(
                    (got / want - 1.0).abs() < 1e-4,
                    "{projection:?} at {theta}: {got}"
                );
            }
            assert_eq!(projection.natural_light(1.6), 0.0, "{projection:?}");
        }
    }

    /// The known loss wide open; half-way at one stop; natural from two stops on. cos⁴ 47.246° is
    /// 0.2124 or 2.235 stops, half of it 1.118, computed independently.
    #[test]
    fn stopping_down_lightens_the_corners_by_the_barrels_part() {
        let own = lens(20.0, 1.8, Some(2.4));
        for (f_number, want) in [
            (1.8, 2.4),
            (2.5, (2.4 + 1.118) / 2.0),
            (3.5, 1.118),
            (8.0, 1.118),
            (1.4, 2.4),
        ] {
            let got = stops(own, f_number);
            assert!(
                (got - want).abs() < 1e-3,
                "f/{f_number}: {got}, want {want}"
            );
        }
        // an f-number outside the series is taken as exact: 2 log2(2.4/1.7) = 0.995
        let got = stops(lens(20.0, 1.7, Some(2.4)), 2.4);
        assert!(
            (got - (1.118 + 1.282 * (1.0 - 0.995 / 2.0))).abs() < 1e-3,
            "{got}"
        );
    }

    /// Common practice: stopped down, a fast wide lens keeps about a stop in its corners,
    /// a normal one a quarter.
    #[test]
    fn what_stays_is_what_is_usual() {
        for (focal_mm, least, most) in [
            (14.0, 1.2, 1.8),
            (20.0, 0.9, 1.2),
            (24.0, 0.7, 1.0),
            (35.0, 0.4, 0.6),
            (50.0, 0.1, 0.3),
        ] {
            let got = stops(lens(focal_mm, 1.8, Some(3.0)), 5.6);
            assert!((least..=most).contains(&got), "{focal_mm} mm: {got} stops");
        }
    }

    #[test]
    fn a_lens_with_little_to_lose_keeps_it() {
        for f_number in [2.8, 4.0, 8.0] {
            assert_eq!(stops(lens(14.0, 2.8, Some(1.0)), f_number), 1.0);
            assert_eq!(stops(lens(14.0, 2.8, Some(0.0)), f_number), 0.0);
        }
    }

    /// A typical value is for fast wide lenses only, and is marked as typical.
    #[test]
    fn typical_is_for_fast_wide_lenses() {
        let of = |focal_mm, f_number| {
            lens(focal_mm, f_number, None).corner_falloff(f_number, full_frame())
        };
        let typical = of(20.0, 1.8).expect("a typical value");
        assert_eq!(
            typical,
            CornerFalloff {
                stops: TYPICAL_STOPS,
                typical: true
            }
        );
        assert!((typical.transmission() - 0.25).abs() < 1e-12);
        assert_eq!(of(20.0, 4.0), None);
        assert_eq!(of(85.0, 1.4), None);
    }

    #[test]
    fn corners_without_a_picture_lose_nothing() {
        let round = Lens {
            focal_mm: 8.0,
            projection: Projection::Equisolid,
            ..lens(8.0, 2.8, Some(2.0))
        };
        assert_eq!(round.corner_falloff(2.8, full_frame()), None);
        // half a sphere from corner to corner: no natural light, and no infinity
        let diagonal = Lens {
            focal_mm: full_frame().diagonal_mm() / 2.0 / 2.0_f64.sqrt(),
            ..round
        };
        assert!((stops(diagonal, 5.6) - 2.0).abs() < 1e-12);
    }
}
