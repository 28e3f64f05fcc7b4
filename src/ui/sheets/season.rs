//! The season: a line for each month, a bar for each night.

use chrono::{Datelike, NaiveDate};
use yew::prelude::*;

use crate::decimal::fixed;
use crate::outing::night::season::NightSummary;
use crate::outing::plan::Outing;
use crate::ui::sheets::night::limits_fields::{darkness_and_height, moon_choice};
use crate::ui::state::derived::season::{Month, Season};
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::state::views::SeasonAction;
use crate::ui::text::night as words;
use crate::ui::text::windows;
use crate::ui::widgets::aria::aria_bool;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::svg_path::SvgPath;
use crate::ui::widgets::toggle_group::option;

/// Width of a night in a month's drawing, units.
const NIGHT_WIDTH: f64 = 9.0;

/// From the top of the drawing to the foot of the bars, units.
const FOOT: f64 = 34.0;

/// Height of the greatest bar, units.
const FULL_BAR: f64 = 30.0;

/// Height of the least bar, units.
const LEAST_BAR: f64 = 2.0;

/// Below the foot of the bars: room for the mark of the night looked at, units.
const MARGIN: f64 = 6.0;

/// Nights of the longest month.
const MOST_DAYS: f64 = 31.0;

const LEGEND: &str = "A bar a night, its height what its light is worth; a full one is the year's \
                      best. Tap a month for its nights.";

/// The sheet; `open` is the first night of the month unfolded.
pub fn season_sheet(
    outing: &Outing,
    selected: &SelectedNight,
    (season, best, open): (&Season, &[NightSummary], Option<NaiveDate>),
    dispatch: &Dispatch,
) -> Html {
    let month = |month: &Month| {
        let is_open = open == Some(month.first);
        let bars = month_bars(month, season.greatest_h, selected.night.date);
        html! {
            <>
                { month_button(month, bars, is_open, dispatch) }
                if is_open {
                    <div class="nights">
                        { for month.nights.iter().map(|night| month_night(night, dispatch)) }
                    </div>
                }
            </>
        }
    };
    let content = html! {
        <>
            <p>{ words::site(&outing.site) }</p>
            { moon_choice(&outing.limits, false, dispatch) }
            <div class="season">{ for season.months.iter().map(month) }</div>
            <p class="legend">{ LEGEND }</p>
            <p class="legend">{ windows::EQUIVALENT }</p>
            { darkness_and_height(&outing.limits, false, dispatch) }
            <h3>{ "Best coming nights" }</h3>
            if best.is_empty() {
                <p>{ no_nights(outing, season) }</p>
            }
            { for best.iter().map(|night| best_night(night, dispatch)) }
        </>
    };
    dialog("Season", vec![content], dispatch)
}

/// Why no night of the year has a window.
fn no_nights(outing: &Outing, season: &Season) -> String {
    let reason = season
        .usual_reason
        .map(|reason| windows::without(reason, outing));
    format!("None within a year. {}", reason.unwrap_or_default())
}

/// A night of the list of the best.
fn best_night(night: &NightSummary, dispatch: &Dispatch) -> Html {
    let moon = if night.moon_up {
        "Moon up for part of it"
    } else {
        "no Moon"
    };
    let line = format!(
        "{} usable, {}, {moon}",
        words::length(night.minutes),
        windows::worth(night.equivalent_h)
    );
    let onclick = on_click(dispatch, SeasonAction::Pick(night.date));
    option(&words::night(night.date), &line, false, onclick)
}

/// A night of the month unfolded.
fn month_night(night: &NightSummary, dispatch: &Dispatch) -> Html {
    let onclick = on_click(dispatch, SeasonAction::Pick(night.date));
    let (name, line) = (words::night_short(night.date), windows::brief(night));
    option(&name, &line, false, onclick)
}

/// A month: its name and its bars; a tap unfolds its nights.
fn month_button(month: &Month, bars: Html, is_open: bool, dispatch: &Dispatch) -> Html {
    let best = &month.best;
    let name = words::month(best.date);
    let reason = match best.no_window_reason {
        Some(reason) if month.usable == 0 => windows::without_short(reason),
        _ => "",
    };
    let label = if month.usable == 0 {
        format!("{name}: none, {reason}")
    } else {
        format!(
            "{name}: {} nights, best {} with {}",
            month.usable,
            words::night(best.date),
            words::length(best.minutes)
        )
    };
    let onclick = on_click(dispatch, SeasonAction::ToggleMonth(month.first));
    html! {
        <button
            type="button"
            class="month"
            aria-label={label}
            aria-expanded={aria_bool(is_open)}
            {onclick}
        >
            <span class="word">{ name }</span>
            { bars }
            <span class="why">{ reason }</span>
        </button>
    }
}

/// The bars of a month, where a night worth `greatest_h` hours has the greatest; the night
/// looked at is marked.
fn month_bars(month: &Month, greatest_h: f64, looked_at: NaiveDate) -> Html {
    let left = |date: NaiveDate| f64::from(date.day0()) * NIGHT_WIDTH;
    let (mut base, mut bars, mut marked) =
        (SvgPath::default(), SvgPath::default(), SvgPath::default());
    let start = left(month.first);
    base.move_to((start, FOOT))
        .line_to((start + month.nights.len() as f64 * NIGHT_WIDTH, FOOT));
    for night in &month.nights {
        let x = left(night.date);
        let height = (night.equivalent_h / greatest_h).min(1.0) * FULL_BAR;
        if height > 0.0 {
            let middle = x + NIGHT_WIDTH / 2.0;
            bars.move_to((middle, FOOT))
                .line_to((middle, FOOT - height.max(LEAST_BAR)));
        }
        if night.date == looked_at {
            marked.square((x, FOOT - 3.0), NIGHT_WIDTH);
        }
    }
    let width = fixed(MOST_DAYS * NIGHT_WIDTH, 0);
    let view_box = format!("0 0 {width} {}", fixed(FOOT + MARGIN, 0));
    html! {
        <svg class="bars" aria-hidden="true" preserveAspectRatio="none" viewBox={view_box}>
            <path class="base" d={base.finish()} />
            <path class="bars" d={bars.finish()} />
            <path class="marked" d={marked.finish()} />
        </svg>
    }
}
