//! The words of the season: what each night's light is worth, and why there is none.

use chrono::{Datelike, NaiveDate};

use crate::decimal::fixed;
use crate::outing::night::NoWindowReason;
use crate::outing::night::season::NightSummary;
use crate::outing::plan::Outing;
use crate::ui::state::derived::season::{Month, Season};
use crate::ui::text::night::{length, month, night_short};
use crate::ui::text::units::GAP;
use crate::ui::text::windows::{without, without_short, worth};

/// What the light of a night is worth, of the best night's to come: `87 %`, never more than it is.
pub fn share_of_best(equivalent_h: f64, best_h: f64) -> String {
    let share = if best_h > 0.0 {
        equivalent_h / best_h
    } else {
        0.0
    };
    format!("{}{GAP}%", fixed((share * 100.0 + 1e-9).floor(), 0))
}

/// What the percentages of the best nights are, and that of the night chosen:
/// `Light against the best night: 64 % on 9–10 Jul`.
pub fn against_chosen((season, best_h): (&Season, f64), chosen: NaiveDate) -> String {
    let hours = season.night(chosen).map_or(0.0, |night| night.equivalent_h);
    format!(
        "Light against the best night: {} on {}",
        share_of_best(hours, best_h),
        night_short(chosen)
    )
}

/// One of the best nights, for a screen reader.
pub fn best_night(night: &NightSummary) -> String {
    format!("{}: {}", night_short(night.date), brief(night))
}

/// The picture of twelve months, for a screen reader.
pub fn year(season: &Season, chosen: NaiveDate) -> String {
    let usable: usize = season.months.iter().map(|month| month.usable).sum();
    let of_chosen = season.night(chosen).map(best_night).unwrap_or_default();
    let first = season.months.first().map(|month| month.first);
    let from = first.map(|first| format!("{} {}", month(first), first.year()));
    let from = from.unwrap_or_default();
    format!("A year from {from}: {usable} usable nights; {of_chosen}")
}

/// Why a month has no usable night, on its line.
pub fn bare_month(season: &Season, month: &Month) -> String {
    let why = month.best.no_window_reason.or(season.usual_reason);
    match why {
        Some(NoWindowReason::CoreByDay) => "up only in daylight".to_owned(),
        Some(why) => without_short(why).to_owned(),
        None => String::new(),
    }
}

/// Why no night of the year has a window.
pub fn no_nights(outing: &Outing, season: &Season) -> String {
    let reason = season.usual_reason.map(|reason| without(reason, outing));
    format!("None within a year. {}", reason.unwrap_or_default())
}

/// Kept nights that no file has.
pub fn left_out(nights: usize) -> String {
    match nights {
        1 => "A kept night has no window and is not in the file.".to_owned(),
        _ => format!("{nights} kept nights have no window and are not in the file."),
    }
}

/// A night of the season in a line: minutes and why, or why not.
pub fn brief(night: &NightSummary) -> String {
    match (night.best, night.no_window_reason) {
        (Some(_), _) => format!("{}, {}", length(night.minutes), worth(night.equivalent_h)),
        (None, Some(why)) => without_short(why).to_owned(),
        (None, None) => String::new(),
    }
}
