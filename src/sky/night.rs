//! A night: from one solar noon to the next, with the altitude crossings in it.
//!
//! The Sun's crossings of horizon and the three twilight altitudes; the Moon's rise and set; the
//! subject's crossings of any altitude, true or apparent. Noon is mean solar noon at the site's
//! longitude, so that a night is not divided at midnight.

use chrono::{DateTime, NaiveDate, NaiveTime, Utc};

use crate::angle::Angle;
use crate::listed::listed;
use crate::sky::almanac::{Almanac, SkyBody};
use crate::sky::altitude::TrueAltitude;
use crate::sky::crossings::{Crossing, Extremum, SAMPLE_COUNT, Samples, sample_time, zero_between};
use crate::sky::moment::Moment;
use crate::sky::observer::{Horizontal as Place, Observer, Topocentric};

/// Refraction at the horizon by convention, 34′ (U.S. Naval Observatory, definitions of rise and
/// set).
const LIFT_BY_CONVENTION: Angle = Angle::from_degrees(34.0 / 60.0);

/// An extremum this near an altitude only grazes it: whether it is crossed depends on the night's
/// refraction.
const GRAZING: Angle = Angle::from_degrees(0.02);

listed! {
    /// Altitudes of the Sun's centre that separate day, twilights and night.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum SunAltitudeLimit {
        /// Sunset and sunrise: −50′ (34′ refraction, 16′ semidiameter; U.S. Naval Observatory).
        Horizon,
        /// Civil twilight ends: −6°.
        Civil,
        /// Nautical twilight ends: −12°.
        Nautical,
        /// Astronomical twilight ends, dark hours begin: −18°.
        Astronomical,
    }
}

impl SunAltitudeLimit {
    /// The true altitude.
    pub const fn altitude(self) -> TrueAltitude {
        TrueAltitude(Angle::from_degrees(match self {
            Self::Horizon => -50.0 / 60.0,
            Self::Civil => -6.0,
            Self::Nautical => -12.0,
            Self::Astronomical => -18.0,
        }))
    }
}

/// Whether a body crosses an altitude in a night.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Visibility {
    /// It crosses it.
    Crosses,
    /// It is always above it.
    AlwaysAbove,
    /// It is never above it.
    NeverAbove,
}

/// A body relative to an altitude over a night.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// Whether it is above at the noon the night begins at.
    pub starts_above: bool,
    /// Every crossing, in order; `at` counts days from that noon.
    pub crossings: Vec<Crossing>,
}

impl Course {
    /// Whether it crosses, is always above or never above.
    pub fn visibility(&self) -> Visibility {
        match (self.crossings.is_empty(), self.starts_above) {
            (false, _) => Visibility::Crosses,
            (true, true) => Visibility::AlwaysAbove,
            (true, false) => Visibility::NeverAbove,
        }
    }

    /// The first crossing upwards or downwards.
    pub fn first(&self, up: bool) -> Option<f64> {
        let found = self.crossings.iter().find(|crossing| crossing.up == up);
        found.map(|crossing| crossing.at)
    }
}

/// Whether an extremum this near an altitude is a grazing one, so that crossing it depends on the
/// air; false without an extremum.
pub fn grazes(margin: Option<Angle>) -> bool {
    margin.is_some_and(|margin| margin < GRAZING)
}

/// The samples of a body over a night.
type Track = [Topocentric; SAMPLE_COUNT];

/// A night at a site.
#[derive(Debug, Clone)]
pub struct Night<'a> {
    almanac: &'a Almanac,
    observer: Observer,
    start: Moment,
    sun: Track,
    moon: Track,
    subject: Track,
}

/// Depth of the Moon's centre below the horizon when its upper limb rises, radians.
fn below_horizon(moon: Topocentric) -> f64 {
    LIFT_BY_CONVENTION.radians() + moon.moon_radius().radians()
}

/// Mean solar noon of a date at an east longitude.
pub fn noon(date: NaiveDate, longitude: Angle) -> Moment {
    let noon = date.and_time(NaiveTime::MIN).and_utc();
    Moment::from_utc(noon).plus_days(0.5 - longitude.degrees() / 360.0)
}

/// The date of the noon at which the night around an instant begins, by mean solar time at the
/// site.
pub fn date_of(instant: DateTime<Utc>, longitude: Angle) -> NaiveDate {
    let noon = Moment::from_utc(instant).plus_days(longitude.degrees() / 360.0 - 0.5);
    noon.instant().date_naive()
}

impl<'a> Night<'a> {
    /// The night that begins at this noon. The almanac must cover it and two hours on either side.
    pub fn new(almanac: &'a Almanac, observer: Observer, start: Moment) -> Self {
        let moment = |days| start.plus_days(days);
        let seen: [[Topocentric; 3]; SAMPLE_COUNT] = std::array::from_fn(|place| {
            observer.topocentric_all(almanac, moment(sample_time(place)))
        });
        let track = |which: usize| seen.map(|all| all[which]);
        Self {
            almanac,
            observer,
            start,
            subject: track(0),
            sun: track(1),
            moon: track(2),
        }
    }

    /// Its start.
    pub const fn start(&self) -> Moment {
        self.start
    }

    /// The observer.
    pub const fn observer(&self) -> &Observer {
        &self.observer
    }

    /// Its almanac.
    pub const fn almanac(&self) -> &'a Almanac {
        self.almanac
    }

    const fn track(&self, body: SkyBody) -> &Track {
        match body {
            SkyBody::Subject => &self.subject,
            SkyBody::Sun => &self.sun,
            SkyBody::Moon => &self.moon,
        }
    }

    /// The extrema of the sine of a body's true altitude, in order.
    pub fn extrema(&self, body: SkyBody) -> Vec<Extremum> {
        let samples = Samples::new(self.track(body).map(Topocentric::sin_altitude));
        samples.extrema(|days| self.topocentric(body, days).sin_altitude())
    }

    /// The extremum of greatest or least altitude, if there is one in the night.
    pub fn extreme(&self, body: SkyBody, highest: bool) -> Option<Extremum> {
        let sign = if highest { 1.0 } else { -1.0 };
        let order = |a: &Extremum, b: &Extremum| (sign * a.value).total_cmp(&(sign * b.value));
        self.extrema(body).into_iter().max_by(order)
    }

    /// Least distance of a body's extrema from an altitude.
    pub fn margin(&self, body: SkyBody, altitude: TrueAltitude) -> Option<Angle> {
        let off = self.extrema(body).into_iter().map(|turn| {
            let turn = turn.value.clamp(-1.0, 1.0).asin();
            (turn - altitude.0.radians()).abs()
        });
        off.reduce(f64::min).map(Angle::from_radians)
    }

    /// Least distance of the Moon's extrema from rising or setting.
    pub fn moon_margin(&self) -> Option<Angle> {
        let off = self.extrema(SkyBody::Moon).into_iter().map(|turn| {
            let seen = self.topocentric(SkyBody::Moon, turn.at);
            (seen.sin_altitude().clamp(-1.0, 1.0).asin() + below_horizon(seen)).abs()
        });
        off.reduce(f64::min).map(Angle::from_radians)
    }

    /// The Sun relative to one of its limits.
    ///
    /// Within 2 s of a numerical ephemeris (`tests/sky.rs`).
    pub fn sun_course(&self, line: SunAltitudeLimit) -> Course {
        self.course(SkyBody::Sun, line.altitude())
    }

    /// The almanac's subject relative to a true altitude.
    ///
    /// For the core within 0.1 s of a numerical ephemeris with UT1 − UTC applied (`tests/sky.rs`).
    pub fn subject_course(&self, altitude: TrueAltitude) -> Course {
        self.course(SkyBody::Subject, altitude)
    }

    /// A body relative to a line whose altitude depends on the bearing.
    ///
    /// `over` returns the body's altitude above the line, radians; `band` holds the true altitudes
    /// between which the line lies; only there it is sampled densely: every two minutes, in which
    /// the sky turns by half a degree. A notch or a tooth narrower than that can be missed.
    /// Crossings are good to a millisecond.
    pub fn over_line(
        &self,
        body: SkyBody,
        (least, most): (TrueAltitude, TrueAltitude),
        over: &dyn Fn(Place) -> f64,
    ) -> Course {
        const STEP: f64 = 2.0 / 1440.0;
        const ROUNDS: usize = 60;
        // a millisecond of the sky's rotation is 7e-8 radians
        const NEAR: f64 = 1e-9;
        let height = |at: f64| over(self.topocentric(body, at).horizontal());
        let mut ends = vec![1.0];
        for altitude in [least, most] {
            let crossings = self.course(body, altitude).crossings;
            ends.extend(crossings.iter().map(|crossing| crossing.at));
        }
        let mut last = (0.0, height(0.0));
        let starts_above = last.1 > 0.0;
        let mut crossings = Vec::new();
        while let Some(place) = (0..ends.len()).reduce(|a, b| if ends[b] < ends[a] { b } else { a })
        {
            let end = ends.swap_remove(place);
            let start = last.0;
            let middle = self.topocentric(body, (start + end) / 2.0).sin_altitude();
            let near = (least.0.sin()..=most.0.sin()).contains(&middle);
            let steps = if near {
                ((end - start) / STEP).ceil().max(1.0)
            } else {
                1.0
            };
            for step in 1..=steps as usize {
                let at = start + (end - start) * step as f64 / steps;
                let next = (at, height(at));
                if (next.1 > 0.0) != (last.1 > 0.0) {
                    let at = zero_between(&height, [last, next], ROUNDS, NEAR);
                    let up = next.1 > 0.0;
                    crossings.push(Crossing { at, up });
                }
                last = next;
            }
        }
        Course {
            starts_above,
            crossings,
        }
    }

    /// A body's centre relative to a true altitude.
    pub fn course(&self, body: SkyBody, altitude: TrueAltitude) -> Course {
        let line = altitude.0.sin();
        let samples = Samples::new(self.track(body).map(|seen| seen.sin_altitude() - line));
        Course {
            starts_above: samples.starts_above(),
            crossings: samples.crossings(|days| {
                let seen = self.topocentric(body, days);
                (seen.sin_altitude() - line, seen.sin_altitude_per_day())
            }),
        }
    }

    /// The Moon's upper limb relative to the horizon, with conventional refraction.
    ///
    /// Within 1 s of a numerical ephemeris (`tests/sky.rs`).
    pub fn moon_course(&self) -> Course {
        let over = |seen: Topocentric| seen.sin_altitude() + below_horizon(seen).sin();
        let samples = Samples::new(self.moon.map(over));
        Course {
            starts_above: samples.starts_above(),
            crossings: samples.crossings(|days| {
                let seen = self.topocentric(SkyBody::Moon, days);
                (over(seen), seen.sin_altitude_per_day())
            }),
        }
    }

    /// When a body crosses the meridian, days from the start: the upper half
    /// (south at most northern places), or the lower.
    pub fn transits(&self, body: SkyBody, upper: bool) -> Vec<f64> {
        let samples = Samples::new(self.track(body).map(Topocentric::east));
        let crossings = samples.crossings(|days| {
            let seen = self.topocentric(body, days);
            (seen.east(), seen.east_per_day())
        });
        // it moves west across the upper half and east across the lower
        let wanted = crossings.iter().filter(|crossing| crossing.up != upper);
        wanted.map(|crossing| crossing.at).collect()
    }

    /// A body `days` after the start.
    pub fn topocentric(&self, body: SkyBody, days: f64) -> Topocentric {
        self.observer
            .topocentric(self.almanac, body, self.start.plus_days(days))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::observer::GeoPosition;

    /// A line of constant altitude is that altitude; one that climbs to the west hides the core
    /// sooner and does not change its rise.
    #[test]
    fn a_line_by_bearing_is_crossed_where_it_stands() {
        let site = GeoPosition {
            latitude: Angle::from_degrees(36.0),
            longitude: Angle::ZERO,
            height_m: 0.0,
        };
        let date = NaiveDate::from_ymd_opt(2027, 6, 20).expect("a date");
        let start = noon(date, site.longitude);
        let almanac = Almanac::over(start.plus_days(-1.0), 3.0);
        let night = Night::new(&almanac, Observer::at(site), start);
        let height = TrueAltitude(Angle::from_degrees(8.0));
        let flat = night.subject_course(height).crossings;
        let band = (
            TrueAltitude(Angle::from_degrees(7.9)),
            TrueAltitude(Angle::from_degrees(60.0)),
        );
        let over = |line: &dyn Fn(Angle) -> f64, place: Place| {
            place.altitude.0.radians() - line(place.bearing).to_radians()
        };
        let level = night.over_line(SkyBody::Subject, band, &|place| over(&|_| 8.0, place));
        let level = level.crossings;
        assert_eq!(flat.len(), level.len());
        for (flat, level) in flat.iter().zip(&level) {
            assert!((flat.at - level.at).abs() < 2e-8, "{flat:?}, {level:?}");
        }
        let climbing = |bearing: Angle| 8.0 + 0.2 * (bearing.degrees() - 180.0).max(0.0);
        let sloped = night.over_line(SkyBody::Subject, band, &|place| over(&climbing, place));
        let sloped = sloped.crossings;
        assert!(
            (sloped[0].at - flat[0].at).abs() < 2e-8,
            "rises over the level part"
        );
        assert!(sloped[1].at < flat[1].at, "hidden sooner");
        let position = night
            .topocentric(SkyBody::Subject, sloped[1].at)
            .horizontal();
        let miss = position.altitude.0.degrees() - climbing(position.bearing);
        assert!(miss.abs() < 1e-4, "{miss}°");
    }
}
