//! How long a year of nights takes.

mod events;

use chrono::NaiveDate;
use events::SITE;
use tarnlight::angle::Angle;
use tarnlight::land::ridge::RidgeLine;
use tarnlight::outing::night::season::Season;
use tarnlight::outing::plan::Outing;
use tarnlight::sky::almanac::Almanac;
use tarnlight::sky::night::noon;

fn main() {
    divan::main();
}

/// The almanac of a year.
#[divan::bench]
fn almanac_of_a_year() -> Almanac {
    let start = noon(divan::black_box(date()), SITE.longitude);
    Almanac::over(start.plus_days(-1.0), 368.0)
}

/// Every event of a year, and what of the night they leave.
#[divan::bench]
fn events_of_a_year() -> f64 {
    events::usable_minutes_of_a_year(divan::black_box(date()))
}

/// The season as the page shows it: windows with the Moon's cost, and why there
/// are none.
#[divan::bench]
fn season() -> Season {
    let mut outing = Outing::default();
    outing.site.latitude = SITE.latitude;
    outing.site.longitude = SITE.longitude;
    outing.site.height_m = SITE.height_m;
    outing.site.ridge = RidgeLine::level(Angle::from_degrees(8.0));
    let outing = divan::black_box(&outing);
    Season::new(&outing.site, outing.subject, &outing.limits, date())
}

fn date() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 1, 1).unwrap_or_default()
}
