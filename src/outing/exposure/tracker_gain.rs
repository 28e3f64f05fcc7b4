//! The gain of a tracker over a stack, as a range where the body is unknown.
//!
//! Each frame of a stack costs read noise and the pause before the next. Makers publish neither,
//! and bodies of the last ten years differ by a factor of two in one and of three in the other. So
//! where no read noise, or no gap between frames, was typed, the gain is computed for a quiet and
//! quick body as well as for the usual one, and given as the range between the two.

use crate::outing::exposure::sequence::Sequence;
use crate::outing::exposure::sky_brightness::SkyBrightness;
use crate::outing::exposure::strategies::{Strategies, Tracked};
use crate::outing::plan::Outing;
use crate::outing::plan::camera_body::CameraBody;

/// Read noise of a quiet body at the ISO of night photographs, e⁻ (from memory: 1.2 to 2.5; the
/// usual body has 2.5).
pub const QUIET_READ_NOISE_E: f64 = 1.2;

/// Time between two exposures of a quick body, s (from memory: 0.3 to 1; the usual body has 1).
pub const QUICK_WRITE_S: f64 = 0.3;

/// ISO of night photographs (common practice).
const USUAL_ISO: f64 = 1600.0;

/// The outing with a quiet and quick body in place of unknown values; `None` where both read noise
/// and the gap between frames are known.
pub fn with_best_body(outing: &Outing) -> Option<Outing> {
    let CameraBody {
        read_noise,
        write_s,
        ..
    } = &outing.kit.body;
    if !read_noise.is_empty() && write_s.is_some() {
        return None;
    }
    let mut best = outing.clone();
    let body = &mut best.kit.body;
    if body.read_noise.is_empty() {
        // a single value applies to every ISO
        body.insert_read_noise(outing.iso.unwrap_or(USUAL_ISO), QUIET_READ_NOISE_E);
    }
    body.write_s.get_or_insert(QUICK_WRITE_S);
    Some(best)
}

/// Tracked frames against a stack on the tripod, for one body.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AgainstStack {
    /// Ratio of signal to noise after the same time.
    pub gain: f64,
    /// The stack that matches them; `None` where no number of frames does.
    pub matching: Option<Sequence>,
    /// Its elapsed time over that of the tracked frames.
    pub times_longer: Option<f64>,
}

impl AgainstStack {
    fn new(ways: &Strategies, outing: &Outing) -> Self {
        Self {
            gain: ways.gain(),
            matching: ways.matching(outing),
            times_longer: ways.times_longer(outing),
        }
    }
}

/// The four strategies at a focal length, and the tracker's gain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Compared {
    /// The four strategies, for the known or usual body.
    pub strategies: Strategies,
    /// The tracker against the stack, for that body.
    pub usual: AgainstStack,
    /// The same for the best body of [`with_best_body`].
    pub best: Option<AgainstStack>,
}

impl Compared {
    /// At a focal length; `best` is the outing [`with_best_body`], where there is one. The tracked
    /// exposure does not depend on the body.
    pub fn new(
        outing: &Outing,
        best: Option<&Outing>,
        focal_mm: f64,
        sky: &SkyBrightness,
        tracked: Tracked,
    ) -> Self {
        let ways = Strategies::new(outing, focal_mm, sky, tracked);
        Self {
            strategies: ways,
            usual: AgainstStack::new(&ways, outing),
            best: best.map(|best| {
                let ways = Strategies::new(best, focal_mm, sky, tracked);
                AgainstStack::new(&ways, best)
            }),
        }
    }

    /// Ratio of signal to noise after the same time, least and most.
    pub fn gain(&self) -> (f64, f64) {
        let best = self.best.map_or(self.usual.gain, |best| best.gain);
        in_order(best, self.usual.gain)
    }

    /// Ratio of elapsed times for the same signal to noise, least and most; `None` where for the
    /// usual body no stack does.
    pub fn times_longer(&self) -> Option<(f64, f64)> {
        let usual = self.usual.times_longer?;
        let best = self.best.and_then(|best| best.times_longer);
        Some(in_order(best.unwrap_or(usual), usual))
    }

    /// The matching stacks, of fewest and of most frames; `None` where for the usual body no
    /// stack does.
    pub fn matching(&self) -> Option<(Sequence, Sequence)> {
        let usual = self.usual.matching?;
        let best = self.best.and_then(|best| best.matching).unwrap_or(usual);
        Some(if best.frames <= usual.frames {
            (best, usual)
        } else {
            (usual, best)
        })
    }
}

fn in_order(one: f64, other: f64) -> (f64, f64) {
    (one.min(other), one.max(other))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::angle::Angle;
    use crate::light::brightness::SurfaceBrightness;
    use crate::light::noise::Rates;
    use crate::light::tracking_residual::TrackingResidual;
    use crate::sky::altitude::ApparentAltitude;

    fn sky() -> SkyBrightness {
        SkyBrightness {
            altitude: ApparentAltitude(Angle::from_degrees(90.0)),
            dark: SurfaceBrightness::from_magnitude(21.5),
            whole: Some(SurfaceBrightness::from_magnitude(21.5)),
            moon_mag: 0.0,
            twilight_mag: 0.0,
            air_masses: 1.0,
            lost_mag: 0.0,
        }
    }

    fn compared(outing: &Outing, focal_mm: f64) -> Compared {
        let steady = Tracked {
            longest_s: f64::INFINITY,
            residual: TrackingResidual {
                along_rad_s: 0.0,
                across_rad_s: 0.0,
                periodic_amplitude_rad: 0.0,
                periodic_frequency_rad_s: 0.01,
            },
            allowed: Angle::from_degrees(0.01),
        };
        let best = with_best_body(outing);
        Compared::new(outing, best.as_ref(), focal_mm, &sky(), steady)
    }

    fn outing() -> Outing {
        Outing {
            f_number: 2.8,
            iso: Some(6400.0),
            ..Outing::default()
        }
    }

    /// The ends are the results with the two values typed, and with both known the ends are equal.
    #[test]
    fn the_ends_are_those_of_typed_bodies() {
        for focal_mm in [14.0, 50.0, 135.0, 300.0] {
            let range = compared(&outing(), focal_mm);
            let typed = |read_noise_e: f64, write_s: f64| {
                let mut outing = outing();
                outing.kit.body.insert_read_noise(6400.0, read_noise_e);
                outing.kit.body.write_s = Some(write_s);
                let known = compared(&outing, focal_mm);
                assert_eq!(known.best, None);
                let (least, most) = known.gain();
                assert_eq!(least, most);
                known.usual
            };
            let (quiet, usual) = (typed(1.2, 0.3), typed(2.5, 1.0));
            let (least, most) = range.gain();
            // typical read noise at ISO 6400 is 2.501
            assert!((least / quiet.gain - 1.0).abs() < 1e-9, "{focal_mm} mm");
            assert!((most / usual.gain - 1.0).abs() < 1e-3, "{focal_mm} mm");
            assert!(least < most, "{focal_mm} mm: {least}, {most}");
            let (fewest, _) = range.matching().expect("a number of frames");
            assert_eq!(Some(fewest.frames), quiet.matching.map(|it| it.frames));
        }
    }

    /// With one of the two known the range is narrower, and inside the whole one.
    #[test]
    fn what_is_known_narrows_the_range() {
        let (least, most) = compared(&outing(), 135.0).gain();
        let mut gap_known = outing();
        gap_known.kit.body.write_s = Some(0.5);
        let mut noise_known = outing();
        noise_known.kit.body.insert_read_noise(6400.0, 1.8);
        for known in [gap_known, noise_known] {
            let (low, high) = compared(&known, 135.0).gain();
            assert!(low < high && low >= least && high <= most, "{low}, {high}");
        }
    }

    /// First principles, by hand: without pauses the time a stack takes is (r + R²/t)/(r + R²/T) of
    /// the tracked one's; with r 1.545 e⁻/s, frames of 1.39 s against 119 s it is 3.78 for 2.5 e⁻
    /// and 1.66 for 1.2 e⁻: half the read noise is a factor of two. The pauses come on top: a frame
    /// every 2 s or 3 s instead of 1.26 s.
    #[test]
    fn a_quiet_body_halves_what_a_tracker_saves() {
        let range = compared(&outing(), 135.0);
        let rates = |read_noise_e| Rates {
            read_noise_e,
            ..range.strategies.stack.settings.rates
        };
        let by_noise = [1.2, 2.5].map(|e| rates(e).time_penalty(1.39, 119.0));
        assert!((by_noise[0] - 1.658).abs() < 0.002, "{by_noise:?}");
        assert!((by_noise[1] - 3.782).abs() < 0.002, "{by_noise:?}");
        let (least, most) = range.times_longer().expect("a stack");
        let shutter_s = range.strategies.stack.settings.each_s();
        // the subject's own light adds to the sky's, and tracked frames pause too
        let all = range.strategies.stack.settings.rates;
        let rates = |read_noise_e| Rates {
            sky_e_s: all.sky_e_s + all.signal_e_s,
            read_noise_e,
            ..all
        };
        let tracked = 120.0 / 119.0;
        for (got, read_noise_e, every_s) in [(least, 1.2, 2.0), (most, 2.5, 3.0)] {
            let open = rates(read_noise_e).time_penalty(shutter_s, 119.0);
            let want = open * every_s / shutter_s / tracked;
            assert!(
                (got / want - 1.0).abs() < 0.01,
                "{read_noise_e} e⁻: {got}, want {want}"
            );
        }
    }

    #[test]
    fn any_lens_has_a_range() {
        for focal_mm in [1.0, 10.0, 3000.0] {
            for stack_min in [1.0, 600.0] {
                let outing = Outing {
                    stack_min,
                    ..Outing::default()
                };
                let range = compared(&outing, focal_mm);
                let (least, most) = range.gain();
                assert!(least.is_finite() && most.is_finite() && least <= most);
                let times = range.times_longer();
                assert!(times.is_none_or(|(least, most)| least <= most && most.is_finite()));
            }
        }
    }
}
