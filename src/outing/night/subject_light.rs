//! The light at the subject: brightness of the sky there, extinction, and the weight of a span of
//! time.

use crate::angle::Angle;
use crate::light::brightness::SurfaceBrightness;
use crate::light::weight::weight;
use crate::outing::exposure::sky_brightness::SkyBrightness;
use crate::outing::night::site_sky::SiteSky;
use crate::sky::almanac::SkyBody;
use crate::sky::night::Night;
use crate::sky::spans::Span;

/// Longest step of the integral over a window, days.
const STEP_DAYS: f64 = 20.0 / 1440.0;

/// Longest step of the search for the best moment, days: about moonset the light changes within a
/// quarter of an hour.
const FINE_STEP_DAYS: f64 = 3.0 / 1440.0;

/// Golden-section steps of the best moment: 0.618¹⁰ of two steps is three seconds.
const SECTIONS: u32 = 10;

/// (√5 − 1)/2.
const GOLDEN: f64 = 0.618_033_988_749_894_9;

/// Sine of the Moon's altitude below which its twilight is not computed: −12°. There a full Moon
/// adds less than 0.01 mag in any direction (`tests/moonlight_table.rs`).
const UNFELT_SIN: f64 = -0.207_912;

/// Hours in a day.
const DAY_H: f64 = 24.0;

/// The light at the subject at a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SubjectLight {
    /// Magnitudes by which the Moon brightens the sky there, twilight included.
    pub moon_cost: f64,
    /// The sky there; `None` in bright twilight and by day.
    pub sky: Option<SurfaceBrightness>,
    /// Its [`weight`]; 0 where `sky` is `None` or the subject is down.
    pub weight: f64,
}

impl SiteSky {
    /// The light at the subject, `at` days into the night.
    pub fn subject_light(&self, night: &Night<'_>, at: f64) -> SubjectLight {
        let [subject, sun, moon] =
            [SkyBody::Subject, SkyBody::Sun, SkyBody::Moon].map(|body| night.topocentric(body, at));
        let light = SkyBrightness::at(
            self,
            subject.altitude(),
            (sun, subject.angle_to(sun)),
            (moon, subject.angle_to(moon)),
        );
        let up = light.altitude.0 >= Angle::ZERO;
        let weighed = light.whole.filter(|_| up);
        SubjectLight {
            moon_cost: light.moon_mag,
            sky: light.whole,
            weight: weighed.map_or(0.0, |sky| weight(light.lost_mag, sky, self.dark())),
        }
    }

    /// The moon cost at the subject alone; 0 for a Moon so low that it is under 0.01 mag.
    pub fn moon_cost(&self, night: &Night<'_>, at: f64) -> f64 {
        if night.topocentric(SkyBody::Moon, at).sin_altitude() < UNFELT_SIN {
            return 0.0;
        }
        self.subject_light(night, at).moon_cost
    }

    /// Equivalent hours of a span: the integral of the weight.
    ///
    /// Simpson's rule with steps of twenty minutes at most; within 1 %, or
    /// 0.001 h, of steps of ten seconds on every fifth night of a year at 36° N with any Moon
    /// (`tests/shot_window_limits.rs`).
    pub fn equivalent_hours(&self, night: &Night<'_>, span: Span) -> f64 {
        let weights = self.weights(night, span, STEP_DAYS);
        let last = weights.len() - 1;
        let sum: f64 = weights
            .iter()
            .enumerate()
            .map(|(place, (_, weight))| match place {
                0 => *weight,
                _ if place == last => *weight,
                _ if place % 2 == 1 => 4.0 * weight,
                _ => 2.0 * weight,
            })
            .sum();
        sum * (span.end - span.start) * DAY_H / (3.0 * last as f64)
    }

    /// The moment of greatest weight in a span, days into the night; to some seconds.
    pub fn brightest(&self, night: &Night<'_>, span: Span) -> f64 {
        let weights = self.weights(night, span, FINE_STEP_DAYS);
        let better = |best: usize, place: usize| {
            if weights[place].1 > weights[best].1 {
                place
            } else {
                best
            }
        };
        let best = (0..weights.len()).fold(0, better);
        let (mut low, mut high) = (
            weights[best.saturating_sub(1)].0,
            weights[(best + 1).min(weights.len() - 1)].0,
        );
        let weight = |at: f64| self.subject_light(night, at).weight;
        for _ in 0..SECTIONS {
            let (left, right) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
            if weight(left) > weight(right) {
                high = right;
            } else {
                low = left;
            }
        }
        let middle = (low + high) / 2.0;
        // an end of the span, or the sample itself, may be better than the search's result
        if weight(middle) >= weights[best].1 {
            middle
        } else {
            weights[best].0
        }
    }

    /// Moments of a span, an odd number at even steps with both ends, and their weights.
    fn weights(&self, night: &Night<'_>, span: Span, longest_step: f64) -> Vec<(f64, f64)> {
        let pairs = ((span.end - span.start) / (2.0 * longest_step))
            .ceil()
            .max(1.0);
        let steps = 2 * pairs as usize;
        (0..=steps)
            .map(|step| {
                let at = span.start + (span.end - span.start) * step as f64 / steps as f64;
                (at, self.subject_light(night, at).weight)
            })
            .collect()
    }
}
