//! Any text pasted as a place, and calendar files.

use proptest::prelude::*;
use tarnlight::angle::Angle;
use tarnlight::decimal;
use tarnlight::outing::gazetteer::parse;
use tarnlight::outing::plan::bounds;
use tarnlight::outing::share::ics::{Event, calendar_file};

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
}
