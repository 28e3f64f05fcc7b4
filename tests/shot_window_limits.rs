//! Shot windows over whole years: none under five minutes, ends where the light turns, the best
//! moment where the light is best, and hours by darkness limit in the north, whose table in
//! `tests/darkness-table.md` a test keeps in step with the code.
#![cfg(not(target_arch = "wasm32"))]

use std::fmt::Write;
use std::path::PathBuf;

use chrono::{DateTime, Days, NaiveDate, Utc};
use tarnlight::angle::Angle;
use tarnlight::land::ridge::RidgeLine;
use tarnlight::outing::night::local_time::{NightClock, Rounding, TimeZones};
use tarnlight::outing::night::season::{NIGHTS, Season};
use tarnlight::outing::night::site_sky::SiteSky;
use tarnlight::outing::night::{NoWindowReason, WindowBoundary};
use tarnlight::outing::plan::Outing;
use tarnlight::outing::plan::limits::{DarknessLimit, HARMLESS_MAG, Limits, MoonLimit};
use tarnlight::outing::plan::site::Zone;
use tarnlight::sky::spans::Span;

/// Set to 1, it has the table written instead of compared.
const WRITE: &str = "TARNLIGHT_WRITE";

/// Days in a second, in the ten to which ends are found, and in two minutes.
const SECOND: f64 = 1.0 / 86_400.0;
const NEAR: f64 = 10.0 * SECOND;
const TWO_MINUTES: f64 = 120.0 * SECOND;

fn first() -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 1, 1).expect("a date")
}

fn outing(latitude_deg: f64, limits: Limits) -> Outing {
    let mut outing = Outing {
        limits,
        ..Outing::default()
    };
    outing.site.latitude = Angle::from_degrees(latitude_deg);
    outing
}

/// No least height, so that the horizon itself is tested, where every old fault was.
fn from_horizon(moon: MoonLimit) -> Limits {
    Limits {
        least_core: Angle::ZERO,
        moon,
        ..Limits::default()
    }
}

/// A year's nights of an outing.
fn nights(outing: &Outing) -> (SiteSky, impl Iterator<Item = NaiveDate>) {
    let site_sky = SiteSky::over(&outing.site, outing.subject, first(), NIGHTS);
    let dates = (0..NIGHTS).map(|day| first() + Days::new(day.into()));
    (site_sky, dates)
}

/// A fixed offset asks for no zone.
struct NoZones;

impl TimeZones for NoZones {
    fn offset_min(&self, _: &str, _: DateTime<Utc>) -> Option<i32> {
        None
    }
}

/// A window is as long as the two times that stand for its ends are apart, and at most two minutes
/// shorter than it is.
#[test]
fn a_window_is_as_long_as_its_times_are_apart() {
    let zone = Zone::Fixed(345);
    let mut windows = 0;
    for latitude in [-33.0, 20.0, 46.0] {
        let outing = outing(latitude, Limits::default());
        let (site_sky, dates) = nights(&outing);
        for date in dates {
            let night = site_sky.night(date);
            let clock = NightClock::new(&zone, night.start(), &NoZones);
            let told = |at: f64, rounding| {
                let local = clock.event(night.start().plus_days(at), rounding);
                let midnight = local.date.and_hms_opt(0, 0, 0).expect("a midnight");
                midnight.and_utc().timestamp() / 60 + i64::from(local.hour * 60 + local.minute)
            };
            for window in site_sky.usable(&night, &Limits::default()).windows {
                let start = told(window.span.start, Rounding::Opening);
                let end = told(window.span.end, Rounding::Closing);
                assert_eq!((end - start) as f64, window.minutes, "{latitude}°, {date}");
                let less = window.span.minutes() - window.minutes;
                assert!((-0.001..2.0).contains(&less), "{latitude}°, {date}: {less}");
                windows += 1;
            }
        }
    }
    assert!(windows > 300, "{windows} windows");
}

/// Eleven latitudes with a flat horizon: every window holds what it promises when core, Sun and
/// Moon are checked one by one from its first minute to its last, lasts five minutes, and a night
/// whose dark core hours the Moon takes says so.
#[test]
fn no_night_is_promised_that_is_not_there() {
    let mut by_moon = 0;
    for latitude in [
        -60.0, -45.0, -33.0, -23.0, 0.0, 20.0, 30.0, 36.0, 41.0, 46.0, 51.0,
    ] {
        for moon in [MoonLimit::Harmless, MoonLimit::None] {
            let outing = outing(latitude, from_horizon(moon));
            let (site_sky, dates) = nights(&outing);
            for date in dates {
                let night = site_sky.night(date);
                let usable = site_sky.usable(&night, &outing.limits);
                let allows = |at: f64| {
                    let reading = site_sky.reading(date, at);
                    let core_deg = site_sky.apparent_altitude(reading.core).0.degrees();
                    let moon_allows = match moon {
                        MoonLimit::None => reading.moon.altitude.0.degrees() < -0.8,
                        _ => reading.moon_cost.is_some_and(|cost| cost <= HARMLESS_MAG),
                    };
                    core_deg >= 0.0 && reading.sun.altitude.0.degrees() <= -18.0 && moon_allows
                };
                for Span { start, end } in usable.windows.iter().map(|window| window.span) {
                    assert!((end - start) * 1440.0 >= 5.0, "{latitude}° {date}");
                    for step in 0..=4 {
                        let inside =
                            start + NEAR + (end - start - 2.0 * NEAR) * f64::from(step) / 4.0;
                        let reading = site_sky.reading(date, inside);
                        assert!(allows(inside), "{latitude}° {date}, {moon:?}: {reading:?}");
                    }
                }
                if usable.windows.is_empty() {
                    // two samples five minutes apart, at which all but the Moon is right
                    let dark_core = |at: f64| {
                        let reading = site_sky.reading(date, at);
                        site_sky.apparent_altitude(reading.core).0.degrees() >= 0.0
                            && reading.sun.altitude.0.degrees() <= -18.0
                    };
                    let looks = (0..288).map(|five| f64::from(five) / 288.0);
                    let taken = looks
                        .clone()
                        .any(|at| dark_core(at) && dark_core(at + 1.0 / 288.0));
                    if taken {
                        assert_eq!(
                            usable.no_window_reason,
                            Some(NoWindowReason::Moon),
                            "{latitude}° {date}"
                        );
                        by_moon += 1;
                    }
                }
            }
        }
    }
    assert!(by_moon > 1000, "{by_moon} nights taken by the Moon");
}

/// Where the moon cost ends a window, ten seconds on either side of it lie on either side of what
/// is harmless.
#[test]
fn ends_lie_where_the_light_turns() {
    let mut tried = 0;
    for latitude in [-33.0, -23.0, 0.0, 36.0, 46.0, 51.0] {
        let outing = outing(latitude, from_horizon(MoonLimit::Harmless));
        let (site_sky, dates) = nights(&outing);
        for date in dates {
            let night = site_sky.night(date);
            let cost = |at: f64| site_sky.subject_light(&night, at).moon_cost;
            for window in site_sky.usable(&night, &outing.limits).windows {
                let ends = [
                    (window.opens, window.span.start, 1.0),
                    (window.closes, window.span.end, -1.0),
                ];
                for (_, at, inwards) in ends
                    .into_iter()
                    .filter(|(why, ..)| *why == WindowBoundary::MoonCost)
                {
                    let [inside, outside] =
                        [10.0, -10.0].map(|seconds| cost(at + inwards * seconds * SECOND));
                    assert!(
                        inside <= HARMLESS_MAG && outside >= HARMLESS_MAG,
                        "{latitude}° {date} at {at}: {inside} and {outside} mag"
                    );
                    tried += 1;
                }
            }
        }
    }
    assert!(tried > 300, "{tried} ends");
}

/// A year at six sites, under every limit for the Moon: two minutes further into the window the
/// moon cost is nowhere lower by more than 0.2 mag than at the best moment found, and nowhere on a
/// fine grid is the light better by more than a hundredth. (Two minutes outwards it may be: the
/// Moon sets, and the core after it.)
#[test]
fn the_best_moment_is_where_the_light_is_best() {
    let mut most = f64::NEG_INFINITY;
    for latitude in [-33.0, -23.0, 0.0, 36.0, 46.0, 51.0] {
        for moon in [MoonLimit::Any, MoonLimit::Harmless, MoonLimit::None] {
            // at the horizon the core fades faster than any Moon, so that its least height counts
            let limits = Limits {
                moon,
                ..Limits::default()
            };
            let outing = outing(latitude, limits);
            let (site_sky, dates) = nights(&outing);
            for date in dates {
                let night = site_sky.night(date);
                let evening = site_sky.night_windows(date, &outing.limits);
                let Some(window) = evening.best() else {
                    continue;
                };
                let Span { start, end } = window.span;
                let best_at = evening.best_at;
                assert!((start..=end).contains(&best_at), "{latitude}° {date}");
                let best = site_sky.subject_light(&night, best_at);
                let inwards = TWO_MINUTES.copysign((start + end) / 2.0 - best_at);
                let at = (best_at + inwards).clamp(start, end);
                let cheaper = best.moon_cost - site_sky.subject_light(&night, at).moon_cost;
                assert!(cheaper <= 0.2, "{latitude}° {date}: {cheaper} mag");
                most = most.max(cheaper);
                for step in 0..=60 {
                    let at = start + (end - start) * f64::from(step) / 60.0;
                    let there = site_sky.subject_light(&night, at).weight;
                    assert!(
                        there <= best.weight * 1.01,
                        "{latitude}° {date}: {there} at {at}, {} at {best_at}",
                        best.weight
                    );
                }
            }
        }
    }
    println!("at most {most} mag cheaper");
}

/// Simpson's rule against a sum of ten-second steps, over a year with any Moon: to 1 %, or a
/// thousandth of an hour.
#[test]
fn equivalent_hours_are_the_integral() {
    let outing = outing(36.0, from_horizon(MoonLimit::Any));
    let (site_sky, dates) = nights(&outing);
    let mut worst: f64 = 0.0;
    for date in dates.step_by(5) {
        let night = site_sky.night(date);
        for window in site_sky.usable(&night, &outing.limits).windows {
            let Span { start, end } = window.span;
            let steps = ((end - start) / (10.0 * SECOND)).ceil();
            let middle = |step: u32| start + (end - start) * (f64::from(step) + 0.5) / steps;
            let sum: f64 = (0..steps as u32)
                .map(|step| site_sky.subject_light(&night, middle(step)).weight)
                .sum();
            let want_h = sum * (end - start) * 24.0 / steps;
            worst = worst.max((window.equivalent_h - want_h).abs() / want_h.max(0.1));
        }
    }
    assert!(worst < 0.01, "{worst}");
}

/// By hand from the definition, at a new Moon (4 June 2027, almanacs; from memory): 36° N, core at
/// its highest, 25° up: X 2.35, k 0.2811 from the sea, sky 21.087 against 21.6: (10^(−0.4·0.6606))²
/// / 10^(0.4·0.513) = 0.185.
#[test]
fn the_weight_is_worked_by_hand() {
    let outing = outing(36.0, Limits::default());
    let date = NaiveDate::from_ymd_opt(2027, 6, 4).expect("a date");
    let site_sky = SiteSky::over(&outing.site, outing.subject, date, 1);
    let evening = site_sky.night_windows(date, &outing.limits);
    let best = site_sky.subject_light(&site_sky.night(date), evening.best_at);
    assert!((best.weight - 0.185).abs() < 0.003, "{best:?}");
}

/// A higher ridge, a stricter Moon, a darker limit, a greater least height: never more minutes.
#[test]
fn stricter_limits_never_leave_more() {
    let mut usual = outing(46.0, Limits::default());
    usual.site.ridge = RidgeLine::level(Angle::from_degrees(4.0));
    let minutes = |limits: Limits| -> f64 {
        let season = Season::new(&usual.site, usual.subject, &limits, first());
        season.nights.iter().map(|night| night.minutes).sum()
    };
    let base = minutes(Limits::default());
    for moon in [MoonLimit::Any, MoonLimit::None] {
        let other = minutes(Limits {
            moon,
            ..Limits::default()
        });
        assert!(
            (other >= base) == (moon == MoonLimit::Any),
            "{moon:?}: {other}"
        );
    }
    let darkness = |darkness| {
        minutes(Limits {
            darkness,
            ..Limits::default()
        })
    };
    let by_darkness = DarknessLimit::ALL.map(darkness);
    assert!(by_darkness.is_sorted(), "{by_darkness:?}");
    let least = [0.0, 4.0, 5.0, 8.0, 12.0].map(|degrees| {
        minutes(Limits {
            least_core: Angle::from_degrees(degrees),
            ..Limits::default()
        })
    });
    assert_eq!(least[0], least[1], "the ridge is higher");
    assert!(
        least[1..].windows(2).all(|pair| pair[1] < pair[0]),
        "{least:?}"
    );
}

fn table() -> String {
    let mut table = "\
# Hours a year by darkness limit

Hours in 2027 with the core over a flat horizon, on the meridian of Greenwich, whatever the Moon does and with a
harmless one, by how far the Sun must be down. Windows of five minutes at least; no least height. Made by
`tests/shot_window_limits.rs`.

| latitude | Moon | 18° | 15° | 12° |
|---:|---|---:|---:|---:|
"
    .to_owned();
    for latitude in [51.0, 54.0, 57.0] {
        for (moon, word) in [(MoonLimit::Any, "any"), (MoonLimit::Harmless, "harmless")] {
            let hours = DarknessLimit::ALL.map(|darkness| {
                let limits = Limits {
                    darkness,
                    ..from_horizon(moon)
                };
                let outing = outing(latitude, limits);
                let (site_sky, dates) = nights(&outing);
                let windows = |date| site_sky.usable(&site_sky.night(date), &limits).windows;
                let minutes = dates.flat_map(windows).map(|one| one.span.minutes());
                format!("{:.0}", minutes.sum::<f64>() / 60.0)
            });
            writeln!(table, "| {latitude}° N | {word} | {} |", hours.join(" | "))
                .expect("a String takes all");
        }
    }
    table
}

#[test]
fn the_table_is_as_the_code_has_it() {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/darkness-table.md");
    let table = table();
    if std::env::var_os(WRITE).is_some_and(|set| set == "1") {
        std::fs::write(&path, &table).expect("a place to write");
    }
    let held = std::fs::read_to_string(&path).unwrap_or_default();
    assert_eq!(held, table, "run with {WRITE}=1 to write it anew");
}
