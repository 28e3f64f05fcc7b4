//! One event has one time in everything that is written of a night.

use std::rc::Rc;

use chrono::{DateTime, NaiveDate, Timelike, Utc};

use crate::angle::Angle;
use crate::outing::field::card::FieldCard;
use crate::outing::night::WindowBoundary;
use crate::outing::night::local_time::{Rounding, TimeZones};
use crate::outing::plan::Outing;
use crate::outing::plan::limits::{Limits, MoonLimit};
use crate::outing::plan::site::Zone;
use crate::sky::night::Course;
use crate::ui::state::derived::selected_night::{
    MoonSunCrossings, Night, NightInputs, SelectedNight, days_of,
};
use crate::ui::text::night::time;
use crate::ui::text::{field_card, framing, night, windows};

/// All zones here are fixed.
struct NoZones;

impl TimeZones for NoZones {
    fn offset_min(&self, _: &str, _: DateTime<Utc>) -> Option<i32> {
        None
    }
}

fn outing(ridge_deg: f64) -> Outing {
    let mut outing = Outing {
        limits: Limits {
            least_core: Angle::ZERO,
            moon: MoonLimit::None,
            ..Limits::default()
        },
        ..Outing::default()
    };
    outing.site.latitude = Angle::from_degrees(41.3);
    // minutes of the night and of the clock begin at different seconds
    outing.site.longitude = Angle::from_degrees(9.91);
    outing.site.zone = Zone::Fixed(120);
    outing.site.ridge = outing.site.ridge.at_level(Angle::from_degrees(ridge_deg));
    outing
}

fn selected(outing: &Outing, date: NaiveDate) -> SelectedNight {
    let inputs = NightInputs {
        site: outing.site.clone(),
        subject: outing.subject,
        limits: outing.limits,
        date,
        tonight: false,
    };
    SelectedNight::new(Rc::new(Night::new(&inputs, &NoZones)), None)
}

/// The times of a course as the pictures write them.
fn written(selected: &SelectedNight, light: bool, course: &Course) -> Vec<String> {
    let crossings = course.crossings.iter();
    crossings
        .map(|crossing| {
            let rounding = Rounding::of_crossing(light, crossing.up);
            time(selected.event(crossing.at, rounding))
        })
        .collect()
}

/// Every fourth night of half a year over two ridges: what ends a window is written at the same
/// minute in the headline, in the sentences, among the crossings, on the card, in the verdict on the
/// Moon and in the calendar; so is the best minute.
#[test]
fn one_event_has_one_time_everywhere() {
    let first = NaiveDate::from_ymd_opt(2027, 3, 1).expect("a date");
    let mut seen = [0; 3];
    for ridge_deg in [0.0, 8.0] {
        let outing = outing(ridge_deg);
        for date in first.iter_days().step_by(4).take(45) {
            let selected = selected(&outing, date);
            let evening = &selected.night.evening;
            let Some(window) = evening.best() else {
                continue;
            };
            let (start, end) = windows::ends(&selected, &window);
            let sentence = windows::sentence(&selected, &outing);
            assert!(
                sentence.starts_with(&format!("From {start}, ")),
                "{sentence}"
            );
            assert!(sentence.contains(&format!(", to {end}, ")), "{sentence}");
            let crossings = MoonSunCrossings::new(&selected.night);
            let core = framing::sentence(&outing, &selected);
            let sun = written(&selected, true, &evening.sun[3]);
            let moon = written(&selected, true, &evening.moon);
            let card = FieldCard::new(&outing, (&selected.night.site_sky, evening), 0.5);
            let of_card = field_card::moon(&card.moon, &selected);
            let verdict = selected.night.moon.expect("a verdict");
            assert_eq!(night::moon_verdict(verdict, &selected), "Moonless");
            for (boundary, at) in [(window.opens, &start), (window.closes, &end)] {
                match boundary {
                    WindowBoundary::Twilight => {
                        seen[0] += 1;
                        assert!(sun.contains(at), "{date}: {at} not in {sun:?}");
                    }
                    WindowBoundary::Ridge => {
                        seen[1] += 1;
                        assert!(core.contains(at), "{date}: {at} not in {core}");
                    }
                    WindowBoundary::Moon => {
                        seen[2] += 1;
                        assert!(moon.contains(at), "{date}: {at} not in {moon:?}");
                        assert!(of_card.contains(at), "{date}: {at} not in {of_card}");
                        if ridge_deg == 0.0 {
                            // over a level horizon the same, but for the air at the limb
                            let list = framing::crossings(&outing, &selected, &crossings);
                            assert!(list.contains("Moon: "), "{list}");
                        }
                    }
                    other => panic!("{date}: {other:?}"),
                }
            }
            // the calendar, in UTC
            let event = windows::calendar_event(&outing, &selected, DateTime::UNIX_EPOCH);
            let event = event.expect("an event");
            let local = |instant: DateTime<Utc>| {
                let there = instant + chrono::TimeDelta::minutes(120);
                assert_eq!((there.second(), there.nanosecond()), (0, 0));
                format!("{:02}:{:02}", there.hour(), there.minute())
            };
            assert_eq!((local(event.start), local(event.end)), (start, end));
            // the best minute
            let best = time(selected.local(days_of(selected.minute)));
            assert!(
                sentence.contains(&format!("Best at {best}: ")),
                "{best}: {sentence}"
            );
            let stand = card.core.iter().find(|moment| moment.best).expect("a best");
            if stand.at != window.span.start && stand.at != window.span.end {
                assert_eq!(time(selected.local(stand.at)), best, "{date}");
            }
            let minutes = (event.end - event.start).num_minutes();
            assert_eq!(minutes as f64, window.minutes, "{date}");
        }
    }
    assert!(seen.iter().all(|count| *count > 5), "{seen:?}");
}

/// The best minute is written inside the window, however the seconds fall.
#[test]
fn the_best_minute_is_written_inside_the_window() {
    let first = NaiveDate::from_ymd_opt(2027, 2, 20).expect("a date");
    for longitude_deg in [9.125, -77.031, 120.249] {
        let mut outing = outing(0.0);
        outing.site.longitude = Angle::from_degrees(longitude_deg);
        outing.site.zone = Zone::Fixed(0);
        for date in first.iter_days().step_by(3).take(60) {
            let selected = selected(&outing, date);
            let evening = &selected.night.evening;
            let Some(window) = evening.best() else {
                continue;
            };
            let at = |days: f64, rounding| {
                let moment = evening.start.plus_days(days);
                crate::outing::night::local_time::event_minute(moment, rounding)
            };
            let best = at(days_of(selected.minute), Rounding::Nearest);
            let (opens, closes) = (
                at(window.span.start, Rounding::Opening),
                at(window.span.end, Rounding::Closing),
            );
            assert!((opens..=closes).contains(&best), "{longitude_deg}° {date}");
        }
    }
}

#[test]
fn what_stands_now_is_said_in_a_line() {
    let outing = outing(8.0);
    let date = NaiveDate::from_ymd_opt(2027, 6, 4).expect("a date");
    let selected = selected(&outing, date);
    let line = night::status(&selected, true);
    let start = line.starts_with("Core ") && line.contains("(S), above the ridge, ");
    assert!(start && line.ends_with(" left"), "{line}");
    assert_eq!(night::length_short(186), "3\u{a0}h\u{a0}06");
    assert_eq!(night::length_short(48), "48\u{a0}min");
    let unset = Outing::default();
    assert_eq!(night::site(&unset.site), "No site yet: figures for 36° N");
    let unset = self::selected(&unset, date);
    assert_eq!(night::clock(&unset), "Times by this phone's clock, UTC+0.");
}
