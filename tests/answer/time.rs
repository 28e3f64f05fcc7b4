//! Instants as the answers write them, to a tenth of a second.

use std::fmt::Write;

use chrono::{DateTime, Offset, SecondsFormat, TimeZone, Utc};
use chrono_tz::Tz;
use tarnlight::sky::moment::Moment;

/// An instant in UTC, such as `2026-06-14T23:10:00.0Z`.
pub fn utc_text(moment: Moment) -> String {
    format!("{}Z", tenths_text(tenths(moment)))
}

/// The same instant by a zone's clocks, such as `2026-06-15T01:10:00.0+02:00`.
pub fn local_text(moment: Moment, zone: Tz) -> String {
    let tenths = tenths(moment);
    let offset_s = zone
        .offset_from_utc_datetime(&whole_second(tenths).naive_utc())
        .fix()
        .local_minus_utc();
    let mut text = tenths_text(tenths + 10 * i64::from(offset_s));
    let sign = if offset_s < 0 { '-' } else { '+' };
    let minutes = offset_s.abs() / 60;
    // writing to a String cannot fail
    let _ = write!(text, "{sign}{:02}:{:02}", minutes / 60, minutes % 60);
    text
}

/// Tenths of a second since 1970, rounded.
fn tenths(moment: Moment) -> i64 {
    (moment.instant().timestamp_millis() + 50).div_euclid(100)
}

fn whole_second(tenths: i64) -> DateTime<Utc> {
    DateTime::from_timestamp(tenths.div_euclid(10), 0).unwrap_or_default()
}

fn tenths_text(tenths: i64) -> String {
    let text = whole_second(tenths).to_rfc3339_opts(SecondsFormat::Secs, true);
    let tenth = tenths.rem_euclid(10);
    format!("{}.{tenth}", text.trim_end_matches('Z'))
}
