//! How long a year of nights takes.

use chrono::NaiveDate;
use tarnlight::angle::Angle;
use tarnlight::outing::plan::Outing;
use tarnlight::outing::season::Season;
use tarnlight::sky::almanac::{Almanac, Body};
use tarnlight::sky::altitude::{Air, ApparentAltitude, TrueAltitude};
use tarnlight::sky::night::{Night, SunLine, noon};
use tarnlight::sky::observer::{Observer, Site};
use tarnlight::sky::spans::Spans;

fn main() {
    divan::main();
}

const SITE: Site = Site {
    latitude: Angle::from_degrees(46.5),
    longitude: Angle::from_degrees(9.9),
    height_m: 2240.0,
};

/// The almanac of a year.
#[divan::bench]
fn almanac_of_a_year() -> Almanac {
    let start = noon(divan::black_box(date()), SITE.longitude);
    Almanac::over(start.plus_days(-1.0), 368.0)
}

/// Every event of a year: Sun and its four lines, Moon, core over the horizon
/// and over a ridge, transits, and what of the night they leave.
#[divan::bench]
fn events_of_a_year() -> f64 {
    let start = noon(divan::black_box(date()), SITE.longitude);
    let almanac = Almanac::over(start.plus_days(-1.0), 368.0);
    let observer = Observer::at(SITE);
    let ridge = Air::STANDARD.unseen(ApparentAltitude(Angle::from_degrees(8.0)));
    let flat = Air::STANDARD.unseen(ApparentAltitude(Angle::ZERO));
    let mut minutes = 0.0;
    for day in 0..365 {
        let night = Night::from(&almanac, observer, start.plus_days(f64::from(day)));
        let [_, _, _, dark] = SunLine::ALL.map(|line| night.sun_at(line));
        let _ = divan::black_box([
            night.core_at(TrueAltitude(Angle::ZERO)),
            night.core_at(flat),
        ]);
        let core = night.core_at(ridge);
        let moon = night.moon_at_horizon();
        divan::black_box([
            night.transits(Body::Core, true),
            night.transits(Body::Core, false),
            night.transits(Body::Moon, true),
        ]);
        let usable = Spans::of(&dark, false)
            .and(&Spans::of(&core, true))
            .and(&Spans::of(&moon, false));
        minutes += usable.minutes();
    }
    minutes
}

/// The season as the page shows it: windows with the Moon's cost, and why there
/// are none.
#[divan::bench]
fn season() -> Season {
    let mut outing = Outing::default();
    outing.site.latitude = SITE.latitude;
    outing.site.longitude = SITE.longitude;
    outing.site.height_m = SITE.height_m;
    outing.ridge = Angle::from_degrees(8.0);
    Season::of(divan::black_box(&outing), date())
}

fn date() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 1, 1).unwrap_or_default()
}
