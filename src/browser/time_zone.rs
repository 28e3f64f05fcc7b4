//! The phone's clock, and the browser's time zone database.

use chrono::{DateTime, NaiveDate, Utc};
use js_sys::{Array, Date, Function, Object, Reflect};
use wasm_bindgen::{JsCast, JsValue};

use crate::outing::night::local_time::TimeZones;
use crate::outing::plan::site::MOST_OFFSET_MIN;

/// The time now.
pub fn now() -> DateTime<Utc> {
    DateTime::from_timestamp_millis(Date::now() as i64).unwrap_or_default()
}

/// The phone's zone and its current offset from UTC, minutes.
pub fn own_zone() -> Option<(String, i32)> {
    let format = formatter(None)?;
    let options: Function = Reflect::get(&format, &"resolvedOptions".into())
        .ok()?
        .dyn_into()
        .ok()?;
    let options = options.call0(&format).ok()?;
    let name = Reflect::get(&options, &"timeZone".into())
        .ok()?
        .as_string()?;
    let offset_min = -(Date::new_0().get_timezone_offset() as i32);
    (offset_min.abs() <= MOST_OFFSET_MIN).then_some((name, offset_min))
}

/// The browser's time zone database.
pub struct BrowserTimeZones;

impl TimeZones for BrowserTimeZones {
    /// Computed from the date and time the browser formats for the zone: the fields of an English
    /// date are the same in every browser, the names of offsets are not.
    fn offset_min(&self, zone: &str, instant: DateTime<Utc>) -> Option<i32> {
        let format = formatter(Some(zone))?;
        let milliseconds = instant.timestamp_millis() as f64;
        let date: JsValue = Date::new(&milliseconds.into()).into();
        let format_to_parts = Reflect::get(&format, &"formatToParts".into()).ok()?;
        let format_to_parts: Function = format_to_parts.dyn_into().ok()?;
        let parts: Array = format_to_parts
            .call1(&format, &date)
            .ok()?
            .dyn_into()
            .ok()?;
        let field = |wanted: &str| -> Option<u32> {
            parts
                .iter()
                .find_map(|part| {
                    let kind = Reflect::get(&part, &"type".into()).ok()?.as_string()?;
                    let value = Reflect::get(&part, &"value".into()).ok()?.as_string()?;
                    (kind == wanted)
                        .then(|| crate::decimal::read(&value))
                        .flatten()
                })
                .map(|value| value as u32)
        };
        let year = i32::try_from(field("year")?).ok()?;
        let date = NaiveDate::from_ymd_opt(year, field("month")?, field("day")?)?;
        let there = date
            .and_hms_opt(field("hour")?, field("minute")?, 0)?
            .and_utc();
        let whole = instant.timestamp().div_euclid(60);
        let minutes = i32::try_from(there.timestamp().div_euclid(60) - whole).ok()?;
        (minutes.abs() <= MOST_OFFSET_MIN).then_some(minutes)
    }
}

/// A formatter of dates in a zone, or the phone's own; `None` where the browser does not know the
/// zone.
fn formatter(zone: Option<&str>) -> Option<JsValue> {
    let options = Object::new();
    let set = |key: &str, value: &str| Reflect::set(&options, &key.into(), &value.into()).is_ok();
    let message = zone.is_none_or(|zone| set("timeZone", zone))
        && set("hourCycle", "h23")
        && ["year", "month", "day", "hour", "minute"]
            .into_iter()
            .all(|field| set(field, "numeric"));
    if !message {
        return None;
    }
    // called through reflection, since an unknown zone throws
    let intl = Reflect::get(&js_sys::global(), &"Intl".into()).ok()?;
    let maker: Function = Reflect::get(&intl, &"DateTimeFormat".into())
        .ok()?
        .dyn_into()
        .ok()?;
    Reflect::construct(&maker, &Array::of2(&"en-US".into(), &options)).ok()
}
