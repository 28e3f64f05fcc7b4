//! The date of tonight's night.
//!
//! In the dark it is the night in progress; from sunrise on it is the coming one. Nights are named
//! by the date of the noon on which they begin, so the change comes at sunrise and not at that
//! noon: in the morning the coming evening is meant.

use chrono::{DateTime, Days, NaiveDate, Utc};

use crate::sky::almanac::Almanac;
use crate::sky::moment::Moment;
use crate::sky::night::{Night, SunAltitudeLimit, date_of, noon};
use crate::sky::observer::{GeoPosition, Observer};

/// Margin of the almanac before and after a night, days; at least two hours.
const MARGIN: f64 = 0.25;

/// A sunrise earlier than this after the noon, days, belongs to the day of that noon: near the end
/// of the polar night the Sun rises minutes after mean noon.
const EVENING: f64 = 0.25;

/// The date of tonight's noon at an instant and site: the night in progress until sunrise (the
/// Sun's centre at −50′), then the coming one.
///
/// Where the Sun does not rise in these 24 hours, in the polar day and night, the change comes at
/// mean solar noon, as in [`date_of`]. Sunrise is good to some seconds.
///
/// ```
/// use chrono::DateTime;
/// use tarnlight::angle::Angle;
/// use tarnlight::sky::observer::GeoPosition;
/// use tarnlight::sky::tonight::tonight;
/// let greenwich = GeoPosition {
///     latitude: Angle::from_degrees(51.48),
///     longitude: Angle::ZERO,
///     height_m: 0.0,
/// };
/// let at = |text| tonight(DateTime::parse_from_rfc3339(text).unwrap().to_utc(), greenwich);
/// // the Sun rises there at 3:43
/// assert_eq!(at("2027-06-21T03:30:00Z").to_string(), "2027-06-20");
/// assert_eq!(at("2027-06-21T04:00:00Z").to_string(), "2027-06-21");
/// ```
pub fn tonight(now: DateTime<Utc>, site: GeoPosition) -> NaiveDate {
    let date = date_of(now, site.longitude);
    let start = noon(date, site.longitude);
    let almanac = Almanac::over(start.plus_days(-MARGIN), 1.0 + 2.0 * MARGIN);
    let night = Night::new(&almanac, Observer::at(site), start);
    let at = Moment::from_utc(now).since_s(start) / 86_400.0;
    let sun = night.sun_course(SunAltitudeLimit::Horizon);
    let risen = sun
        .crossings
        .iter()
        .any(|crossing| crossing.up && crossing.at > EVENING && crossing.at <= at);
    // the calendar's last day has no next one
    let next = date.checked_add_days(Days::new(1)).filter(|_| risen);
    next.unwrap_or(date)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::angle::Angle;
    use crate::sky::almanac::SkyBody;

    fn site(latitude: f64, longitude: f64) -> GeoPosition {
        GeoPosition {
            latitude: Angle::from_degrees(latitude),
            longitude: Angle::from_degrees(longitude),
            height_m: 0.0,
        }
    }

    fn instant(text: &str) -> DateTime<Utc> {
        DateTime::parse_from_rfc3339(text)
            .expect("an instant")
            .to_utc()
    }

    /// Sunrise in almanacs (from memory, to some minutes): Greenwich 3:43 UT at the June
    /// solstice and 8:04 at the December one; Phoenix, 33.45° N 112.07° W, 12:18 UT, 5:18 by
    /// its clocks, in June; Sydney, 33.87° S 151.21° E, 21:00 UT, 7:00 by its clocks, in
    /// June.
    #[test]
    fn tonight_changes_at_sunrise() {
        let (greenwich, phoenix, sydney) =
            (site(51.48, 0.0), site(33.45, -112.07), site(-33.87, 151.21));
        for (site, at, want) in [
            (greenwich, "2027-06-20T11:30:00Z", "2027-06-20"),
            (greenwich, "2027-06-20T13:00:00Z", "2027-06-20"),
            (greenwich, "2027-06-20T23:59:00Z", "2027-06-20"),
            (greenwich, "2027-06-21T00:01:00Z", "2027-06-20"),
            (greenwich, "2027-06-21T03:38:00Z", "2027-06-20"),
            (greenwich, "2027-06-21T03:48:00Z", "2027-06-21"),
            (greenwich, "2027-06-21T11:59:00Z", "2027-06-21"),
            (greenwich, "2027-06-21T12:01:00Z", "2027-06-21"),
            (greenwich, "2027-12-21T07:59:00Z", "2027-12-20"),
            (greenwich, "2027-12-21T08:09:00Z", "2027-12-21"),
            (phoenix, "2027-06-21T12:12:00Z", "2027-06-20"),
            (phoenix, "2027-06-21T12:24:00Z", "2027-06-21"),
            (sydney, "2027-06-20T20:54:00Z", "2027-06-20"),
            (sydney, "2027-06-20T21:06:00Z", "2027-06-21"),
        ] {
            assert_eq!(tonight(instant(at), site).to_string(), want, "{at}");
        }
    }

    /// Where the Sun does not rise the change comes at mean solar noon: 12:00 UT less four
    /// minutes a degree of longitude.
    #[test]
    fn without_a_sunrise_it_changes_at_mean_noon() {
        for (latitude, day) in [
            (78.0, "2027-06-21"),
            (78.0, "2027-12-21"),
            (-80.0, "2027-06-21"),
        ] {
            let site = site(latitude, 15.0);
            let before: NaiveDate = day.parse().expect("a date");
            let eve = before.pred_opt().expect("a date");
            for (time, want) in [
                ("00:30", eve),
                ("06:00", eve),
                ("10:59", eve),
                ("11:01", before),
                ("20:00", before),
            ] {
                let at = instant(&format!("{day}T{time}:00Z"));
                assert_eq!(tonight(at, site), want, "{latitude}° {day} {time}");
            }
        }
    }

    /// Over a year anywhere: just after a noon it is the night that begins there; where that
    /// changes within the 24 hours it does so once, to the next, with the Sun's middle 50′ below
    /// the horizon.
    #[test]
    fn it_changes_with_the_sun() {
        for (latitude, longitude) in [(0.0, 179.9), (46.5, 9.9), (-54.0, -68.0), (66.3, 20.0)] {
            let site = site(latitude, longitude);
            let first = NaiveDate::from_ymd_opt(2027, 1, 1).expect("a date");
            let mut without = 0;
            for date in first.iter_days().step_by(14).take(26) {
                let start = noon(date, site.longitude).instant();
                let (mut low, mut high) = (
                    start + chrono::TimeDelta::seconds(2),
                    start + chrono::TimeDelta::seconds(86_398),
                );
                assert_eq!(tonight(low, site), date, "{latitude}°");
                if tonight(high, site) == date {
                    without += 1;
                    continue;
                }
                while high - low > chrono::TimeDelta::seconds(2) {
                    let middle = low + (high - low) / 2;
                    match tonight(middle, site) {
                        same if same == date => low = middle,
                        next => {
                            assert_eq!(Some(next), date.succ_opt(), "{latitude}° {middle}");
                            high = middle;
                        }
                    }
                }
                let moment = Moment::from_utc(high);
                let almanac = Almanac::over(moment.plus_days(-0.5), 1.0);
                let sun = Observer::at(site).horizontal(&almanac, SkyBody::Sun, moment);
                let from_line = sun.altitude.0.degrees() + 50.0 / 60.0;
                assert!(
                    from_line.abs() < 0.02,
                    "{latitude}° {high}: {from_line}° from sunrise"
                );
            }
            assert!((without > 0) == (latitude > 66.0), "{latitude}°: {without}");
        }
    }
}
