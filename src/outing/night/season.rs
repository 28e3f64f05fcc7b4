//! A season: every night of a year, and the best ones.

use chrono::{Days, Months, NaiveDate};

use crate::outing::night::site_sky::SiteSky;
use crate::outing::night::{NoWindowReason, Window, best_of};
use crate::outing::plan::limits::{Limits, MoonLimit};
use crate::outing::plan::site::Site;
use crate::sky::night::Night;
use crate::sky::spans::Spans;
use crate::sky::subject::Subject;

/// Nights in a season.
pub const NIGHTS: u32 = 365;

/// Equivalent hours within which two nights count as equal, the page's rounding; the earlier comes
/// first.
const ALIKE_H: f64 = 0.01;

/// The middle of a night, days since its noon.
const MIDDLE: f64 = 0.5;

/// Step over which the Moon is seen to wax or wane, days.
const PHASE_STEP: f64 = 1.0 / 24.0;

/// The Moon's phase.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoonPhase {
    /// Illuminated fraction of its disc, 0 to 1, geocentric.
    pub lit: f64,
    /// Whether it grows.
    pub waxing: bool,
}

/// Summary of a night.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NightSummary {
    /// The date of its noon.
    pub date: NaiveDate,
    /// Usable minutes.
    pub minutes: f64,
    /// Usable minutes with any Moon; never fewer.
    pub any_moon_minutes: f64,
    /// The Moon in the middle of the night.
    pub phase: MoonPhase,
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
        Self {
            nights: nights((site, subject), limits, (from, NIGHTS)),
        }
    }

    /// The nights of a calendar year, 365 or 366.
    pub fn of_year(site: &Site, subject: Subject, limits: &Limits, year: i32) -> Self {
        let first = NaiveDate::from_ymd_opt(year, 1, 1).unwrap_or_default();
        Self::of_twelve_months((site, subject), limits, first)
    }

    /// The nights of twelve whole months, 365 or 366, from the first of a month on.
    pub fn of_twelve_months(
        (site, subject): (&Site, Subject),
        limits: &Limits,
        first: NaiveDate,
    ) -> Self {
        let end = first.checked_add_months(Months::new(12));
        let count = end.map_or(NIGHTS, |end| (end - first).num_days() as u32);
        Self {
            nights: nights((site, subject), limits, (first, count)),
        }
    }

    /// The year of nights from a date on; those that `known` has are not computed again.
    pub fn coming(
        (site, subject): (&Site, Subject),
        limits: &Limits,
        from: NaiveDate,
        known: &Self,
    ) -> Self {
        let Some(end) = from.checked_add_days(Days::new(NIGHTS.into())) else {
            return Self::new(site, subject, limits, from);
        };
        let known = known.nights.iter();
        let known: Vec<_> = known
            .filter(|night| (from..end).contains(&night.date))
            .copied()
            .collect();
        let (Some(first), Some(last)) = (known.first(), known.last()) else {
            return Self::new(site, subject, limits, from);
        };
        let count = |days: chrono::TimeDelta| days.num_days() as u32;
        let mut all = nights((site, subject), limits, (from, count(first.date - from)));
        let after = last.date + Days::new(1);
        all.extend_from_slice(&known);
        all.extend(nights((site, subject), limits, (after, count(end - after))));
        Self { nights: all }
    }

    /// A night by its date.
    pub fn night(&self, date: NaiveDate) -> Option<&NightSummary> {
        self.nights.iter().find(|night| night.date == date)
    }

    /// The best night of each lunation, from one full Moon to the next.
    pub fn best_by_lunation(&self, count: usize) -> Vec<NightSummary> {
        let falls = |one: &NightSummary, next: &NightSummary| {
            // the full Moon itself belongs to the nights before it
            !one.phase.waxing || next.phase.waxing
        };
        let lunations = self.nights.chunk_by(falls);
        let best = lunations.filter_map(|nights| best_nights(nights, 1).first().copied());
        best_nights(&best.collect::<Vec<_>>(), count)
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
        best_nights(&self.nights, count)
    }
}

/// So many nights from a date, with one almanac; fewer where the calendar ends.
fn nights(
    (site, subject): (&Site, Subject),
    limits: &Limits,
    (from, count): (NaiveDate, u32),
) -> Vec<NightSummary> {
    if count == 0 {
        return Vec::new();
    }
    let site_sky = SiteSky::over(site, subject, from, count);
    let dates = (0..count).map_while(|day| from.checked_add_days(Days::new(day.into())));
    let nights = dates.map(|date| NightSummary::new(&site_sky, date, limits));
    nights.collect()
}

/// The best of some nights in order of date.
fn best_nights(nights: &[NightSummary], count: usize) -> Vec<NightSummary> {
    let rank = |night: &NightSummary| (night.equivalent_h / ALIKE_H).floor() as i64;
    let usable = nights.iter().filter(|night| night.minutes > 0.0);
    let mut left: Vec<_> = usable.collect();
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

impl MoonPhase {
    /// In the middle of a night.
    pub fn of_night(night: &Night<'_>) -> Self {
        let lit = |at: f64| {
            let moment = night.start().plus_days(at);
            night.almanac().illuminated_fraction(moment)
        };
        let now = lit(MIDDLE);
        Self {
            lit: now,
            waxing: lit(MIDDLE + PHASE_STEP) > now,
        }
    }
}

impl NightSummary {
    /// Of the night of a date, which the almanac must cover.
    pub fn new(site_sky: &SiteSky, date: NaiveDate, limits: &Limits) -> Self {
        let night = site_sky.night(date);
        let usable = site_sky.usable(&night, limits);
        // the Moon is computed only where there is a window
        let moon_up = !usable.windows.is_empty()
            && limits.moon != MoonLimit::None
            && usable.moon_in_windows(&Spans::new(&night.moon_course(), true));
        Self {
            date,
            minutes: usable.minutes(),
            any_moon_minutes: usable.any_moon_minutes(),
            phase: MoonPhase::of_night(&night),
            equivalent_h: usable.windows.iter().map(|one| one.equivalent_h).sum(),
            best: best_of(&usable.windows),
            moon_up,
            no_window_reason: usable.no_window_reason,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn date(year: i32, month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, month, day).expect("a date")
    }

    /// Moons of 2026 in almanacs (from memory): full on 3 January, new on 18 January, first quarter
    /// on 26 January; full on 28 August, in a partial eclipse.
    #[test]
    fn the_moon_is_that_of_almanacs() {
        let year = Season::of_year(&Site::default(), Subject::Core, &Limits::default(), 2026);
        let phase = |month, day| year.night(date(2026, month, day)).expect("a night").phase;
        assert!(phase(1, 3).lit > 0.98 && phase(8, 28).lit > 0.98);
        assert!(phase(1, 18).lit < 0.02, "{:?}", phase(1, 18));
        assert!((phase(1, 25).lit - 0.5).abs() < 0.1, "{:?}", phase(1, 25));
        assert!(phase(1, 25).waxing && !phase(1, 10).waxing);
    }

    /// A year has all its days, and each night is that of a season which begins with it.
    #[test]
    fn a_year_has_all_its_nights() {
        let (site, limits) = (Site::default(), Limits::default());
        for (number, nights) in [(2027, 365), (2028, 366), (2100, 365)] {
            let year = Season::of_year(&site, Subject::Core, &limits, number);
            assert_eq!(year.nights.len(), nights, "{number}");
            assert_eq!(year.nights[0].date, date(number, 1, 1));
            assert_eq!(year.nights[nights - 1].date, date(number, 12, 31));
            for night in &year.nights {
                assert!(night.any_moon_minutes >= night.minutes - 1e-9, "{night:?}");
                assert!((0.0..=1.0).contains(&night.phase.lit), "{night:?}");
            }
        }
        let year = Season::of_year(&site, Subject::Core, &limits, 2027);
        let from = date(2027, 5, 3);
        let coming = Season::coming((&site, Subject::Core), &limits, from, &year);
        let whole = Season::new(&site, Subject::Core, &limits, from);
        assert_eq!(coming.nights.len(), whole.nights.len());
        for (one, other) in coming.nights.iter().zip(&whole.nights) {
            assert_eq!(one.date, other.date);
            // almanacs that begin on other days differ by less than a second
            assert!((one.minutes - other.minutes).abs() < 0.05, "{one:?}");
        }
        let other = Season::of_year(&site, Subject::Core, &limits, 2030);
        assert_eq!(
            Season::coming((&site, Subject::Core), &limits, from, &other),
            whole
        );
        let next = Season::of_year(&site, Subject::Core, &limits, 2028);
        let dates = |season: &Season| season.nights.iter().map(|night| night.date).collect();
        let both: [Vec<_>; 2] = [
            &Season::coming((&site, Subject::Core), &limits, from, &next),
            &whole,
        ]
        .map(dates);
        assert_eq!(both[0], both[1]);
    }

    /// The best are of different Moons, and no night of a Moon is better than the one chosen.
    #[test]
    fn the_best_nights_are_of_different_moons() {
        let season = Season::new(
            &Site::default(),
            Subject::Core,
            &Limits::default(),
            date(2027, 1, 10),
        );
        let best = season.best_by_lunation(3);
        assert_eq!(best.len(), 3);
        for (place, night) in best.iter().enumerate() {
            for other in &best[..place] {
                let apart = (night.date - other.date).num_days().abs();
                assert!(apart > 14, "{} and {}", night.date, other.date);
                assert!(night.equivalent_h <= other.equivalent_h + ALIKE_H);
            }
            let near = season.nights.iter().filter(|near| {
                let days = (near.date - night.date).num_days().abs();
                days < 8
            });
            for near in near {
                assert!(near.equivalent_h < night.equivalent_h + ALIKE_H, "{near:?}");
            }
        }
        assert_eq!(season.best(1)[0], best[0], "the best of all is the first");
    }
}
