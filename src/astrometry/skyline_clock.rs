//! Whether a skyline tells of a wrong clock.
//!
//! Stars say where a camera pointed as if the picture was taken when the clock says. With a wrong clock
//! the camera, and with it the skyline, is turned about the pole by 15° an hour, as a whole: rays of
//! the ground are bent no more than before. Where the
//! skyline is known, the turn that brings the traced one back to it says by how much the clock is
//! wrong.
//!
//! It is told only where nothing else explains the misfit as well: the fit is good, the one by the clock
//! is bad, no other turn fits nearly as well, and neither does a mere shift in bearing, as of a line that was
//! sighted with a compass that is off. Of a flat line nothing is told.

use crate::angle::Angle;
use crate::camera::drift::EARTH_RATE;
use crate::land::ridge::RidgeLine;
use crate::sky::celestial_to_horizontal::horizontal;
use crate::vector::Vector;

/// Points of the traced skyline that are compared, at most and at least.
const MOST_POINTS: usize = 120;
const LEAST_POINTS: usize = 20;

/// This share of them is to be over sighted ground.
const LEAST_SIGHTED: f64 = 0.6;

/// Clocks are sought within this time, s: forgotten summer time, and a zone or two.
const RANGE_S: f64 = 3.0 * 3600.0;

/// Steps of the search, s, each about the best of the one before: 1°, 15′ and 2.5′ of turn.
const STEPS_S: [f64; 3] = [240.0, 60.0, 10.0];

/// Misfits count up to this, degrees: a tree that the known line has not.
const MOST_DEG: f64 = 4.0;

/// Mean misfit of a line that fits, degrees: lines sighted by hand are good to a few tenths.
const FITS_DEG: f64 = 0.4;

/// By how much the fit is to be better than that by the clock: times, and degrees.
const TIMES_BETTER: f64 = 3.0;
const BETTER_DEG: f64 = 0.5;

/// By how much it is to be better than other turns and shifts in bearing, times and degrees; turns less
/// apart than this are one, s.
const TIMES_RIVALS: f64 = 1.5;
const RIVALS_DEG: f64 = 0.1;
const ONE_TURN_S: f64 = 1200.0;

/// Mean departure of the known line from its mean, degrees, from which it is not flat; and over the
/// misfit.
const RELIEF_DEG: f64 = 0.6;
const RELIEF_TIMES: f64 = 3.0;

/// Shifts in bearing that compasses make, degrees, and the step of the search.
const BEARING_DEG: f64 = 25.0;
const BEARING_STEP_DEG: f64 = 0.25;

/// What the clock is off by the skyline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClockMisfit {
    /// By how much the picture was taken later than the clock says, s; good to a quarter of a minute.
    pub later_s: f64,
    /// Mean distance of the lines with that, degrees.
    pub misfit_deg: f64,
}

/// Traced points as they are turned.
struct Traced<'a> {
    seen: Vec<Vector>,
    pole: Vector,
    known: &'a RidgeLine,
}

/// What the clock is off by a traced skyline, true bearing and apparent altitude, at this latitude.
/// `None` where it is right, or nothing can be told.
///
/// On the frames of `tests/frames` with a skyline that is not flat it is good to a quarter of a minute,
/// for clocks wrong by up to an hour (`tests/skyline_clock.rs`).
pub fn clock_misfit(
    traced: &[(Angle, Angle)],
    known: &RidgeLine,
    latitude: Angle,
) -> Option<ClockMisfit> {
    let step = traced.len().div_ceil(MOST_POINTS).max(1);
    let points = traced.iter().step_by(step);
    let seen: Vec<Vector> = points
        .map(|(bearing, altitude)| Vector::from_bearing(*bearing, *altitude))
        .collect();
    if seen.len() < LEAST_POINTS {
        return None;
    }
    let traced = Traced {
        seen,
        pole: Vector::new(0.0, latitude.cos(), latitude.sin()),
        known,
    };
    let by_clock_deg = traced.misfit_deg(0.0)?;
    let mut turns = traced.turns();
    turns.sort_by(|one, other| one.misfit_deg.total_cmp(&other.misfit_deg));
    let best = *turns.first()?;
    let fit_deg = best.misfit_deg;
    let rival_deg = (TIMES_RIVALS * fit_deg).max(fit_deg + RIVALS_DEG);
    let is_rival = |turn: &ClockMisfit| {
        turn.misfit_deg < rival_deg && (turn.later_s - best.later_s).abs() > ONE_TURN_S
    };
    let tells = fit_deg < FITS_DEG
        && by_clock_deg > TIMES_BETTER * fit_deg
        && by_clock_deg > fit_deg + BETTER_DEG
        && traced.relief_deg(best.later_s) > RELIEF_DEG.max(RELIEF_TIMES * fit_deg)
        && !turns.iter().any(is_rival)
        && traced.by_bearing_deg() > rival_deg;
    tells.then_some(best)
}

impl Traced<'_> {
    /// Heights of the traced and of the known line at each point, for a picture taken later; `None`
    /// where the known one is sighted at too few.
    fn heights_deg(&self, later_s: f64) -> Option<Vec<(f64, f64)>> {
        let turned = self.seen.iter().map(|seen| {
            // the sky turns from east to west
            let at = horizontal(seen.rotated_about(self.pole, -EARTH_RATE * later_s));
            (at.bearing, at.altitude.0)
        });
        self.over_sighted(turned)
    }

    fn over_sighted(
        &self,
        points: impl Iterator<Item = (Angle, Angle)>,
    ) -> Option<Vec<(f64, f64)>> {
        let sighted = points.filter(|(bearing, _)| self.known.sighted(*bearing));
        let heights: Vec<_> = sighted
            .map(|(bearing, altitude)| (altitude.degrees(), self.known.height(bearing).degrees()))
            .collect();
        (heights.len() as f64 >= LEAST_SIGHTED * self.seen.len() as f64).then_some(heights)
    }

    /// Mean distance of the lines in height.
    fn misfit_deg(&self, later_s: f64) -> Option<f64> {
        self.heights_deg(later_s)
            .map(|heights| misfit_deg(&heights))
    }

    /// The turns that fit better than those beside them.
    fn turns(&self) -> Vec<ClockMisfit> {
        let [coarse_s, finer_s @ ..] = STEPS_S;
        let count = (RANGE_S / coarse_s) as i32;
        let misfits: Vec<_> = (-count..=count)
            .map(|step| {
                let later_s = f64::from(step) * coarse_s;
                (later_s, self.misfit_deg(later_s).unwrap_or(f64::INFINITY))
            })
            .collect();
        let least = |of: &[(f64, f64)]| {
            let least = of.iter().min_by(|one, other| one.1.total_cmp(&other.1));
            least.copied()
        };
        misfits
            .windows(3)
            .filter(|three| three[1].1.is_finite() && least(three) == Some(three[1]))
            .filter_map(|three| {
                let (mut best, mut width_s) = (three[1], coarse_s);
                for step_s in finer_s {
                    let steps = (width_s / step_s) as i32;
                    let near = (-steps..=steps).filter_map(|step| {
                        let later_s = best.0 + f64::from(step) * step_s;
                        Some((later_s, self.misfit_deg(later_s)?))
                    });
                    best = least(&near.collect::<Vec<_>>())?;
                    width_s = step_s;
                }
                Some(ClockMisfit {
                    later_s: best.0,
                    misfit_deg: best.1,
                })
            })
            .collect()
    }

    /// Mean departure of the known line from its mean, where the turned one runs.
    fn relief_deg(&self, later_s: f64) -> f64 {
        let heights = self.heights_deg(later_s).unwrap_or_default();
        let count = heights.len().max(1) as f64;
        let mean = heights.iter().map(|(_, known)| known).sum::<f64>() / count;
        let off = heights.iter().map(|(_, known)| (known - mean).abs());
        off.sum::<f64>() / count
    }

    /// The least misfit by a shift in bearing alone.
    fn by_bearing_deg(&self) -> f64 {
        let count = (BEARING_DEG / BEARING_STEP_DEG) as i32;
        let shifted = |step: i32| {
            let shift = Angle::from_degrees(f64::from(step) * BEARING_STEP_DEG);
            let points = self.seen.iter().map(|seen| {
                let at = horizontal(*seen);
                let bearing = Angle::from_radians(at.bearing.radians() + shift.radians());
                (bearing, at.altitude.0)
            });
            self.over_sighted(points)
                .map(|heights| misfit_deg(&heights))
        };
        (-count..=count)
            .filter_map(shifted)
            .fold(f64::INFINITY, f64::min)
    }
}

fn misfit_deg(heights: &[(f64, f64)]) -> f64 {
    let off = heights
        .iter()
        .map(|(traced, known)| (traced - known).abs().min(MOST_DEG));
    off.sum::<f64>() / heights.len().max(1) as f64
}
