//! What one frame covers, in bearing and altitude, as the camera is turned and
//! tilted without roll.
//!
//! The higher a frame is tilted, the more bearings it covers, because meridians converge towards
//! the zenith; and its upper corners cover more of them than its lower ones.
//!
//! Behind a rectilinear lens without distortion meridians are straight lines, and a line of equal
//! altitude is farthest out at one of three places, so the result is exact. For any other it is
//! sampled, on a frame that is a little smaller.

use std::f64::consts::FRAC_PI_2;

use crate::angle::Angle;
use crate::camera::lens::{FIELD_LIMIT, Lens, Projection};
use crate::camera::sensor::Sensor;
use crate::camera::view::off_axis;
use crate::vector::Vector;

/// Samples along a line of equal altitude behind a fisheye, from its middle to one end.
const PLACES: u32 = 9;

/// The same behind distortion, which may give a line an inflection.
const DISTORTED_PLACES: u32 = 33;

/// Steps over a frame's height for a lens that bends lines.
const STEPS: f64 = 32.0;

/// Share of its sides by which the frame of such a lens is reduced: between two samples a line bows
/// by less. (With distortion too: `tests/panorama.rs` finds no uncovered point.)
const BOW: f64 = 0.003;

/// Bisections of an edge: from 90° to a ten-thousandth.
const HALVINGS: usize = 20;

/// Tolerance of the edge, relative.
const ON_EDGE: f64 = 1e-9;

/// The coverage of a sensor, as it is held, behind a lens.
#[derive(Debug, Clone, Copy)]
pub struct FrameCoverage {
    /// Half the sensor's sides, mm.
    half_mm: (f64, f64),
    lens: Lens,
    /// See
    /// [`Distortion::least_tangential_scale`](crate::camera::distortion::Distortion::least_tangential_scale).
    least_tangential_scale: f64,
}

impl FrameCoverage {
    /// `None` unless focal length and sides are finite and positive, and the distortion is
    /// monotonic out to the corner.
    pub fn new(sensor: Sensor, lens: Lens) -> Option<Self> {
        let sides = [sensor.width_mm, sensor.height_mm, lens.focal_mm];
        let sound = sides.iter().all(|side| side.is_finite() && *side > 0.0);
        let least_tangential_scale = lens.distortion.least_tangential_scale()?;
        sound.then_some(Self {
            half_mm: (sensor.width_mm / 2.0, sensor.height_mm / 2.0),
            lens,
            least_tangential_scale,
        })
    }

    /// Angle of view from the middle of the lower edge to that of the upper one, to 180°.
    pub fn height(&self) -> Angle {
        Angle::from_radians(2.0 * self.reach(self.half_mm.1))
    }

    /// Bearings between the ends of the frame's middle line at a tilt, to 180°.
    ///
    /// ```text
    /// 24 mm upright on 36 × 24 mm, tilted by 0, 20, 40, 60°  →  53.13, 56.03, 66.27, 90.00°
    /// ```
    pub fn width(&self, tilt: Angle) -> Angle {
        let reach = self.reach(self.half_mm.0);
        let half = reach.sin().atan2(reach.cos() * tilt.cos());
        Angle::from_radians(2.0 * half)
    }

    /// Upper bound of a frame's solid angle, sr; exact for the equisolid projection without
    /// distortion.
    pub fn most_area(&self) -> f64 {
        let most_ideal_mm2 =
            4.0 * self.half_mm.0 * self.half_mm.1 / self.least_tangential_scale.powi(2);
        most_ideal_mm2 / (self.lens.focal_mm * self.lens.focal_mm)
    }

    /// Angle from the axis at the end of a middle line, radians.
    fn reach(&self, half_mm: f64) -> f64 {
        let angle = self
            .ideal_mm(half_mm)
            .and_then(|ideal_mm| self.lens.projection.off_axis(ideal_mm / self.lens.focal_mm));
        let limit = FIELD_LIMIT.radians();
        angle.map_or(limit, |angle| angle.min(limit))
    }

    /// Distance from the centre without distortion.
    fn ideal_mm(&self, radius_mm: f64) -> Option<f64> {
        let distortion = self.lens.distortion;
        if distortion.is_none() {
            return Some(radius_mm);
        }
        let half_diagonal_mm = self.half_diagonal_mm();
        let ideal = distortion.ideal(radius_mm / half_diagonal_mm)?;
        Some(ideal * half_diagonal_mm)
    }

    /// The tangential scale with distortion, mm, from that without; `None` where distortion has no
    /// image.
    fn distorted_scale(&self, ideal_scale: f64, seen: Vector) -> Option<f64> {
        let distortion = self.lens.distortion;
        if distortion.is_none() {
            return Some(ideal_scale);
        }
        let ideal = ideal_scale * seen.x.hypot(seen.y) / self.half_diagonal_mm();
        distortion.distorted(ideal)?;
        Some(ideal_scale * distortion.tangential_scale(ideal))
    }

    fn half_diagonal_mm(&self) -> f64 {
        self.half_mm.0.hypot(self.half_mm.1)
    }

    /// Whether a frame at a tilt contains an altitude over `half` to either side of the frame's
    /// bearing.
    pub fn holds(&self, tilt: Angle, half: Angle, altitude: Angle) -> bool {
        let (sin_t, cos_t) = tilt.radians().sin_cos();
        let (sin_a, cos_a) = altitude.radians().sin_cos();
        let half = half.radians();
        let at = |turn: f64| {
            let (sin, cos) = turn.sin_cos();
            self.has(Vector::new(
                cos_a * sin,
                cos_t * sin_a - sin_t * cos_a * cos,
                cos_t * cos_a * cos + sin_t * sin_a,
            ))
        };
        if !self.keeps_lines() {
            let places = if self.lens.distortion.is_none() {
                PLACES
            } else {
                DISTORTED_PLACES
            };
            let share = half / f64::from(places - 1);
            // a line about the zenith is widest a quarter turn from its middle
            return at(half.min(FRAC_PI_2))
                && (0..places).all(|place| at(f64::from(place) * share));
        }
        // the height in the picture is monotonic from the middle to the end; the width has its
        // extremum where the derivative of sin turn / (cos turn · cos tilt · cos altitude + sin
        // tilt · sin altitude) is zero
        let turn = (-cos_t * cos_a / (sin_t * sin_a)).acos();
        at(0.0) && at(half) && at(if turn < half { turn } else { half })
    }

    /// Whether straight lines stay straight.
    fn keeps_lines(&self) -> bool {
        self.lens.projection == Projection::Rectilinear && self.lens.distortion.is_none()
    }

    /// Whether a direction to the right, up and forward is on the sensor.
    fn has(&self, seen: Vector) -> bool {
        let theta = off_axis(seen);
        let imaged = theta <= FIELD_LIMIT.radians() * (1.0 + ON_EDGE);
        if !imaged || self.lens.projection.radius(theta).is_none() {
            return false;
        }
        let scale = self.lens.focal_mm * self.lens.projection.tangential_scale(theta);
        let Some(scale) = self.distorted_scale(scale, seen) else {
            return false;
        };
        let edge = 1.0 + if self.keeps_lines() { ON_EDGE } else { -BOW };
        let on = |at: f64, half_mm: f64| at.abs() * scale <= half_mm * edge;
        on(seen.x, self.half_mm.0) && on(seen.y, self.half_mm.1)
    }

    /// The altitude up to which a frame at a tilt contains everything from `low` on, `half` to
    /// either side; `None` if it does not contain `low` itself.
    pub fn top(&self, tilt: Angle, half: Angle, low: Angle) -> Option<Angle> {
        let holds = |degrees: f64| self.holds(tilt, half, Angle::from_degrees(degrees));
        let mut reached = low.degrees();
        if !holds(reached) {
            return None;
        }
        // a straight meridian intersects a frame in one segment
        let step = if self.keeps_lines() {
            180.0
        } else {
            self.height().degrees() / STEPS
        };
        while reached < 90.0 {
            let next = (reached + step).min(90.0);
            if !holds(next) {
                reached = last_of(reached, next, holds);
                break;
            }
            reached = next;
        }
        Some(Angle::from_degrees(reached))
    }

    /// The greatest tilt, up to `highest`, at which a frame contains an altitude over the half
    /// width that `half` returns for the tilt; `None` if there is none.
    pub fn tilt_over(
        &self,
        low: Angle,
        highest: Angle,
        half: impl Fn(Angle) -> Angle,
    ) -> Option<Angle> {
        let holds = |degrees: f64| {
            let tilt = Angle::from_degrees(degrees);
            self.holds(tilt, half(tilt), low)
        };
        let highest = highest.degrees();
        let least = low.degrees().min(highest);
        let tilt = if holds(highest) {
            highest
        } else if holds(least) {
            last_of(least, highest, holds)
        } else {
            return None;
        };
        Some(Angle::from_degrees(tilt))
    }
}

/// Bisects for the last value for which `holds` is true.
fn last_of(mut yes: f64, mut no: f64, holds: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..HALVINGS {
        let middle = (yes + no) / 2.0;
        if holds(middle) {
            yes = middle;
        } else {
            no = middle;
        }
    }
    yes
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::sensor::FORMATS;

    fn cover(focal_mm: f64, projection: Projection, upright: bool) -> FrameCoverage {
        let sensor = FORMATS[1].sensor(24.0);
        let lens = Lens {
            focal_mm,
            f_number: 2.8,
            projection,
            ..Lens::default()
        };
        let turned = if upright { sensor.turned() } else { sensor };
        FrameCoverage::new(turned, lens).expect("a camera")
    }

    /// 36 × 24 mm upright behind 24 mm and k1 = −0.03, computed by hand: half a side d falls at the
    /// ideal distance x with x (1 − 0.03 x²/468) = d, and its field is 2 atan(x/24).
    #[test]
    fn agrees_with_the_worked_fields_of_a_barrel() {
        let mut lens = Lens {
            focal_mm: 24.0,
            ..Lens::default()
        };
        lens.distortion.k1 = -0.03;
        let cover = FrameCoverage::new(FORMATS[1].sensor(24.0).turned(), lens).expect("a camera");
        // 18.3993 and 12.1140 mm
        for (got, want) in [
            (cover.height(), 74.9502),
            (cover.width(Angle::ZERO), 53.5646),
        ] {
            assert!((got.degrees() - want).abs() < 1e-3, "{got:?}, {want}");
        }
        let ideal = self::cover(24.0, Projection::Rectilinear, true);
        assert!(cover.most_area() > ideal.most_area());
    }

    /// A distortion that folds before the corner has no coverage.
    #[test]
    fn a_folded_picture_has_no_cover() {
        let mut lens = Lens::default();
        lens.distortion.k1 = -0.2;
        assert!(FrameCoverage::new(FORMATS[1].sensor(24.0), lens).is_none());
    }

    /// Angles of view of 36 × 24 mm by 2 atan(d/2f), and the bearings of a tilted frame by 2
    /// atan((d/2f)/cos tilt), computed independently.
    #[test]
    fn agrees_with_the_worked_fields() {
        let level = Angle::ZERO;
        for (focal, long, short) in [
            (14.0, 104.250, 81.203),
            (24.0, 73.740, 53.130),
            (35.0, 54.432, 37.849),
            (50.0, 39.598, 26.991),
        ] {
            let cover = cover(focal, Projection::Rectilinear, true);
            assert!((cover.height().degrees() - long).abs() < 6e-4, "{focal}");
            let width = cover.width(level).degrees();
            assert!((width - short).abs() < 6e-4, "{focal}: {width}");
        }
        let upright = cover(24.0, Projection::Rectilinear, true);
        for (tilt, want) in [(20.0, 56.03), (40.0, 66.27), (60.0, 90.0), (90.0, 180.0)] {
            let got = upright.width(Angle::from_degrees(tilt)).degrees();
            assert!((got - want).abs() < 5.1e-3, "{tilt}: {got}");
        }
    }

    /// The upper edge of a level rectilinear frame is a great circle: its altitude is tan a = h/2f
    /// cos b at the bearing b from the middle.
    #[test]
    fn the_upper_edge_sinks_to_the_sides() {
        let cover = cover(24.0, Projection::Rectilinear, true);
        for half in [0.0, 10.0, 26.0_f64] {
            let top = cover.top(Angle::ZERO, Angle::from_degrees(half), Angle::ZERO);
            let want = (0.75 * half.to_radians().cos()).atan().to_degrees();
            let got = top.map_or(f64::NAN, Angle::degrees);
            assert!((got - want).abs() < 1e-3, "{half}: {got}, {want}");
        }
        let too_wide = Angle::from_degrees(27.0);
        assert_eq!(cover.top(Angle::ZERO, too_wide, Angle::ZERO), None);
    }

    /// A frame straight up contains all bearings down to half its short side's angle of view; one
    /// through a fisheye of 180° across the short side contains the horizon, but for the reduction.
    #[test]
    fn a_frame_straight_up_holds_all_bearings() {
        let [up, round] = [90.0, 180.0].map(Angle::from_degrees);
        for (focal, projection, low) in [
            (14.0, Projection::Rectilinear, 90.0 - 81.203 / 2.0),
            (12.0 / FRAC_PI_2, Projection::Equidistant, 90.0 * BOW),
        ] {
            for upright in [false, true] {
                let cover = cover(focal, projection, upright);
                let holds = |degrees| cover.holds(up, round, Angle::from_degrees(degrees));
                assert!(holds(low + 1e-3), "{focal} mm");
                assert!(!holds(low - 1e-3), "{focal} mm");
            }
        }
    }

    #[test]
    fn no_camera_has_no_cover() {
        for focal in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            let sensor = FORMATS[1].sensor(24.0);
            let lens = Lens {
                focal_mm: focal,
                f_number: 2.8,
                projection: Projection::Rectilinear,
                ..Lens::default()
            };
            assert!(FrameCoverage::new(sensor, lens).is_none());
        }
    }
}
