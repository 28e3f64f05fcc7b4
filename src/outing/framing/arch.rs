//! The arch: the Milky Way from horizon to horizon, and when it is low.
//!
//! The Milky Way lies along a great circle, the galactic equator. Half of it is above the flat
//! horizon at any time: an arch whose feet are opposite one another, and whose top is midway
//! between them. Its altitude follows from the pole of that circle alone: the higher the pole, the
//! lower the arch.
//!
//! Altitudes are true. Refraction raises the top by 0.1° at 10° and by less above, and moves each
//! foot outwards by about 0.6° over the tangent of the top's altitude: 0.6° for a top at 45°, 3.2°
//! at 10°. A raised horizon moves it inwards. A margin of a few degrees covers both, and the band's
//! own width, some 10° to either side.

use std::f64::consts::TAU;

use crate::angle::Angle;
use crate::sky::altitude::TrueAltitude;
use crate::sky::crossings::{SAMPLE_COUNT, Samples, sample_time};
use crate::sky::moment::Moment;
use crate::sky::night::Course;
use crate::sky::observer::{GeoPosition, Observer, Topocentric};
use crate::sky::positions;
use crate::sky::spans::{Span, Spans};
use crate::vector::Vector;

/// The north pole of the galaxy, ICRS right ascension and declination, degrees:
/// exact by convention (*The Hipparcos and Tycho Catalogues*, ESA SP-1200, 1997,
/// vol. 1, §1.5.3).
const GALACTIC_POLE_DEG: (f64, f64) = (192.859_48, 27.128_25);

/// Most steps of a list.
const MOST_STEPS: u32 = 1440;

/// The arch over a site at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arch {
    /// True altitude of its top, 0 to 90°.
    pub top: TrueAltitude,
    /// True bearing of its top, 0 to under 360°; arbitrary where the top is the zenith or the arch
    /// is along the horizon.
    pub top_bearing: Angle,
    /// True bearings of its feet, left and right when facing the top.
    pub feet: [Angle; 2],
}

impl Arch {
    /// The arch of a pole.
    ///
    /// With the visible pole at altitude a and bearing A, the top is at 90° − a and A + 180°, the
    /// feet at A ± 90°.
    fn new(pole: Topocentric) -> Self {
        let pole = pole.horizontal();
        let up = pole.altitude.0 >= Angle::ZERO;
        let top_turns = pole.bearing.radians() / TAU + if up { 0.5 } else { 0.0 };
        let bearing = |turns: f64| Angle::from_radians((top_turns + turns).fract() * TAU);
        let top = 90.0 - pole.altitude.0.degrees().abs();
        Self {
            top: TrueAltitude(Angle::from_degrees(top)),
            top_bearing: bearing(0.0),
            feet: [bearing(0.75), bearing(0.25)],
        }
    }
}

/// The arch through the day that begins at one moment; usually a night's noon.
#[derive(Debug, Clone, Copy)]
pub struct Arches {
    observer: Observer,
    /// The galaxy's north pole along the axes of the middle of the day.
    pole: Vector,
    start: Moment,
}

impl Arches {
    /// The arch over a site from a moment.
    ///
    /// Measured against the IAU's routines (ERFA, IAU 2006/2000A, from 2025 to
    /// 2030): 0.001° in the top's altitude and, where that is below 80°, in bearings.
    pub fn over(site: GeoPosition, start: Moment) -> Self {
        let (ra, dec) = GALACTIC_POLE_DEG;
        let pole = Vector::from_spherical(Angle::from_degrees(ra), Angle::from_degrees(dec));
        Self {
            observer: Observer::at(site),
            // in half a day the Earth's axis turns by less than 0.1″
            pole: positions::of_date(pole, start.plus_days(0.5)),
            start,
        }
    }

    /// The arch `days` after the start, 0 to 1.
    ///
    /// ```text
    /// 36° N 112° W, 2025-06-21 06:00 UT  →  46.75° high at 95.0°, feet at 5.0° and 185.0°
    /// ```
    pub fn at(&self, days: f64) -> Arch {
        Arch::new(self.pole_at(days))
    }

    /// The arch at both ends of a span and at even steps between them, at most a day's minutes:
    /// days since the start, and the arch.
    pub fn list(&self, span: Span, steps: u32) -> Vec<(f64, Arch)> {
        let steps = steps.clamp(1, MOST_STEPS);
        let step = (span.end - span.start) / f64::from(steps);
        let days = (0..=steps).map(|place| span.start + f64::from(place) * step);
        days.map(|days| (days, self.at(days))).collect()
    }

    /// When the arch's top is at most this high, within a day from the start, to a second. For what
    /// one row of frames covers see
    /// [`crate::outing::framing::panorama::PanoramaSettings::one_row`]; leave a margin below it.
    pub fn no_higher_than(&self, top: TrueAltitude) -> Spans {
        if top.0.degrees() >= 90.0 {
            return Spans(vec![Span::NIGHT]);
        }
        // either pole may be above the line
        let [north, south] = [1.0, -1.0].map(|side| self.pole_above(side, top.0.cos()));
        if top.0 < Angle::ZERO {
            return Spans::default();
        }
        let mut spans = north.0;
        spans.extend(south.0);
        Spans::merged(spans)
    }

    /// When the sine of a pole's altitude is above a value; `side` is 1 for the galaxy's north
    /// pole, −1 for its south pole.
    fn pole_above(&self, side: f64, line: f64) -> Spans {
        let height = |days: f64| {
            let pole = self.pole_at(days);
            (
                side * pole.sin_altitude() - line,
                side * pole.sin_altitude_per_day(),
            )
        };
        let samples = Samples::new(std::array::from_fn::<f64, SAMPLE_COUNT, _>(|place| {
            height(sample_time(place)).0
        }));
        let course = Course {
            starts_above: samples.starts_above(),
            crossings: samples.crossings(height),
        };
        Spans::new(&course, true)
    }

    fn pole_at(&self, days: f64) -> Topocentric {
        let moment = self.start.plus_days(days);
        self.observer.topocentric_direction(self.pole, moment)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::{TimeZone, Utc};

    fn arches(latitude: f64, longitude: f64, (year, month, day): (i32, u32, u32)) -> Arches {
        let instant = Utc.with_ymd_and_hms(year, month, day, 0, 0, 0).single();
        let site = GeoPosition {
            latitude: Angle::from_degrees(latitude),
            longitude: Angle::from_degrees(longitude),
            height_m: 0.0,
        };
        Arches::over(site, Moment::from_utc(instant.expect("a date")))
    }

    fn apart(a: Angle, b: f64) -> f64 {
        ((a.degrees() - b + 180.0).rem_euclid(360.0) - 180.0).abs()
    }

    /// Computed independently with ERFA (IAU 2006/2000A precession and nutation, UT1 = UTC): the
    /// position of the galactic north pole, and the arch that follows.
    #[test]
    fn agrees_with_the_worked_arches() {
        let june = (2025, 6, 21);
        let table = [
            // latitude, longitude, date, hour, top, bearing of the top, left foot
            (36.0, -112.0, june, 4.0, 22.621, 73.430, 343.430),
            (36.0, -112.0, june, 6.0, 46.751, 94.974, 4.974),
            (36.0, -112.0, june, 8.0, 70.4545, 109.714, 19.714),
            (
                -31.27,
                149.07,
                (2027, 7, 4),
                12.0,
                80.4157,
                129.8511,
                39.8511,
            ),
            (65.0, 20.0, (2030, 1, 10), 1.0, 48.7048, 297.108, 207.108),
            // the south pole is the one that is up
            (-75.0, -120.0, (2026, 3, 3), 3.0, 59.5511, 99.2186, 9.2186),
        ];
        for (latitude, longitude, date, hour, top, bearing, foot) in table {
            let got = arches(latitude, longitude, date).at(hour / 24.0);
            let right = foot + 180.0;
            assert!(apart(got.top.0, top) < 1e-3, "{latitude} {hour}: {got:?}");
            for (got, want) in [
                (got.top_bearing, bearing),
                (got.feet[0], foot),
                (got.feet[1], right),
            ] {
                assert!(
                    apart(got, want) < 1e-3,
                    "{latitude} {hour}: {got:?}, {want}"
                );
                assert!((0.0..360.0).contains(&got.degrees()), "{got:?}");
            }
        }
    }

    /// Against samples every minute.
    #[test]
    fn is_low_when_a_look_says_so() {
        for (latitude, top) in [
            (36.0, 30.0),
            (36.0, 9.0),
            (-33.0, 60.0),
            (0.0, 45.0),
            (27.0, 1.0),
            (89.0, 62.0),
            (-89.9, 70.0),
        ] {
            let arches = arches(latitude, -112.0, (2025, 6, 21));
            let limit = TrueAltitude(Angle::from_degrees(top));
            let spans = arches.no_higher_than(limit);
            let mut minutes = 0.0;
            for (days, arch) in arches.list(Span::NIGHT, 1440) {
                let low = arch.top <= limit;
                minutes += if low && days < 1.0 { 1.0 } else { 0.0 };
                let inside = spans.0.iter().any(|span| span.contains(days));
                let near = (arch.top.0.degrees() - top).abs() < 0.01;
                assert!(low == inside || near, "φ {latitude}, {days}: {arch:?}");
            }
            let miss = (spans.minutes() - minutes).abs();
            assert!(miss < 4.0, "φ {latitude}: {spans:?}, {minutes} min");
            let ordered = spans.0.windows(2).all(|two| two[0].end < two[1].start);
            assert!(ordered, "{spans:?}");
        }
    }

    #[test]
    fn always_and_never_are_spans_too() {
        let arches = arches(36.0, -112.0, (2025, 6, 21));
        let minutes = |top: f64| {
            let limit = TrueAltitude(Angle::from_degrees(top));
            arches.no_higher_than(limit).minutes()
        };
        assert_eq!(minutes(90.0), 1440.0);
        assert_eq!(minutes(200.0), 1440.0);
        // the pole comes no nearer to the zenith than 36° − 27°
        assert_eq!(minutes(8.0), 0.0);
        assert_eq!(minutes(-1.0), 0.0);
        assert_eq!(minutes(f64::NAN), 0.0);
    }

    #[test]
    fn a_list_runs_from_end_to_end() {
        let arches = arches(90.0, 0.0, (2025, 6, 21));
        let span = Span {
            start: 0.25,
            end: 0.5,
        };
        let list = arches.list(span, 15);
        assert_eq!((list.len(), list[0].0, list[15].0), (16, 0.25, 0.5));
        // from the pole the arch's height never changes; 27.128° have become less by precession,
        // 20.04″ a year times the cosine of the right ascension
        let declination = 27.128 - 25.47 * 20.04 / 3600.0 * 0.975;
        for (_, arch) in &list {
            let miss = arch.top.0.degrees() - (90.0 - declination);
            assert!(miss.abs() < 5e-3, "{arch:?}");
        }
        assert_eq!(arches.list(span, 0).len(), 2);
        assert_eq!(arches.list(Span::NIGHT, u32::MAX).len(), 1441);
    }
}
