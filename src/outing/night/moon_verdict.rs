//! What the Moon does to a shot window, as a verdict.

use crate::outing::night::site_sky::SiteSky;
use crate::outing::night::windows::COST_STEP_DAYS;
use crate::sky::night::Night;
use crate::sky::spans::{Span, Spans};

/// The Moon over a span of a night. It is up while its upper limb is above the flat horizon, as in
/// [`Night::moon_course`]; times are days since the night's noon.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MoonVerdict {
    /// It is down all the while, but for a minute.
    Moonless,
    /// It rises.
    MoonlessUntil(f64),
    /// It sets.
    MoonlessFrom(f64),
    /// It sets, and rises again.
    MoonlessBetween(f64, f64),
    /// It rises, and sets again.
    MoonlessExcept(f64, f64),
    /// It is up all the while.
    MoonUp {
        /// Magnitudes by which it brightens the sky at the core, at most; sampled every twenty
        /// minutes.
        cost_mag: f64,
    },
}

impl MoonVerdict {
    /// Over a span, of which the Moon is up in a part of `moon_up`.
    pub fn new(site_sky: &SiteSky, night: &Night<'_>, span: Span, moon_up: &Spans) -> Self {
        const MINUTE: f64 = 1.0 / 1440.0;
        let up = moon_up.intersection(&Spans(vec![span]));
        let (Some(first), Some(last)) = (up.0.first(), up.0.last()) else {
            return Self::Moonless;
        };
        if up.minutes() < 1.0 {
            return Self::Moonless;
        }
        let at_start = first.start < span.start + MINUTE;
        let at_end = last.end > span.end - MINUTE;
        match (at_start, at_end) {
            (true, true) if up.0.len() == 1 => Self::MoonUp {
                cost_mag: greatest_cost(site_sky, night, span),
            },
            (true, true) => Self::MoonlessBetween(first.end, last.start),
            (true, false) => Self::MoonlessFrom(last.end),
            (false, true) => Self::MoonlessUntil(first.start),
            (false, false) => Self::MoonlessExcept(first.start, last.end),
        }
    }
}

/// The greatest moon cost of samples of a span, both ends among them.
fn greatest_cost(site_sky: &SiteSky, night: &Night<'_>, span: Span) -> f64 {
    let steps = ((span.end - span.start) / COST_STEP_DAYS).ceil().max(1.0) as usize;
    let at = |step: usize| span.start + (span.end - span.start) * step as f64 / steps as f64;
    let costs = (0..=steps).map(|step| site_sky.moon_cost(night, at(step)));
    costs.fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outing::plan::limits::{Limits, MoonLimit};
    use crate::outing::plan::site::Site;
    use crate::sky::subject::Subject;
    use chrono::NaiveDate;

    /// Over the windows of half a year with any Moon: what is said of the Moon is where it stands.
    #[test]
    fn a_verdict_is_what_the_moon_does() {
        let site = Site::default();
        let first = NaiveDate::from_ymd_opt(2027, 3, 1).expect("a date");
        let site_sky = SiteSky::over(&site, Subject::Core, first, 180);
        let limits = Limits {
            moon: MoonLimit::Any,
            ..Limits::default()
        };
        let mut kinds = [0; 4];
        for date in first.iter_days().take(180) {
            let night = site_sky.night(date);
            let evening = site_sky.night_windows(date, &limits);
            let Some(window) = evening.best() else {
                continue;
            };
            // −0.8°: the Moon's upper limb at the horizon, by almanacs, less its parallax
            let height = |at: f64| {
                let moon = night.topocentric(crate::sky::almanac::SkyBody::Moon, at);
                moon.horizontal().altitude.0.degrees() + 0.83
            };
            let span = window.span;
            let middle = (span.start + span.end) / 2.0;
            match MoonVerdict::new(&site_sky, &night, span, &evening.moon_up) {
                MoonVerdict::Moonless => {
                    kinds[0] += 1;
                    for at in [span.start, middle, span.end] {
                        assert!(height(at) < 0.3, "{date}");
                    }
                }
                MoonVerdict::MoonlessUntil(at) => {
                    kinds[1] += 1;
                    assert!(height(at).abs() < 0.05, "{date}: {}", height(at));
                    assert!(height(span.start) < 0.0 && height(span.end) > 0.0, "{date}");
                }
                MoonVerdict::MoonlessFrom(at) => {
                    kinds[2] += 1;
                    assert!(height(at).abs() < 0.05, "{date}: {}", height(at));
                    assert!(height(span.start) > 0.0 && height(span.end) < 0.0, "{date}");
                }
                MoonVerdict::MoonUp { cost_mag } => {
                    kinds[3] += 1;
                    assert!(height(middle) > 0.0, "{date}");
                    assert!(cost_mag >= site_sky.moon_cost(&night, span.end), "{date}");
                }
                other => panic!("{date}: {other:?}"),
            }
        }
        assert!(kinds.iter().all(|count| *count > 10), "{kinds:?}");
    }
}
