//! The clean time: how long the shutter may stay open before a trail shows.
//!
//! The trail allowed at the place that must stay sharp is a length in micrometres; the clean time
//! is when the star that was there when the shutter opened has drawn exactly that.

use crate::angle::Angle;
use crate::camera::drift::centre_speed_um_s;
use crate::camera::view::{SensorPoint, View};

/// Longest time returned, s: half a day. A star that has not drawn its trail by then is so close to
/// the pole that no night is long enough.
pub const LONGEST_S: f64 = 43_200.0;

/// Steps of Newton's method; convergence is quadratic, so six are plenty.
const NEWTON_STEPS: u32 = 12;

/// Relative change of the time below which it has converged.
const SETTLED: f64 = 1e-12;

/// The longest shutter time for a trail.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CleanTime {
    /// Seconds, more than 0 and at most [`LONGEST_S`].
    Seconds(f64),
    /// The star never draws so long a trail in a night.
    NoLimit,
}

impl CleanTime {
    /// From a number of seconds that may be out of range.
    fn of_seconds(seconds: f64) -> Self {
        if seconds > 0.0 && seconds <= LONGEST_S {
            Self::Seconds(seconds)
        } else {
            Self::NoLimit
        }
    }

    /// The seconds, where there is a limit.
    pub fn seconds(self) -> Option<f64> {
        match self {
            Self::Seconds(seconds) => Some(seconds),
            Self::NoLimit => None,
        }
    }
}

/// Clean time of a star of declination δ at the centre of the frame:
/// trail / (1000 · ω · f · cos δ).
///
/// Good to 1e-5 for trails under a thousandth of the focal length.
///
/// ```text
/// 24 mm, 12 µm (two pixels of 6 µm), δ −29.0078°  →  7.840 s
/// ```
pub fn centre_clean_time(focal_mm: f64, declination: Angle, trail_um: f64) -> CleanTime {
    CleanTime::of_seconds(trail_um / centre_speed_um_s(focal_mm, declination))
}

impl View {
    /// Clean time at a point of the frame, by solving the trail's integral. `None` where the
    /// projection has no image.
    pub fn clean_time_at(&self, point: SensorPoint, trail_um: f64) -> Option<CleanTime> {
        let speed = self.speed_at(point)?;
        let CleanTime::Seconds(mut seconds) = CleanTime::of_seconds(trail_um / speed) else {
            return Some(CleanTime::NoLimit);
        };
        for _ in 0..NEWTON_STEPS {
            // A star that leaves the projection draws no more; the straight-line time is kept.
            let Some(drawn) = self.trail_um(point, seconds) else {
                break;
            };
            let Some(here) = self.star_after(point, seconds) else {
                break;
            };
            let Some(speed) = self.speed_at(here).filter(|speed| *speed > 0.0) else {
                break;
            };
            let next = (seconds + (trail_um - drawn) / speed)
                .max(seconds / 2.0)
                .min(seconds * 2.0);
            let settled = (next / seconds - 1.0).abs() < SETTLED;
            seconds = next;
            if settled {
                break;
            }
        }
        Some(CleanTime::of_seconds(seconds))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::frame::Frame;
    use crate::camera::lens::{Lens, Projection};
    use crate::camera::sensor::FORMATS;

    /// Computed from the definition; the last row is the core.
    #[test]
    fn agrees_with_the_worked_table() {
        let table = [
            // f mm, pitch µm, δ °, pixels, seconds
            (24.0, 6.0, 0.0, 1.0, 3.428_361),
            (50.0, 4.35, 0.0, 2.0, 2.386_139),
            (24.0, 6.0, -29.007_8, 2.0, 7.840_252),
        ];
        for (focal, pitch, dec, pixels, want) in table {
            let time = centre_clean_time(focal, Angle::from_degrees(dec), pixels * pitch);
            let got = time.seconds().expect("a moving star");
            assert!(
                (got - want).abs() < 1e-5,
                "f {focal}, δ {dec}: {got} s, want {want} s"
            );
        }
    }

    #[test]
    fn a_star_on_the_pole_has_no_limit() {
        let time = centre_clean_time(24.0, Angle::from_degrees(90.0), 12.0);
        assert_eq!(time, CleanTime::NoLimit);
        let time = view(45.0, 0.0).clean_time_at(SensorPoint::CENTRE, 12.0);
        assert_eq!(time, Some(CleanTime::NoLimit));
    }

    /// The solved time leaves exactly the given trail, even for long ones.
    #[test]
    fn the_trail_of_the_clean_time_is_the_trail_asked_for() {
        let view = view(20.0, 180.0);
        for trail_um in [1.0, 12.0, 400.0, 6000.0] {
            for (x_mm, y_mm) in [(0.0, 0.0), (-18.0, 12.0), (18.0, -12.0)] {
                let point = SensorPoint { x_mm, y_mm };
                let time = view.clean_time_at(point, trail_um).expect("a direction");
                let seconds = time.seconds().expect("a moving star");
                let drawn = view.trail_um(point, seconds).expect("stays in the field");
                assert!(
                    (drawn / trail_um - 1.0).abs() < 1e-9,
                    "{trail_um} µm: {drawn} µm"
                );
            }
        }
    }

    /// Two methods: the closed form at the centre and the integral.
    #[test]
    fn the_integral_agrees_with_the_centre_formula() {
        let view = view(45.0, 180.0);
        let dec = view
            .declination_at(SensorPoint::CENTRE)
            .expect("a direction");
        let near = view.clean_time_at(SensorPoint::CENTRE, 12.0);
        let near = near.and_then(CleanTime::seconds).expect("a moving star");
        let far = centre_clean_time(24.0, dec, 12.0)
            .seconds()
            .expect("a moving star");
        assert!((near / far - 1.0).abs() < 1e-5, "{near} s against {far} s");
    }

    fn view(latitude: f64, bearing: f64) -> View {
        let lens = Lens {
            focal_mm: 24.0,
            f_number: 2.8,
            projection: Projection::Rectilinear,
            ..Lens::default()
        };
        let frame = Frame {
            bearing: Angle::from_degrees(bearing),
            tilt: Angle::from_degrees(45.0),
            roll: Angle::ZERO,
        };
        View::new(
            FORMATS[1].sensor(24.0),
            lens,
            frame,
            Angle::from_degrees(latitude),
        )
    }
}
