//! Residual motion of a tracked star: a steady drift, and the periodic error along its daily path.
//!
//! A frame's trail depends on the phase of the periodic error, so some frames are better than
//! others, and the question is what fraction is good.

use std::f64::consts::PI;

use crate::angle::Angle;

/// Phases of the periodic error sampled. A fraction of frames is good to one in this many.
const PHASES: usize = 64;

/// Shortest and longest exposure searched, s.
const TIMES_S: (f64, f64) = (1e-3, 86_400.0);

/// Bisections of the logarithm of time: 2⁻²⁶ of a factor of 10⁸ is a millionth.
const HALVINGS: u32 = 26;

/// Fraction of frames to be kept (common practice: one in five may be discarded).
pub const KEEP_FRACTION: f64 = 0.8;

/// Residual motion of a tracked star.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrackingResidual {
    /// Steady drift along the daily path, rad/s.
    pub along_rad_s: f64,
    /// Steady drift across it, rad/s; never negative.
    pub across_rad_s: f64,
    /// Amplitude of the periodic error along the path, on the sky.
    pub periodic_amplitude_rad: f64,
    /// Angular frequency of the periodic error, rad/s.
    pub periodic_frequency_rad_s: f64,
}

impl TrackingResidual {
    /// The steady drift, rad/s.
    pub fn drift_rate_rad_s(&self) -> f64 {
        self.along_rad_s.hypot(self.across_rad_s)
    }

    /// The trail of an exposure that begins at a phase of the periodic error: the diagonal of the
    /// star's bounding box along and across the daily path.
    ///
    /// Exact for either error alone; with both it is the longest the trail can be.
    pub fn trail(&self, seconds: f64, phase: Angle) -> Angle {
        let phase = phase.radians();
        let along = |at: f64| {
            let swing = (self.periodic_frequency_rad_s * at + phase).sin() - phase.sin();
            self.along_rad_s * at + self.periodic_amplitude_rad * swing
        };
        let end = along(seconds);
        let (mut least, mut most) = (end.min(0.0), end.max(0.0));
        // it reverses where the periodic error's speed equals the drift's
        let cos = -self.along_rad_s / (self.periodic_amplitude_rad * self.periodic_frequency_rad_s);
        if cos.abs() < 1.0 {
            let turn = cos.acos();
            for turn in [turn, -turn] {
                // the first and the last time within the exposure
                let round = 2.0 * PI;
                let first = (turn - phase).rem_euclid(round);
                let whole = ((self.periodic_frequency_rad_s * seconds - first) / round).floor();
                if whole < 0.0 {
                    continue;
                }
                for times in [0.0, whole] {
                    let at = along((first + times * round) / self.periodic_frequency_rad_s);
                    (least, most) = (least.min(at), most.max(at));
                }
            }
        }
        Angle::from_radians((most - least).hypot(self.across_rad_s * seconds))
    }

    /// The trails of frames at evenly spaced phases, radians.
    fn trails(&self, seconds: f64) -> [f64; PHASES] {
        std::array::from_fn(|place| {
            let phase = 2.0 * PI * (place as f64 + 0.5) / PHASES as f64;
            self.trail(seconds, Angle::from_radians(phase)).radians()
        })
    }

    /// The fraction of frames, over all phases, within a trail; 0 to 1, good to one in sixty-four.
    pub fn fraction_kept(&self, seconds: f64, allowed: Angle) -> f64 {
        fraction_within(&self.trails(seconds), allowed.radians())
    }

    /// The longest exposure for which at least a fraction of frames is within a trail, s; `None`
    /// where a day is, or for NaN.
    ///
    /// To a millionth, rounded down. The fraction never grows with the exposure.
    ///
    /// ```text
    /// drift 0.2625″/s, no periodic error, 74.8″ allowed  →  285 s
    /// ```
    pub fn longest_s(&self, allowed: Angle, share: f64) -> Option<f64> {
        let (mut short, mut long) = (TIMES_S.0.ln(), TIMES_S.1.ln());
        if allowed.radians().is_nan() || self.fraction_kept(TIMES_S.1, allowed) >= share {
            return None;
        }
        for _ in 0..HALVINGS {
            let middle = (short + long) / 2.0;
            if self.fraction_kept(middle.exp(), allowed) >= share {
                short = middle;
            } else {
                long = middle;
            }
        }
        Some(short.exp())
    }

    /// The trail within which a fraction of frames stays, to 1e-7 of the greatest possible trail.
    pub fn trail_at_fraction(&self, seconds: f64, share: f64) -> Angle {
        let trails = self.trails(seconds);
        let most = self.drift_rate_rad_s() * seconds + 2.0 * self.periodic_amplitude_rad;
        let (mut short, mut long) = (0.0, most);
        for _ in 0..HALVINGS {
            let middle = (short + long) / 2.0;
            if fraction_within(&trails, middle) >= share {
                long = middle;
            } else {
                short = middle;
            }
        }
        Angle::from_radians(long)
    }
}

/// The fraction of trails within a limit.
fn fraction_within(trails: &[f64; PHASES], allowed: f64) -> f64 {
    let good = trails.iter().filter(|trail| **trail <= allowed);
    good.count() as f64 / PHASES as f64
}

/// The angle of a trail in pixels on the sky in the middle of a frame: 206.265″ for a micrometre at
/// a millimetre of focal length.
///
/// ```text
/// 2 pixels of 4.35 µm, 24 mm  →  74.8″
/// ```
pub fn trail_on_sky(pixels: f64, pitch_um: f64, focal_mm: f64) -> Angle {
    Angle::from_radians(pixels * pitch_um / focal_mm / 1000.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    const ARCSEC: f64 = PI / 180.0 / 3600.0;

    fn deg(degrees: f64) -> Angle {
        Angle::from_degrees(degrees)
    }

    /// Computed by hand: 2 pixels of 4.35 µm; focal length, their angle, and the time for that at
    /// 0.2625″/s.
    #[test]
    fn reach_of_the_worked_table() {
        let creeping = TrackingResidual {
            along_rad_s: 0.0,
            across_rad_s: 0.2625 * ARCSEC,
            periodic_amplitude_rad: 0.0,
            periodic_frequency_rad_s: 0.01,
        };
        for (focal_mm, seconds) in [
            (24.0, 285.0),
            (50.0, 137.0),
            (85.0, 80.0),
            (135.0, 51.0),
            (200.0, 34.0),
        ] {
            let allowed = trail_on_sky(2.0, 4.35, focal_mm);
            let got = creeping.longest_s(allowed, 1.0).expect("a limit");
            assert!(
                (got - seconds).abs() < 0.9,
                "{focal_mm} mm: {got} s, want {seconds} s"
            );
            assert!(creeping.trail(got, Angle::ZERO) <= allowed);
        }
        let span = trail_on_sky(2.0, 4.35, 24.0).degrees() * 3600.0;
        assert!((span - 74.77).abs() < 5e-3, "{span}″");
    }

    /// Periodic error alone: the fraction of frames within a trail, by the integral. Frames much
    /// shorter than the period have a trail of (2A sin(πt/P)) |cos| of their middle's phase.
    #[test]
    fn the_share_of_good_frames_is_that_of_the_phases() {
        let left = TrackingResidual {
            along_rad_s: 0.0,
            across_rad_s: 0.0,
            periodic_amplitude_rad: 25.0 * ARCSEC,
            periodic_frequency_rad_s: 2.0 * PI / 600.0,
        };
        for (seconds, allowed) in [(30.0, 5.0), (30.0, 7.0), (20.0, 3.0)] {
            let most = 50.0 * (PI * seconds / 600.0_f64).sin();
            let want = 1.0 - 2.0 / PI * (allowed / most).acos();
            let got = left.fraction_kept(seconds, deg(allowed / 3600.0));
            assert!(
                (got - want).abs() < 1.5 / 64.0,
                "{seconds} s, {allowed}″: {got}, want {want}"
            );
        }
        // once the whole period fits, no frame is worse
        let all = left.trail(700.0, deg(33.0)).degrees() * 3600.0;
        assert!((all - 50.0).abs() < 1e-6, "{all}″");
        assert_eq!(left.longest_s(deg(50.1 / 3600.0), 1.0), None);
    }
}
