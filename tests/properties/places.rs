//! Any text pasted as a place, and calendar files.

use icalendar::{Calendar, CalendarDateTime, Component, DatePerhapsTime};
use proptest::prelude::*;
use tarnlight::angle::Angle;
use tarnlight::decimal;
use tarnlight::outing::gazetteer::parse;
use tarnlight::outing::plan::bounds;
use tarnlight::outing::share::ics::{Event, calendar_file, calendar_file_of};

use crate::drawn::{cases, inside};

proptest! {
    #![proptest_config(cases(1000))]

    /// Any pasted text is a place on Earth or an error message.
    #[test]
    fn any_text_is_a_place_or_refused(
        text in prop_oneof![
            any::<String>(),
            "(geo:|GEO:)?[-−+0-9.,; °′″NSEWnsew()]{0,30}",
            "geo:-?[0-9]{1,3}(\\.[0-9]{0,4})?,-?[0-9]{1,3}(,-?[0-9]{1,5})?(;[a-z=0-9]{0,8}){0,2}",
        ],
    ) {
        match parse::read(&text) {
            Ok(place) => {
                let (latitude, longitude) = (place.latitude.degrees(), place.longitude.degrees());
                prop_assert!(bounds::LATITUDE.check(latitude).is_ok(), "{:?}", place);
                prop_assert!(bounds::LONGITUDE.check(longitude).is_ok(), "{:?}", place);
                let height = place.height_m.unwrap_or(0.0);
                prop_assert!(bounds::SITE_HEIGHT_M.check(height).is_ok(), "{:?}", place);
            }
            Err(why) => prop_assert!(!why.to_string().is_empty()),
        }
    }

    /// A place is read back from its link and from its two numbers.
    #[test]
    fn a_place_is_read_back(latitude in inside(bounds::LATITUDE), longitude in -179.0..180.0) {
        let (north, east) = (decimal::fixed(latitude, 6), decimal::fixed(longitude, 6));
        for text in [format!("geo:{north},{east}"), format!("{north}, {east}"), format!("{north} {east}")] {
            let place = parse::read(&text).expect("a place");
            let off = (place.latitude.degrees() - latitude).abs();
            prop_assert!(off < 1e-6, "{}: {:?}", text, place);
            let off = (place.longitude.degrees() - longitude).abs();
            let pole = latitude.abs() == 90.0;
            prop_assert!(off < 1e-6 || pole, "{}: {:?}", text, place);
        }
    }

    /// No text breaks out of a calendar file.
    #[test]
    fn any_text_fits_a_calendar_file(title in any::<String>(), place in any::<String>(), seconds in any::<i32>()) {
        let start = chrono::DateTime::from_timestamp(seconds.into(), 0).expect("a time");
        let file = calendar_file(&Event {
            title,
            description: vec![place.clone(), place.clone()],
            location: place,
            latitude: Angle::from_degrees(46.52),
            longitude: Angle::from_degrees(9.91),
            start,
            end: start + chrono::TimeDelta::hours(1),
            stamp: start,
        });
        prop_assert!(file.split("\r\n").all(|line| line.len() <= 75), "{}", file);
        let starts = file.split("\r\n").filter(|line| line.starts_with("BEGIN:"));
        prop_assert_eq!(starts.count(), 2, "{}", file);
        prop_assert!(!file.replace("\r\n", "").contains(char::is_control), "{:?}", file);
    }

    /// Several windows in one file, as another library reads them: each with a name of its own and
    /// its times; one that comes twice stands once.
    #[test]
    fn another_library_reads_every_window(
        starts in prop::collection::hash_set(0_i64..4_000_000_000, 1..40),
        minutes in 5_i64..600,
        title in any::<String>(),
    ) {
        let at = |seconds: i64| chrono::DateTime::from_timestamp(seconds, 0).expect("a time");
        let event = |start: &i64| Event {
            title: title.clone(),
            description: vec![title.clone(); 2],
            location: title.clone(),
            latitude: Angle::from_degrees(46.52),
            longitude: Angle::from_degrees(-9.91),
            start: at(*start),
            end: at(*start + 60 * minutes),
            stamp: at(1_800_000_000),
        };
        let mut events: Vec<_> = starts.iter().map(event).collect();
        events.push(events[0].clone());
        let file = calendar_file_of(&events);
        prop_assert!(file.split("\r\n").all(|line| line.len() <= 75), "{}", file);
        let calendar: Calendar = file.parse().map_err(TestCaseError::fail)?;
        let read: Vec<_> = calendar.events().collect();
        prop_assert_eq!(read.len(), starts.len());
        let mut names: Vec<_> = read.iter().filter_map(|event| event.get_uid()).collect();
        names.sort_unstable();
        names.dedup();
        prop_assert_eq!(names.len(), starts.len());
        let utc = |time: DatePerhapsTime| match time {
            DatePerhapsTime::DateTime(CalendarDateTime::Utc(time)) => Some(time),
            _ => None,
        };
        for (event, read) in events.iter().zip(read) {
            prop_assert_eq!(read.get_start().and_then(utc), Some(event.start));
            prop_assert_eq!(read.get_end().and_then(utc), Some(event.end));
            prop_assert_eq!(read.get_timestamp(), Some(event.stamp));
        }
    }
}
