//! The phone's clock, and the browser's own knowledge of time zones.

use std::cell::RefCell;

use chrono::{DateTime, NaiveDate, Utc};
use js_sys::{Array, Date, Function, Object, Reflect};
use wasm_bindgen::{JsCast, JsValue};

use crate::outing::night::local_time::TimeZones;
use crate::outing::plan::site::MOST_OFFSET_MIN;

/// The time now.
pub fn now() -> DateTime<Utc> {
    DateTime::from_timestamp_millis(Date::now() as i64).unwrap_or_default()
}

/// The phone's own zone, and how many minutes its clocks are ahead of UTC now.
pub fn own_zone() -> Option<(String, i32)> {
    let options = DateFormatter::new(None)?.call("resolvedOptions", &JsValue::UNDEFINED)?;
    let name = Reflect::get(&options, &"timeZone".into())
        .ok()?
        .as_string()?;
    let offset_min = -(Date::new_0().get_timezone_offset() as i32);
    (offset_min.abs() <= MOST_OFFSET_MIN).then_some((name, offset_min))
}

thread_local! {
    /// The formatters made so far, by zone: making one takes 0.2 ms, using it a hundredth of that.
    static FORMATTERS: RefCell<Vec<(String, DateFormatter)>> = const { RefCell::new(Vec::new()) };
}

/// The browser's zones.
pub struct BrowserTimeZones;

impl TimeZones for BrowserTimeZones {
    fn offset_min(&self, zone: &str, instant: DateTime<Utc>) -> Option<i32> {
        FORMATTERS.with_borrow_mut(|formatters| {
            if let Some((_, formatter)) = formatters.iter().find(|(known, _)| known == zone) {
                return formatter.offset_min(instant);
            }
            let formatter = DateFormatter::new(Some(zone))?;
            let offset_min = formatter.offset_min(instant);
            formatters.push((zone.to_owned(), formatter));
            offset_min
        })
    }
}

/// Writes dates by the clocks of a zone, or the phone's own.
struct DateFormatter(JsValue);

impl DateFormatter {
    /// `None` where the browser does not know the zone.
    fn new(zone: Option<&str>) -> Option<Self> {
        let options = Object::new();
        let set =
            |key: &str, value: &str| Reflect::set(&options, &key.into(), &value.into()).is_ok();
        let complete = zone.is_none_or(|zone| set("timeZone", zone))
            && set("hourCycle", "h23")
            && ["year", "month", "day", "hour", "minute"]
                .into_iter()
                .all(|field| set(field, "numeric"));
        if !complete {
            return None;
        }
        // called through reflection, since an unknown zone throws
        let intl = Reflect::get(&js_sys::global(), &"Intl".into()).ok()?;
        let constructor: Function = Reflect::get(&intl, &"DateTimeFormat".into())
            .ok()?
            .dyn_into()
            .ok()?;
        let formatter = Reflect::construct(&constructor, &Array::of2(&"en-US".into(), &options));
        formatter.ok().map(Self)
    }

    /// Calls a method with an argument, which it may ignore.
    fn call(&self, method: &str, argument: &JsValue) -> Option<JsValue> {
        let method: Function = Reflect::get(&self.0, &method.into())
            .ok()?
            .dyn_into()
            .ok()?;
        method.call1(&self.0, argument).ok()
    }

    /// Minutes that the zone's clocks are ahead of UTC at an instant.
    ///
    /// Read from the date and time the browser writes for the zone: the fields of an English
    /// date are the same in every browser, where the names of offsets are not.
    fn offset_min(&self, instant: DateTime<Utc>) -> Option<i32> {
        let milliseconds = instant.timestamp_millis() as f64;
        let date: JsValue = Date::new(&milliseconds.into()).into();
        let parts: Array = self.call("formatToParts", &date)?.dyn_into().ok()?;
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
        let local = date
            .and_hms_opt(field("hour")?, field("minute")?, 0)?
            .and_utc();
        let whole = instant.timestamp().div_euclid(60);
        let minutes = i32::try_from(local.timestamp().div_euclid(60) - whole).ok()?;
        (minutes.abs() <= MOST_OFFSET_MIN).then_some(minutes)
    }
}
