//! What would give a night without a window one.

use chrono::{Days, NaiveDate};

use crate::outing::night::season::{NIGHTS, NightSummary};
use crate::outing::night::site_sky::SiteSky;
use crate::outing::plan::limits::{DarknessLimit, Limits, MoonLimit};
use crate::outing::plan::site::Site;
use crate::sky::subject::Subject;

/// Nights looked through with one almanac.
const STRETCH: u32 = 31;

/// Ways to a window where there is none.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NoWindowHelp {
    /// A lighter darkness limit alone, the darkest that helps, and its minutes.
    pub darkness: Option<(DarknessLimit, f64)>,
    /// Minutes with any Moon alone.
    pub any_moon_min: Option<f64>,
    /// The easiest limits that help, of all, and their minutes; see [`SiteSky::easier_limits`].
    pub easier_limits: Option<(Limits, f64)>,
    /// The next night with a window within the present limits, within a year.
    pub next: Option<NightSummary>,
}

impl NoWindowHelp {
    /// For the night of a date, whose sky is `site_sky`.
    pub fn new(
        (site, subject): (&Site, Subject),
        site_sky: &SiteSky,
        limits: &Limits,
        date: NaiveDate,
    ) -> Self {
        let night = site_sky.night(date);
        let minutes = |limits: Limits| {
            let minutes = site_sky.usable(&night, &limits).minutes();
            (minutes > 0.0).then_some(minutes)
        };
        let lighter = DarknessLimit::ALL
            .into_iter()
            .filter(|limit| *limit < limits.darkness);
        let mut darkness = lighter.filter_map(|darkness| {
            let minutes = minutes(Limits {
                darkness,
                ..*limits
            })?;
            Some((darkness, minutes))
        });
        let any_moon = Limits {
            moon: MoonLimit::Any,
            ..*limits
        };
        Self {
            darkness: darkness.next(),
            any_moon_min: minutes(any_moon).filter(|_| limits.moon != MoonLimit::Any),
            easier_limits: site_sky.easier_limits(&night, limits),
            next: next_with_window((site, subject), limits, date),
        }
    }
}

/// The next night after a date with a window, within a year.
pub fn next_with_window(
    (site, subject): (&Site, Subject),
    limits: &Limits,
    date: NaiveDate,
) -> Option<NightSummary> {
    let mut days = 1;
    while days <= NIGHTS {
        let from = date.checked_add_days(Days::new(days.into()))?;
        let site_sky = SiteSky::over(site, subject, from, STRETCH);
        let mut nights = from
            .iter_days()
            .take(STRETCH as usize)
            .map(|date| NightSummary::new(&site_sky, date, limits));
        if let Some(found) = nights.find(|night| night.minutes > 0.0) {
            return Some(found);
        }
        days += STRETCH;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::angle::Angle;
    use crate::outing::night::season::Season;

    fn help(latitude_deg: f64, date: (i32, u32, u32)) -> NoWindowHelp {
        let site = Site {
            latitude: Angle::from_degrees(latitude_deg),
            ..Site::default()
        };
        let date = NaiveDate::from_ymd_opt(date.0, date.1, date.2).expect("a date");
        let site_sky = SiteSky::over(&site, Subject::Core, date, 1);
        let limits = Limits::default();
        let windows = site_sky.night_windows(date, &limits).usable.windows;
        assert!(windows.is_empty(), "{windows:?}");
        let help = NoWindowHelp::new((&site, Subject::Core), &site_sky, &limits, date);
        let season = Season::new(&site, Subject::Core, &limits, date);
        let found = season.nights.iter().find(|night| night.minutes > 0.0);
        assert_eq!(
            help.next.map(|night| night.date),
            found.map(|night| night.date),
            "the season has the same"
        );
        help
    }

    /// In December the core is up only by day at 36° N, whatever the limits; at midsummer it is
    /// never 18° dark at 50° N (almanacs: from 48.6° N on); under the full Moon of 18 June 2027 any
    /// Moon gives a window; at 65° N the core never rises.
    #[test]
    fn it_tells_what_helps() {
        let december = help(36.0, (2027, 12, 20));
        assert_eq!((december.darkness, december.any_moon_min), (None, None));
        assert_eq!(december.easier_limits, None);
        assert!(december.next.is_some());
        let midsummer = help(50.0, (2027, 6, 5));
        let (darkness, minutes) = midsummer.darkness.expect("a lighter limit");
        assert_eq!(darkness, DarknessLimit::Down15);
        assert!(minutes > 5.0);
        let full_moon = help(36.0, (2027, 6, 18));
        assert!(full_moon.any_moon_min.expect("any Moon") > 180.0);
        let north = help(65.0, (2027, 6, 5));
        assert_eq!((north.next, north.easier_limits), (None, None));
    }
}
