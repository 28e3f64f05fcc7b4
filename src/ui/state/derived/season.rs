//! A year of nights by months, with what stands out in it.

use chrono::{Datelike, NaiveDate};

use crate::outing::night::NoWindowReason;
use crate::outing::night::season::{self, NightSummary};
use crate::outing::plan::limits::Limits;
use crate::outing::plan::site::Site;
use crate::sky::subject::Subject;

/// Best nights listed.
const LISTED: usize = 8;

/// Minutes from which on a night counts as usable.
const USABLE_MIN: f64 = 1.0;

/// A year of nights.
#[derive(Debug, Clone, PartialEq)]
pub struct Season {
    /// The months in order. The first and the last may be parts of the same month of two years.
    pub months: Vec<Month>,
    /// What the light of the year's best night is worth, hours; above zero.
    pub greatest_h: f64,
    /// The best nights, the best first.
    pub best: Vec<NightSummary>,
    /// Why most nights without a window have none; `None` where every night has one.
    pub usual_reason: Option<NoWindowReason>,
}

/// The nights of a month.
#[derive(Debug, Clone, PartialEq)]
pub struct Month {
    /// Each night, in order; at least one.
    pub nights: Vec<NightSummary>,
    /// The date of the first, which identifies the month.
    pub first: NaiveDate,
    /// The night whose light is worth most.
    pub best: NightSummary,
    /// How many nights are usable.
    pub usable: usize,
}

impl Season {
    /// The year of nights from a date on.
    pub fn new(site: &Site, subject: Subject, limits: &Limits, from: NaiveDate) -> Self {
        Self::from_nights(&season::Season::new(site, subject, limits, from))
    }

    fn from_nights(season: &season::Season) -> Self {
        let same_month = |one: &NightSummary, next: &NightSummary| {
            (one.date.year(), one.date.month()) == (next.date.year(), next.date.month())
        };
        let worth_h = season.nights.iter().map(|night| night.equivalent_h);
        Self {
            months: season
                .nights
                .chunk_by(same_month)
                .filter_map(Month::new)
                .collect(),
            greatest_h: worth_h.fold(f64::MIN_POSITIVE, f64::max),
            best: season.best(LISTED),
            usual_reason: season.usual_reason(),
        }
    }
}

impl Month {
    fn new(nights: &[NightSummary]) -> Option<Self> {
        let best = nights
            .iter()
            .max_by(|one, two| one.equivalent_h.total_cmp(&two.equivalent_h))?;
        let usable = nights.iter().filter(|night| night.minutes >= USABLE_MIN);
        Some(Self {
            first: nights.first()?.date,
            best: *best,
            usable: usable.count(),
            nights: nights.to_vec(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn night(date: NaiveDate, minutes: f64) -> NightSummary {
        NightSummary {
            date,
            minutes,
            equivalent_h: minutes / 120.0,
            best: None,
            moon_up: false,
            no_window_reason: (minutes == 0.0).then_some(NoWindowReason::Moon),
        }
    }

    #[test]
    fn months_are_split_where_the_calendar_splits_them() {
        let from = NaiveDate::from_ymd_opt(2027, 1, 30).expect("a date");
        let minutes = [0.5, 240.0, 60.0, 90.0, 0.0];
        let nights = from.iter_days().zip(minutes);
        let season = Season::from_nights(&season::Season {
            nights: nights.map(|(date, minutes)| night(date, minutes)).collect(),
        });
        let months = season.months.iter();
        let summary = months.map(|month| {
            let (first, best) = (month.first.day(), month.best.date.day());
            (month.nights.len(), first, best, month.usable)
        });
        assert_eq!(summary.collect::<Vec<_>>(), [(2, 30, 31, 1), (3, 1, 2, 2)]);
        assert!((season.greatest_h - 2.0).abs() < 1e-12);
        let best: Vec<_> = season.best.iter().map(|night| night.date.day()).collect();
        assert_eq!(best, [31, 2, 1, 30]);
        assert_eq!(season.usual_reason, Some(NoWindowReason::Moon));
    }

    #[test]
    fn a_season_without_nights_has_no_months() {
        let season = Season::from_nights(&season::Season { nights: Vec::new() });
        assert!(season.months.is_empty() && season.best.is_empty());
        assert!(season.greatest_h > 0.0, "{}", season.greatest_h);
    }
}
