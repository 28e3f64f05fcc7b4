//! The subjects that a night has a shot window for.

use chrono::NaiveDate;

use crate::outing::night::site_sky::SiteSky;
use crate::outing::night::{Window, best_of};
use crate::outing::plan::limits::Limits;
use crate::outing::plan::site::Site;
use crate::sky::subject::Subject;

/// A subject and its shot windows in a night.
#[derive(Debug, Clone, PartialEq)]
pub struct SubjectUp {
    /// The subject.
    pub subject: Subject,
    /// Its windows in order; at least one.
    pub windows: Vec<Window>,
}

impl SubjectUp {
    /// Minutes of all windows together.
    pub fn minutes(&self) -> f64 {
        self.windows.iter().map(|one| one.minutes).sum()
    }

    /// The window with the most equivalent hours.
    pub fn best(&self) -> Option<Window> {
        best_of(&self.windows)
    }

    /// Whether a window is open `at` days into the night.
    pub fn is_open(&self, at: f64) -> bool {
        self.windows.iter().any(|window| window.span.contains(at))
    }
}

/// The subjects with a shot window in the night of a date, in the order of [`Subject::ALL`].
///
/// Windows are those of [`SiteSky::usable`] with the same limits for each subject; six almanacs of
/// a night cost some 2 ms.
pub fn subjects_up(site: &Site, limits: &Limits, date: NaiveDate) -> Vec<SubjectUp> {
    let windows = |subject| {
        let site_sky = SiteSky::over(site, subject, date, 1);
        let windows = site_sky.usable(&site_sky.night(date), limits).windows;
        (!windows.is_empty()).then_some(SubjectUp { subject, windows })
    };
    Subject::ALL.into_iter().filter_map(windows).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::angle::Angle;
    use crate::outing::night::{NoWindowReason, WindowBoundary};
    use crate::outing::plan::limits::{DarknessLimit, MoonLimit};
    use crate::sky::almanac::SkyBody;
    use crate::sky::night::Visibility;
    use crate::sky::spans::Span;

    fn site(latitude_deg: f64) -> Site {
        Site {
            latitude: Angle::from_degrees(latitude_deg),
            ..Site::default()
        }
    }

    fn date(year: i32, month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, month, day).expect("a date")
    }

    fn limits() -> Limits {
        Limits {
            moon: MoonLimit::Any,
            ..Limits::default()
        }
    }

    fn names(site: &Site, date: NaiveDate) -> Vec<Subject> {
        let up = subjects_up(site, &limits(), date);
        up.iter().map(|one| one.subject).collect()
    }

    /// Common knowledge: around Christmas in the north the core is up by day only and the winter
    /// band all night; from the south the two southern ones are up, the band of Cygnus is not.
    #[test]
    fn the_sky_of_the_season_is_offered() {
        let north = names(&site(46.5), date(2026, 12, 24));
        assert!(north.contains(&Subject::WinterBand), "{north:?}");
        for down in [
            Subject::Core,
            Subject::SouthernBand,
            Subject::MagellanicCloud,
        ] {
            assert!(!north.contains(&down), "{north:?}");
        }
        let south = names(&site(-42.0), date(2026, 12, 24));
        let wanted = [
            Subject::WinterBand,
            Subject::SouthernBand,
            Subject::MagellanicCloud,
        ];
        assert_eq!(south, wanted);
        // in June the winter band is beside the Sun
        let summer = names(&site(36.0), date(2027, 6, 4));
        let wanted = [Subject::Core, Subject::ScutumCloud, Subject::SummerBand];
        assert_eq!(summer, wanted);
    }

    #[test]
    fn the_windows_are_the_nights() {
        let (site, limits, date) = (site(36.0), Limits::default(), date(2027, 6, 4));
        let mut found = 0;
        for up in subjects_up(&site, &limits, date) {
            let site_sky = SiteSky::over(&site, up.subject, date, 1);
            let night = site_sky.night_windows(date, &limits);
            assert_eq!(up.windows, night.usable.windows);
            assert_eq!(up.best(), night.best());
            assert!((up.minutes() - night.usable.minutes()).abs() < 1e-9);
            assert!(up.is_open(night.best_at) && !up.is_open(0.0));
            found += 1;
        }
        assert_eq!(found, 3);
    }

    /// From 42° S the Large Cloud never sinks below its lower culmination, −90° + 42° + 69.8°: in a
    /// night with darkness the window is all of the dark, from twilight to twilight.
    #[test]
    fn a_subject_that_never_sets_is_up_all_the_dark() {
        let (site, date) = (site(-42.0), date(2027, 6, 4));
        let site_sky = SiteSky::over(&site, Subject::MagellanicCloud, date, 1);
        let night = site_sky.night_windows(date, &limits());
        assert_eq!(night.core.visibility(), Visibility::AlwaysAbove);
        let [window] = night.usable.windows[..] else {
            panic!("{:?}", night.usable);
        };
        assert_eq!(night.usable.core_up.0, [Span::NIGHT]);
        assert_eq!(Some(window.span), night.usable.dark.longest());
        let ends = (window.opens, window.closes);
        assert_eq!(ends, (WindowBoundary::Twilight, WindowBoundary::Twilight));
        let sky = site_sky.night(date);
        for (highest, want_deg) in [(true, 90.0 - 27.76), (false, 21.76)] {
            let turn = sky.extreme(SkyBody::Subject, highest).expect("a turn");
            // precession since 2000 moves it by a tenth of a degree
            let miss = turn.value.asin().to_degrees() - want_deg;
            assert!(miss.abs() < 0.2, "{miss}°");
        }
    }

    /// In the polar night the summer band never sets, and it is dark by 12° all day: the window
    /// has no end but the night's own.
    #[test]
    fn a_window_may_last_from_noon_to_noon() {
        let limits = Limits {
            darkness: DarknessLimit::Down12,
            ..limits()
        };
        let date = date(2026, 12, 21);
        let up = subjects_up(&site(82.0), &limits, date);
        let summer = up.iter().find(|up| up.subject == Subject::SummerBand);
        let summer = summer.expect("a window");
        assert_eq!(summer.windows[0].span, Span::NIGHT);
        assert_eq!(summer.windows[0].opens, WindowBoundary::Noon);
        assert!(summer.windows[0].equivalent_h > 0.0);
    }

    /// Every subject from pole to pole through a year: there is a window or a reason, subjects that
    /// never rise by 90° − |φ − δ| are said not to, those that never set are never said to be up by
    /// day only, and every value is a number.
    #[test]
    fn every_subject_has_a_window_or_the_right_reason() {
        let mut never = 0;
        for latitude_deg in [-90.0, -66.0, -42.0, -20.0, 0.0, 30.0, 52.8, 69.0, 90.0] {
            let site = site(latitude_deg);
            for subject in Subject::ALL {
                let site_sky = SiteSky::over(&site, subject, date(2027, 1, 3), 365);
                let away_deg = latitude_deg - subject.declination().degrees();
                let (highest_deg, lowest_deg) = (
                    90.0 - away_deg.abs(),
                    (latitude_deg + subject.declination().degrees()).abs() - 90.0,
                );
                for day in (0..360).step_by(45) {
                    let date = date(2027, 1, 3) + chrono::Days::new(day);
                    let night = site_sky.night_windows(date, &limits());
                    let reason = night.usable.no_window_reason;
                    let case = format!("{subject:?}, {latitude_deg}°, {date}: {reason:?}");
                    assert_eq!(reason.is_none(), night.best().is_some(), "{case}");
                    if highest_deg < -1.0 {
                        assert_eq!(reason, Some(NoWindowReason::NeverRises), "{case}");
                        never += 1;
                    }
                    if highest_deg > 0.2 {
                        assert_ne!(reason, Some(NoWindowReason::NeverRises), "{case}");
                    }
                    // the pole it never sets at is its own
                    if lowest_deg > 0.2 && highest_deg > 0.0 {
                        assert_ne!(reason, Some(NoWindowReason::CoreByDay), "{case}");
                    }
                    assert!((0.0..=1.0).contains(&night.best_at), "{case}");
                    let reading = site_sky.reading(date, night.best_at);
                    for place in [reading.core, reading.moon, reading.sun] {
                        let sum = place.altitude.0.degrees() + place.bearing.degrees();
                        assert!(sum.is_finite(), "{case}");
                    }
                    let worth: f64 = night.usable.windows.iter().map(|it| it.equivalent_h).sum();
                    assert!(worth.is_finite() && worth >= 0.0, "{case}");
                }
            }
        }
        assert!(never > 50, "{never}");
    }
}
