//! The kept nights: what each offers, and a calendar file of their windows.

use std::rc::Rc;

use chrono::{DateTime, NaiveDate, Utc};

use super::selected_night::{Night, NightInputs, SelectedNight};
use crate::outing::night::local_time::TimeZones;
use crate::outing::night::season::NightSummary;
use crate::outing::night::site_sky::SiteSky;
use crate::outing::plan::Outing;
use crate::outing::plan::limits::Limits;
use crate::outing::plan::site::Site;
use crate::outing::share::ics::calendar_file_of;
use crate::sky::subject::Subject;
use crate::ui::text::windows::calendar_event;

/// What each of some nights offers.
pub(super) fn summaries(
    (site, subject): (&Site, Subject),
    limits: &Limits,
    dates: &[NaiveDate],
) -> Vec<NightSummary> {
    let summary = |date: &NaiveDate| {
        let site_sky = SiteSky::over(site, subject, *date, 1);
        NightSummary::new(&site_sky, *date, limits)
    };
    dates.iter().map(summary).collect()
}

/// The windows of some nights for a calendar.
#[derive(Debug, Clone, PartialEq)]
pub struct WindowCalendar {
    /// The file's text; empty where no night has a window.
    pub file: String,
    /// How many nights are in it.
    pub nights: usize,
    /// How many are left out, since they have no window.
    pub left_out: usize,
}

impl WindowCalendar {
    /// The best window of each of some nights at the outing's site, within its limits; the file is
    /// written at `stamp`.
    pub fn new(
        outing: &Outing,
        dates: &[NaiveDate],
        stamp: DateTime<Utc>,
        zones: &dyn TimeZones,
    ) -> Self {
        let event = |date: &NaiveDate| {
            let inputs = NightInputs {
                site: outing.site.clone(),
                subject: outing.subject,
                limits: outing.limits,
                date: *date,
                tonight: false,
            };
            let night = Rc::new(Night::new(&inputs, zones));
            calendar_event(outing, &SelectedNight::new(night, None), stamp)
        };
        let events: Vec<_> = dates.iter().filter_map(event).collect();
        Self {
            file: calendar_file_of(&events),
            nights: events.len(),
            left_out: dates.len() - events.len(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outing::night::local_time::{Rounding, event_minute};

    struct Utc0;

    impl TimeZones for Utc0 {
        fn offset_min(&self, _: &str, _: DateTime<Utc>) -> Option<i32> {
            Some(0)
        }
    }

    /// New Moon on 4 June 2027, full Moon on 19 June (almanacs, from memory); in December the core
    /// is up by day only.
    #[test]
    fn nights_without_a_window_are_left_out_and_counted() {
        let date = |month, day| NaiveDate::from_ymd_opt(2027, month, day).expect("a date");
        let dates = [date(6, 4), date(6, 5), date(6, 18), date(12, 20)];
        let outing = Outing::default();
        let stamp = DateTime::from_timestamp(1_812_000_000, 0).expect("a time");
        let calendar = WindowCalendar::new(&outing, &dates, stamp, &Utc0);
        assert_eq!((calendar.nights, calendar.left_out), (2, 2));
        assert_eq!(calendar.file.matches("BEGIN:VEVENT").count(), 2);
        // the times are those of the page, to the minute
        let site_sky = SiteSky::over(&outing.site, outing.subject, dates[0], 1);
        let evening = site_sky.night_windows(dates[0], &outing.limits);
        let span = evening.best().expect("a window").span;
        let start = event_minute(evening.start.plus_days(span.start), Rounding::Opening);
        let start = DateTime::from_timestamp(start * 60, 0).expect("a time");
        let line = format!("DTSTART:{}\r\n", start.format("%Y%m%dT%H%M00Z"));
        assert!(calendar.file.contains(&line), "{line} in {}", calendar.file);
        let none = WindowCalendar::new(&outing, &dates[3..], stamp, &Utc0);
        assert_eq!((none.file.as_str(), none.nights), ("", 0));
        let summaries = summaries((&outing.site, outing.subject), &outing.limits, &dates);
        let usable = summaries.iter().map(|night| night.minutes > 0.0);
        assert_eq!(usable.collect::<Vec<_>>(), [true, true, false, false]);
    }
}
