//! A season: every night of a year, and the best ones.

use chrono::{Days, NaiveDate};

use crate::outing::night::site_sky::SiteSky;
use crate::outing::night::{NoWindowReason, Window, best_of};
use crate::outing::plan::limits::{Limits, MoonLimit};
use crate::outing::plan::site::Site;
use crate::sky::spans::Spans;
use crate::sky::subject::Subject;

/// Nights in a season.
pub const NIGHTS: u32 = 365;

/// Equivalent hours within which two nights count as equal, the page's rounding; the earlier comes
/// first.
const ALIKE_H: f64 = 0.01;

/// Summary of a night.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NightSummary {
    /// The date of its noon.
    pub date: NaiveDate,
    /// Usable minutes.
    pub minutes: f64,
    /// Equivalent hours.
    pub equivalent_h: f64,
    /// The window with the most equivalent hours.
    pub best: Option<Window>,
    /// Whether the Moon is up during some of the windows.
    pub moon_up: bool,
    /// Why there is no window.
    pub no_window_reason: Option<NoWindowReason>,
}

/// A year of nights.
#[derive(Debug, Clone, PartialEq)]
pub struct Season {
    /// Each night, in order.
    pub nights: Vec<NightSummary>,
}

impl Season {
    /// The year of nights from a date; fewer where the calendar ends.
    pub fn new(site: &Site, subject: Subject, limits: &Limits, from: NaiveDate) -> Self {
        let site_sky = SiteSky::over(site, subject, from, NIGHTS);
        let dates = (0..NIGHTS).map_while(|day| from.checked_add_days(Days::new(day.into())));
        let nights = dates.map(|date| NightSummary::new(&site_sky, date, limits));
        Self {
            nights: nights.collect(),
        }
    }

    /// The most frequent reason for no window; `None` where every night has one.
    pub fn usual_reason(&self) -> Option<NoWindowReason> {
        let reasons = self
            .nights
            .iter()
            .filter_map(|night| night.no_window_reason);
        let mut counts: Vec<(NoWindowReason, usize)> = Vec::new();
        for reason in reasons {
            match counts.iter_mut().find(|(known, _)| *known == reason) {
                Some((_, count)) => *count += 1,
                None => counts.push((reason, 1)),
            }
        }
        let most = counts.into_iter().max_by_key(|(_, count)| *count);
        most.map(|(reason, _)| reason)
    }

    /// The best nights: most equivalent hours first, the earlier of two equal ones.
    pub fn best(&self, count: usize) -> Vec<NightSummary> {
        let rank = |night: &NightSummary| (night.equivalent_h / ALIKE_H).floor() as i64;
        let mut left: Vec<_> = self
            .nights
            .iter()
            .filter(|night| night.minutes > 0.0)
            .collect();
        let mut best = Vec::with_capacity(count);
        while best.len() < count {
            // the first of equal ones is the earliest, since they are in order
            let better = |one: usize, two: usize| {
                if rank(left[two]) > rank(left[one]) {
                    two
                } else {
                    one
                }
            };
            let Some(place) = (0..left.len()).reduce(better) else {
                break;
            };
            best.push(*left.remove(place));
        }
        best
    }
}

impl NightSummary {
    fn new(site_sky: &SiteSky, date: NaiveDate, limits: &Limits) -> Self {
        let night = site_sky.night(date);
        let usable = site_sky.usable(&night, limits);
        // the Moon is computed only where there is a window
        let moon_up = !usable.windows.is_empty()
            && limits.moon != MoonLimit::None
            && usable.moon_in_windows(&Spans::new(&night.moon_course(), true));
        Self {
            date,
            minutes: usable.minutes(),
            equivalent_h: usable.windows.iter().map(|one| one.equivalent_h).sum(),
            best: best_of(&usable.windows),
            moon_up,
            no_window_reason: usable.no_window_reason,
        }
    }
}
