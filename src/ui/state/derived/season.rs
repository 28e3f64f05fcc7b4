//! Twelve months of nights, with what stands out in them, and the best nights to come.

use chrono::{Datelike, NaiveDate};

use crate::outing::night::NoWindowReason;
use crate::outing::night::season::{self, NightSummary};
use crate::outing::plan::limits::Limits;
use crate::outing::plan::site::Site;
use crate::sky::subject::Subject;

/// Best nights listed.
const LISTED: usize = 3;

/// Minutes from which on a night counts as usable.
const USABLE_MIN: f64 = 1.0;

/// Twelve months of nights.
#[derive(Debug, Clone, PartialEq)]
pub struct Season {
    /// The months in order, each with all its nights.
    pub months: Vec<Month>,
    /// What the light of the year's best night is worth, hours; above zero.
    pub greatest_h: f64,
    /// Most usable minutes of a night with any Moon; above zero.
    pub greatest_min: f64,
    /// Why most nights without a window have none; `None` where every night has one.
    pub usual_reason: Option<NoWindowReason>,
}

/// The nights of a month.
#[derive(Debug, Clone, PartialEq)]
pub struct Month {
    /// Each night, from the first of the month on.
    pub nights: Vec<NightSummary>,
    /// The first of the month, which identifies it.
    pub first: NaiveDate,
    /// The night whose light is worth most.
    pub best: NightSummary,
    /// How many nights are usable.
    pub usable: usize,
}

/// How far the cell of a night is filled, shares from 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayFill {
    /// Its equivalent hours, of the year's best night's.
    pub light: f64,
    /// Its usable minutes within the limits, of the most that a night has with any Moon.
    pub limited: f64,
    /// Its usable minutes with any Moon, of the same; never less.
    pub any_moon: f64,
}

impl Season {
    /// Twelve months from the first of a month on.
    pub fn new(site: &Site, subject: Subject, limits: &Limits, first: NaiveDate) -> Self {
        let season = season::Season::of_twelve_months((site, subject), limits, first);
        Self::from_nights(&season)
    }

    fn from_nights(season: &season::Season) -> Self {
        let same_month =
            |one: &NightSummary, next: &NightSummary| one.date.month() == next.date.month();
        let most = |value: fn(&NightSummary) -> f64| {
            let values = season.nights.iter().map(value);
            values.fold(f64::MIN_POSITIVE, f64::max)
        };
        Self {
            months: season
                .nights
                .chunk_by(same_month)
                .filter_map(Month::new)
                .collect(),
            greatest_h: most(|night| night.equivalent_h),
            greatest_min: most(|night| night.any_moon_minutes),
            usual_reason: season.usual_reason(),
        }
    }

    /// A night of the twelve months.
    pub fn night(&self, date: NaiveDate) -> Option<&NightSummary> {
        let mut months = self.months.iter();
        let month = months.find(|month| month.first == first_of_month(date))?;
        month.nights.get(date.day0() as usize)
    }

    /// How far the cell of one of its nights is filled.
    pub fn fill(&self, night: &NightSummary) -> DayFill {
        DayFill {
            light: night.equivalent_h / self.greatest_h,
            limited: night.minutes / self.greatest_min,
            any_moon: night.any_moon_minutes / self.greatest_min,
        }
    }
}

/// The first of the twelve months that are drawn: tonight's month, or as many whole years from it
/// as it takes to have the night chosen among them.
pub(super) fn first_month(tonight: NaiveDate, chosen: NaiveDate) -> NaiveDate {
    let first = first_of_month(tonight);
    let chosen = first_of_month(chosen);
    let years = chosen.year() - first.year() - i32::from(chosen.month() < first.month());
    first.with_year(first.year() + years).unwrap_or(first)
}

fn first_of_month(date: NaiveDate) -> NaiveDate {
    date.with_day(1).unwrap_or(date)
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

/// The best nights within a year from tonight on, at most one of each Moon, the best first. Nights
/// that `known` has are not computed again.
pub(super) fn best_coming(
    (site, subject): (&Site, Subject),
    limits: &Limits,
    tonight: NaiveDate,
    known: &Season,
) -> Vec<NightSummary> {
    let nights = known.months.iter().flat_map(|month| &month.nights);
    let known = season::Season {
        nights: nights.copied().collect(),
    };
    season::Season::coming((site, subject), limits, tonight, &known).best_by_lunation(LISTED)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::browser::theme::Theme;
    use crate::outing::document::Document;
    use crate::ui::state::State;
    use crate::ui::state::derived::Derived;
    use crate::ui::state::document::lists::ListsEdit;
    use crate::ui::state::document::night::NightEdit;
    use std::rc::Rc;

    fn date(year: i32, month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, month, day).expect("a date")
    }

    /// Twelve whole months, whatever night is chosen; the best night fills its cell, and no cell
    /// overflows.
    #[test]
    fn a_year_has_twelve_whole_months() {
        let season = Season::new(
            &Site::default(),
            Subject::Core,
            &Limits::default(),
            date(2028, 1, 1),
        );
        let lengths = season.months.iter().map(|month| month.nights.len());
        let want = [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
        assert_eq!(lengths.collect::<Vec<_>>(), want);
        let mut fullest: f64 = 0.0;
        for (place, month) in (1..).zip(&season.months) {
            assert_eq!(month.first, date(2028, place, 1));
            for night in &month.nights {
                let fill = season.fill(night);
                assert!((0.0..=1.0).contains(&fill.light), "{fill:?}");
                assert!(fill.limited <= fill.any_moon + 1e-9 && fill.any_moon <= 1.0);
                assert_eq!(season.night(night.date), Some(night));
                fullest = fullest.max(fill.light);
            }
        }
        assert!((fullest - 1.0).abs() < 1e-12);
        assert_eq!(season.night(date(2027, 5, 5)), None);
        // the core is up by day only about the December solstice
        assert_eq!(season.months[11].usable, 0);
        assert_eq!(
            season.months[11].best.no_window_reason,
            Some(NoWindowReason::CoreByDay)
        );
    }

    #[test]
    fn the_best_nights_are_to_come_and_beat_the_chosen_one() {
        let (site, limits) = (Site::default(), Limits::default());
        let season = Season::new(&site, Subject::Core, &limits, date(2027, 9, 1));
        let tonight = date(2027, 9, 20);
        let best = best_coming((&site, Subject::Core), &limits, tonight, &season);
        assert_eq!(best.len(), 3);
        for night in &best {
            let ahead = (night.date - tonight).num_days();
            assert!((0..365).contains(&ahead), "{}", night.date);
            let chosen = season.night(tonight).expect("a night of the year");
            assert!(night.equivalent_h > chosen.equivalent_h, "{}", night.date);
        }
    }

    #[test]
    fn a_site_without_windows_has_empty_cells() {
        let north = Site {
            latitude: crate::angle::Angle::from_degrees(70.0),
            ..Site::default()
        };
        let season = Season::new(&north, Subject::Core, &Limits::default(), date(2027, 1, 1));
        assert_eq!(season.usual_reason, Some(NoWindowReason::NeverRises));
        for month in &season.months {
            assert_eq!(season.fill(&month.best).light, 0.0);
        }
        let best = best_coming(
            (&north, Subject::Core),
            &Limits::default(),
            date(2027, 6, 1),
            &season,
        );
        assert!(best.is_empty());
    }

    /// The months begin with tonight's, and whole years from it where the night chosen is another's.
    #[test]
    fn the_months_begin_with_tonights() {
        let tonight = date(2026, 11, 27);
        for (chosen, want) in [
            (tonight, date(2026, 11, 1)),
            (date(2026, 11, 1), date(2026, 11, 1)),
            (date(2027, 7, 5), date(2026, 11, 1)),
            (date(2027, 10, 31), date(2026, 11, 1)),
            (date(2027, 11, 1), date(2027, 11, 1)),
            (date(2026, 10, 31), date(2025, 11, 1)),
            (date(2030, 1, 31), date(2029, 11, 1)),
        ] {
            assert_eq!(first_month(tonight, chosen), want, "{chosen}");
        }
        // a leap day may be tonight
        let leap = first_month(date(2028, 2, 29), date(2029, 2, 3));
        assert_eq!(leap, date(2029, 2, 1));
    }

    /// The months have the night looked at, the best nights are those from tonight on; neither is
    /// computed again while only night or minute change within them.
    #[test]
    fn year_and_best_nights_follow_what_they_depend_on() {
        // noon of 20 September 2027, UTC
        let now = chrono::DateTime::from_timestamp(1_821_441_600, 0).expect("a time");
        let mut state = State::new(Document::default(), Theme::Dusk, now, 1);
        let derived = Derived::default();
        let (season, best) = (derived.season(&state), derived.best_nights(&state));
        assert_eq!(season.months[0].first, date(2027, 9, 1));
        assert!(best.iter().all(|night| night.date >= date(2027, 9, 20)));
        state.reduce(NightEdit::Minute(date(2028, 4, 2), 700).into());
        assert!(Rc::ptr_eq(&season, &derived.season(&state)));
        state.reduce(NightEdit::Date(date(2029, 4, 2)).into());
        assert_eq!(derived.season(&state).months[0].first, date(2028, 9, 1));
        assert!(Rc::ptr_eq(&best, &derived.best_nights(&state)));
        // in December there is none, and in the new year the next
        state.reduce(NightEdit::Date(date(2027, 12, 20)).into());
        let help = derived.no_window_help(&state).expect("no window");
        let next = help.next.expect("another night").date;
        assert!(
            (date(2028, 1, 1)..date(2028, 4, 1)).contains(&next),
            "{next}"
        );
        state.reduce(ListsEdit::KeepNight(next).into());
        let kept = derived.kept_nights(&state);
        assert!(kept.len() == 1 && kept[0].minutes > 0.0);
        state.reduce(NightEdit::Date(next).into());
        assert_eq!(derived.no_window_help(&state), None);
    }
}
