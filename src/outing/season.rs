//! A season: what every night of a year offers, and which are the best.

use chrono::{Days, NaiveDate};

use super::evening::{Evening, Watch, Window, Without};
use super::plan::Outing;

/// Nights in a season.
pub const NIGHTS: u32 = 365;

/// Minutes that tell one good night from another; within them the earlier comes
/// first.
const ALIKE_MIN: f64 = 10.0;

/// A night in brief.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Brief {
    /// The date of its noon.
    pub date: NaiveDate,
    /// Minutes usable.
    pub minutes: f64,
    /// The longest window.
    pub best: Option<Window>,
    /// Whether the Moon is up during some of them.
    pub moon_up: bool,
    /// Why there is none.
    pub without: Option<Without>,
}

/// A year of nights.
#[derive(Debug, Clone, PartialEq)]
pub struct Season {
    /// Each night, in order.
    pub nights: Vec<Brief>,
}

impl Season {
    /// The year of nights from a date on; fewer where the calendar ends.
    pub fn of(outing: &Outing, from: NaiveDate) -> Self {
        let watch = Watch::over(outing, from, NIGHTS);
        let dates = (0..NIGHTS).map_while(|day| from.checked_add_days(Days::new(day.into())));
        let nights = dates.map(|date| Brief::of(&watch.evening(date, outing.moon)));
        Self {
            nights: nights.collect(),
        }
    }

    /// The best nights: most minutes first, by tens, the sooner of two alike.
    pub fn best(&self, count: usize) -> Vec<Brief> {
        let tens = |night: &Brief| (night.minutes / ALIKE_MIN).floor() as i64;
        let mut left: Vec<_> = self
            .nights
            .iter()
            .filter(|night| night.minutes > 0.0)
            .collect();
        let mut best = Vec::with_capacity(count);
        while best.len() < count {
            // the first of those alike is the soonest, since they stand in order
            let better = |one: usize, two: usize| {
                if tens(left[two]) > tens(left[one]) {
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

impl Brief {
    fn of(evening: &Evening) -> Self {
        Self {
            date: evening.date,
            minutes: evening.minutes(),
            best: evening.best(),
            moon_up: evening.moon_in_windows(),
            without: evening.without,
        }
    }
}
