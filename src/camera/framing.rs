//! The lens that fills a frame with a target.
//!
//! A target fills two thirds of the frame: a sixth stays free on every side for its faint edges,
//! for aligning frames and for rotating them. Small targets get at least a twelfth of a degree on
//! every side.

use crate::angle::Angle;
use crate::camera::sensor::Sensor;

/// Share of the frame's side filled by a target.
const FILLED: f64 = 2.0 / 3.0;

/// Least sky on each side, degrees.
const LEAST_DEG: f64 = 5.0 / 60.0;

/// Focal length, mm, at which a target of a long and a short axis fills the frame of a sensor, in
/// the orientation that fits better.
///
/// The tighter of both sides counts; f = d/2 / tan(W/2) for a rectilinear lens, W the frame's angle
/// of view. The target's size is clamped so that the result is finite.
///
/// ```text
/// 45′ × 30′ on 17.3 × 13 mm  →  881 mm, the long side tighter
/// ```
pub fn filling_focal_mm(sensor: Sensor, long: Angle, short: Angle) -> f64 {
    let (wide_mm, high_mm) = (
        sensor.width_mm.max(sensor.height_mm),
        sensor.width_mm.min(sensor.height_mm),
    );
    by_side(wide_mm, long).min(by_side(high_mm, short))
}

fn by_side(side_mm: f64, axis: Angle) -> f64 {
    const MOST_DEG: f64 = 170.0;
    let axis_deg = axis.degrees().abs();
    let taken_deg = (axis_deg / FILLED)
        .max(axis_deg + 2.0 * LEAST_DEG)
        .min(MOST_DEG);
    let half = Angle::from_degrees(taken_deg / 2.0);
    side_mm / 2.0 * half.cos() / half.sin()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::sensor::FORMATS;

    fn at(long_deg: f64, short_deg: f64) -> f64 {
        let full_frame = FORMATS[1].sensor(24.0);
        filling_focal_mm(
            full_frame,
            Angle::from_degrees(long_deg),
            Angle::from_degrees(short_deg),
        )
    }

    /// By hand: 10° fill two thirds of 15°, 36 mm / 2 / tan 7.5° = 136.7 mm; where the
    /// short side is tighter, 24 mm / 2 / tan 7.5° = 91.1 mm.
    #[test]
    fn two_thirds_of_the_tighter_side() {
        assert!((at(10.0, 1.0) - 136.726).abs() < 1e-2, "{}", at(10.0, 1.0));
        assert!((at(10.0, 10.0) - 91.150).abs() < 1e-2, "{}", at(10.0, 10.0));
    }

    /// By hand: 0.1° with a twelfth of a degree on each side is 0.2667°: 24 mm / 2 / tan
    /// 0.1333° = 5157 mm.
    #[test]
    fn small_ones_keep_their_stars() {
        assert!((at(0.1, 0.1) - 5156.6).abs() < 0.5, "{}", at(0.1, 0.1));
    }

    #[test]
    fn larger_targets_never_want_longer_lenses() {
        let mut before = f64::INFINITY;
        for tenths in 0..3000 {
            let got = at(f64::from(tenths) / 10.0, f64::from(tenths) / 20.0);
            assert!(
                got.is_finite() && got > 0.0 && got <= before,
                "{tenths}: {got}"
            );
            before = got;
        }
        assert!(at(f64::NAN, 1.0).is_finite());
    }
}
