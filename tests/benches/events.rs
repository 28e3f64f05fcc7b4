//! Every event of a year, as the bench times it on the desktop and in the browser.

use chrono::NaiveDate;
use std::hint::black_box;
use tarnlight::angle::Angle;
use tarnlight::sky::almanac::{Almanac, SkyBody};
use tarnlight::sky::altitude::{Air, ApparentAltitude, TrueAltitude};
use tarnlight::sky::night::{Night, SunAltitudeLimit, noon};
use tarnlight::sky::observer::{GeoPosition, Observer};
use tarnlight::sky::spans::Spans;

/// A high pass in the Alps.
pub const SITE: GeoPosition = GeoPosition {
    latitude: Angle::from_degrees(46.5),
    longitude: Angle::from_degrees(9.9),
    height_m: 2240.0,
};

/// Minutes the nights of a year leave for the core over a ridge, in the dark and without the Moon.
///
/// On the way to them every event is found: the Sun at its four lines, the Moon, the core over the
/// true and the apparent horizon and over the ridge, and the transits.
pub fn usable_minutes_of_a_year(date: NaiveDate) -> f64 {
    let start = noon(date, SITE.longitude);
    let almanac = Almanac::over(start.plus_days(-1.0), 368.0);
    let observer = Observer::at(SITE);
    let ridge = Air::STANDARD.to_true(ApparentAltitude(Angle::from_degrees(8.0)));
    let flat = Air::STANDARD.to_true(ApparentAltitude(Angle::ZERO));
    let mut minutes = 0.0;
    for day in 0..365 {
        let night = Night::new(&almanac, observer, start.plus_days(f64::from(day)));
        let [_, _, _, dark] = SunAltitudeLimit::ALL.map(|line| night.sun_course(line));
        let _ = black_box([
            night.subject_course(TrueAltitude(Angle::ZERO)),
            night.subject_course(flat),
        ]);
        let core = night.subject_course(ridge);
        let moon = night.moon_course();
        black_box([
            night.transits(SkyBody::Subject, true),
            night.transits(SkyBody::Subject, false),
            night.transits(SkyBody::Moon, true),
        ]);
        let usable = Spans::new(&dark, false)
            .intersection(&Spans::new(&core, true))
            .intersection(&Spans::new(&moon, false));
        minutes += usable.minutes();
    }
    minutes
}
