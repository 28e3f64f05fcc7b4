//! Numbers keep their last bit in every written form: links and files, tables, lines of JSON, messages.

use chrono::NaiveDate;
use proptest::prelude::*;
use serde_json::Value;
use tarnlight::angle::Angle;
use tarnlight::decimal;
use tarnlight::land::table;
use tarnlight::outing::messages::{Request, ToWorker, decode, encode};
use tarnlight::outing::plan::Outing;
use tarnlight::outing::plan::bounds::{self, Bounds};
use tarnlight::outing::share::{file, query};

use crate::drawn::cases;

/// Places that the written form keeps, as a factor.
const PLACES: f64 = 1e4;

/// Numbers of more digits are not read.
const MOST_UNITS: u64 = 999_999_999_999_999;

/// A number that the form can hold: up to fifteen digits, four of them behind the point; small and
/// large ones as often.
fn held() -> impl Strategy<Value = f64> {
    let digits = (0..=15_u32).prop_flat_map(|digits| 0..10_u64.pow(digits));
    let units = prop_oneof![
        9 => digits,
        1 => prop::sample::select(vec![0, 1, MOST_UNITS - 1, MOST_UNITS]),
    ];
    (units, any::<bool>()).prop_map(|(units, negative)| {
        // both are exact, so that the quotient is the double nearest to the decimal number
        let value = units as f64 / PLACES;
        if negative { -value } else { value }
    })
}

/// Reads what [`decimal::plain`] writes.
fn read(text: &str) -> Option<f64> {
    match text.strip_prefix('-') {
        Some(size) => decimal::read(size).map(|size| -size),
        None => decimal::read(text),
    }
}

/// Every double within the bounds that the form can hold.
fn held_within(bounds: Bounds) -> impl Strategy<Value = f64> {
    let units = (bounds.least * PLACES).ceil() as i64..=(bounds.most * PLACES).floor() as i64;
    units.prop_map(|units| units as f64 / PLACES)
}

proptest! {
    #![proptest_config(cases(20_000))]

    /// What the form can hold comes back to the last bit.
    #[test]
    fn a_number_is_read_as_it_was_written(value in held()) {
        let text = decimal::plain(value);
        let again = read(&text);
        prop_assert_eq!(again, Some(value), "{}", text);
        // the standard library, whose reading is correctly rounded, agrees
        prop_assert_eq!(text.parse(), Ok(value), "{}", text);
    }

    /// Any other number is written as the nearest that can be held, and from then on stays. One too
    /// large for fifteen digits is refused, or read without its last digits.
    #[test]
    fn any_finite_number_settles(value in prop::num::f64::ANY) {
        let text = decimal::plain(value);
        let once = read(&text);
        if value.abs() * PLACES < MOST_UNITS as f64 {
            let once = once.ok_or_else(|| TestCaseError::fail(text.clone()))?;
            prop_assert_eq!(decimal::plain(once), text);
            let nearest = 0.5 / PLACES + value.abs() * f64::EPSILON;
            prop_assert!((once - value).abs() <= nearest, "{} is read as {}", value, once);
        } else if let Some(once) = once {
            prop_assert!((once / value - 1.0).abs() < 1e-14, "{} is read as {}", value, once);
        }
    }

    /// The same of doubles about the size of what is typed.
    #[test]
    fn usual_numbers_settle(value in -1e6..1e6_f64) {
        let text = decimal::plain(value);
        let once = read(&text);
        prop_assert_eq!(once.map(decimal::plain), Some(text));
        prop_assert!(once.is_some_and(|once| (once - value).abs() <= 0.500_001 / PLACES));
    }

    /// JSON holds every finite double.
    #[test]
    fn json_keeps_the_last_bit(bits: u64) {
        let value = f64::from_bits(bits);
        if value.is_finite() {
            let line = serde_json::to_string(&value).expect("a number");
            let again: Value = serde_json::from_str(&line).expect("JSON");
            prop_assert_eq!(again.as_f64().map(f64::to_bits), Some(bits), "{}", line);
        }
    }

    /// A message holds every double, those that are no numbers too.
    #[test]
    fn a_message_keeps_every_bit(bits: u64) {
        let request = Request::Declination {
            latitude: Angle::from_radians(f64::from_bits(bits)),
            longitude: Angle::ZERO,
            height_m: f64::from_bits(!bits),
            date: NaiveDate::default(),
        };
        let sent = encode(&ToWorker { id: 1, request }).expect("memory does not fail");
        match decode(&sent).map(|read: ToWorker| read.request) {
            Some(Request::Declination { latitude, height_m, .. }) => {
                prop_assert_eq!(latitude.radians().to_bits(), bits);
                prop_assert_eq!(height_m.to_bits(), !bits);
            }
            other => prop_assert!(false, "{other:?}"),
        }
    }
}

proptest! {
    #![proptest_config(cases(3000))]

    /// In link and file a number comes back to the last bit, an angle to the same text.
    #[test]
    fn links_and_files_keep_numbers(
        latitude in held_within(bounds::LATITUDE),
        height_m in held_within(bounds::SITE_HEIGHT_M),
        focal_mm in held_within(bounds::FOCAL_MM),
        f_number in held_within(bounds::F_NUMBER),
        stack_min in held_within(bounds::STACK_MIN),
        ahead_s in held_within(bounds::CLOCK_S),
    ) {
        let text = format!(
            "v=1&lat={}&sensor=36x24&px=6000x4000&mm={}&f={}&sharp=2&keep=core&high={}&mins={}&\
             clock={}_2026-07-09",
            decimal::plain(latitude),
            decimal::plain(focal_mm),
            decimal::plain(f_number),
            decimal::plain(height_m),
            decimal::plain(stack_min),
            decimal::plain(ahead_s),
        );
        let from_file = file::read(&format!("tarnlight 1\nouting {text}\n"));
        let from_file = from_file.ok().and_then(|all| all.outing).unwrap_or_default();
        for outing in [query::read(&text).outing, from_file] {
            prop_assert_eq!(outing.site.latitude, Angle::from_degrees(latitude));
            prop_assert_eq!(outing.site.height_m, height_m);
            prop_assert_eq!(outing.kit.lens.focal_mm, focal_mm);
            prop_assert_eq!(outing.f_number, f_number);
            prop_assert_eq!(outing.stack_min, stack_min);
            prop_assert_eq!(outing.kit.body.clock.map(|clock| clock.ahead_s), Some(ahead_s));
            let again: Outing = query::read(&query::write(&outing)).outing;
            prop_assert_eq!(again, outing);
        }
    }

    /// A table of a skyline, by every column mark.
    #[test]
    fn tables_keep_numbers(
        bearing in held_within(bounds::BEARING),
        height in held_within(bounds::SIGHTED),
        mark in prop::sample::select(vec!["\t", ";", ", ", " "]),
    ) {
        let text = format!("{}{mark}{}", decimal::plain(bearing), decimal::plain(height));
        let rows = table::read(&text).map_err(|why| TestCaseError::fail(format!("{text}: {why}")))?;
        prop_assert_eq!(rows[0].bearing, Angle::from_degrees(bearing), "{}", text);
        prop_assert_eq!(rows[0].height, Angle::from_degrees(height), "{}", text);
    }
}
