//! The night as the band of When? draws it: heights and hours over the time displayed.

use std::rc::Rc;

use chrono::NaiveDate;

use super::Derived;
use super::selected_night::{Night, days_of};
use crate::outing::plan::NIGHT_MIN;
use crate::outing::plan::site::Site;
use crate::sky::almanac::SkyBody;
use crate::sky::spans::{Span, Spans};
use crate::sky::subject::Subject;
use crate::ui::state::State;

/// Points of a curve, less one.
const STEPS: usize = 96;

/// Day displayed on either side of the night, days.
const MARGIN: f64 = 30.0 / 1440.0;

/// Longest span in which every hour is marked, minutes; in a longer one every other is.
const EVERY_HOUR_MIN: f64 = 960.0;

/// What a [`NightBand`] depends on. Neither the minute looked at nor the limits of a shot window
/// are among it.
#[derive(Debug, Clone, PartialEq)]
pub struct NightBandInputs {
    site: Site,
    subject: Subject,
    date: NaiveDate,
}

/// Days since noon, and degrees.
pub type BandPoint = (f64, f64);

/// The curves of the band, all with points at the same moments.
#[derive(Debug, Clone, PartialEq)]
pub struct NightBand {
    /// The time displayed: sunset to sunrise and a little more, or all of the night where the Sun
    /// does not set or rise.
    pub span: Span,
    /// Apparent altitude of the core.
    pub core: Vec<BandPoint>,
    /// Height of the ridge at the core's bearing.
    pub ridge: Vec<BandPoint>,
    /// Altitude at the upper edge of a picture of it, degrees: the core's path leaves the upper
    /// third to words.
    pub top_deg: f64,
    /// Full hours of the site's clock, days since noon.
    pub hours: Vec<f64>,
}

impl NightBand {
    fn new(night: &Night) -> Self {
        let sun_below = Spans::new(&night.evening.sun[0], false);
        let span = match sun_below.longest() {
            Some(dark) => Span {
                start: (dark.start - MARGIN).max(0.0),
                end: (dark.end + MARGIN).min(1.0),
            },
            None => Span::NIGHT,
        };
        let sky = night.site_sky.night(night.date);
        let curve = |height_deg: &dyn Fn(f64) -> f64| -> Vec<BandPoint> {
            let at =
                |step: usize| span.start + (span.end - span.start) * step as f64 / STEPS as f64;
            let moments = (0..=STEPS).map(at);
            moments.map(|at| (at, height_deg(at))).collect()
        };
        let altitude = |body| curve(&|at| night.site_sky.height_deg(&sky, body, at));
        let core = altitude(SkyBody::Subject);
        let ridge = curve(&|at| night.site_sky.ridge_under_core_deg(&sky, at));
        Self {
            span,
            top_deg: top_deg(&core, &ridge),
            core,
            ridge,
            hours: hours(night, span),
        }
    }
}

fn top_deg(core: &[BandPoint], ridge: &[BandPoint]) -> f64 {
    /// Share of the picture up to the highest point of the path.
    const PEAK: f64 = 0.62;
    /// Room over the highest land, degrees.
    const ROOM_DEG: f64 = 6.0;
    let highest = |curve: &[BandPoint]| curve.iter().fold(0.0, |most: f64, at| most.max(at.1));
    let top = (highest(core) / PEAK).max(highest(ridge) + ROOM_DEG);
    top.clamp(20.0, 90.0)
}

/// Full hours of the site's clock in a span, days since noon.
fn hours(night: &Night, span: Span) -> Vec<f64> {
    let every = if span.minutes() > EVERY_HOUR_MIN {
        2
    } else {
        1
    };
    let first = (span.start * f64::from(NIGHT_MIN)).ceil() as u16;
    let last = (span.end * f64::from(NIGHT_MIN)) as u16;
    let is_hour = |at: &f64| {
        let local = night.clock.local(night.evening.start.plus_days(*at));
        local.minute == 0 && local.hour.is_multiple_of(every)
    };
    (first..=last).map(days_of).filter(is_hour).collect()
}

impl Derived {
    /// The band of the night selected.
    pub fn night_band(&self, state: &State) -> Rc<NightBand> {
        let night = self.night(state).night;
        let inputs = NightBandInputs {
            site: state.outing().site.clone(),
            subject: night.subject,
            date: night.date,
        };
        self.night_band.get(inputs, |_| NightBand::new(&night))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::angle::Angle;
    use crate::browser::time_zone::BrowserTimeZones;
    use crate::outing::plan::limits::Limits;
    use crate::outing::plan::site::Zone;
    use crate::ui::state::derived::selected_night::NightInputs;

    fn night(latitude_deg: f64) -> Night {
        let site = Site {
            latitude: Angle::from_degrees(latitude_deg),
            zone: Zone::Fixed(90),
            ..Site::default()
        };
        let inputs = NightInputs {
            site,
            subject: Subject::Core,
            limits: Limits::default(),
            date: NaiveDate::from_ymd_opt(2027, 6, 20).expect("a date"),
            tonight: false,
        };
        Night::new(&inputs, &BrowserTimeZones)
    }

    #[test]
    fn the_band_spans_the_night_and_marks_full_hours() {
        // where the Sun does not set, all of the day is displayed, with every other hour
        for (latitude_deg, every) in [(46.0, 1.0), (75.0, 2.0)] {
            let night = night(latitude_deg);
            let band = NightBand::new(&night);
            if latitude_deg > 70.0 {
                assert_eq!(band.span, Span::NIGHT);
            }
            for curve in [&band.core, &band.ridge] {
                assert_eq!(curve.len(), STEPS + 1);
                assert_eq!(curve[0].0, band.span.start);
                assert!((curve[STEPS].0 - band.span.end).abs() < 1e-12);
            }
            let peak = band.core.iter().fold(0.0_f64, |most, at| most.max(at.1));
            assert!(band.top_deg >= 20.0 && band.top_deg > peak, "{peak}");
            assert!(band.hours.len() > 7, "{:?}", band.hours);
            for pair in band.hours.windows(2) {
                assert!(
                    ((pair[1] - pair[0]) * 24.0 - every).abs() < 1e-6,
                    "{pair:?}"
                );
            }
        }
    }
}
