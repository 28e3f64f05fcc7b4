//! Edits of the night, the minute looked at and the limits of a shot window.

use chrono::{DateTime, Datelike, NaiveDate, Utc};

use crate::angle::Angle;
use crate::outing::plan::limits::{DarknessLimit, MoonLimit};
use crate::outing::plan::{NIGHT_MIN, Outing};
use crate::sky::moment::{Moment, YEARS};
use crate::sky::night::{date_of, noon};
use crate::sky::subject::Subject;

/// An edit of the night.
#[derive(Debug, Clone)]
pub enum NightEdit {
    /// A night, by the date of its noon. Dates outside the years covered change nothing.
    Date(NaiveDate),
    /// The coming night.
    Tonight,
    /// A minute of a night, counted from its noon.
    Minute(NaiveDate, u16),
    /// The present moment.
    Now(DateTime<Utc>),
    /// What the night is planned about. Minute and aim that were chosen for another are dropped.
    Subject(Subject),
    /// How far the Sun must be down.
    Darkness(DarknessLimit),
    /// How high the subject must stand.
    LeastHeight(Angle),
    /// How much moonlight is put up with.
    Moon(MoonLimit),
}

impl NightEdit {
    /// Applies the edit.
    pub(super) fn apply(self, outing: &mut Outing) {
        let limits = &mut outing.limits;
        match self {
            Self::Date(date) => {
                if YEARS.contains(&date.year()) {
                    (outing.night, outing.minute) = (Some(date), None);
                }
            }
            Self::Tonight => (outing.night, outing.minute) = (None, None),
            Self::Minute(date, minute) => {
                (outing.night, outing.minute) = (Some(date), Some(minute.min(NIGHT_MIN - 1)));
            }
            Self::Now(now) => {
                // the night that holds the minute, which from sunrise to noon is not tonight
                let date = date_of(now, outing.site.longitude);
                let start = noon(date, outing.site.longitude);
                let minute = Moment::from_utc(now).since_s(start) / 60.0;
                (outing.night, outing.minute) = (Some(date), Some(minute as u16));
            }
            Self::Subject(subject) => {
                if outing.subject != subject {
                    outing.subject = subject;
                    (outing.minute, outing.frame) = (None, None);
                }
            }
            Self::Darkness(darkness) => limits.darkness = darkness,
            Self::LeastHeight(least) => limits.least_core = least,
            Self::Moon(moon) => limits.moon = moon,
        }
    }
}
