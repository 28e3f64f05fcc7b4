//! The season: a line for each month, a bar for each night.

use crate::ui::state::views::SeasonAction;
use chrono::{Datelike, NaiveDate};
use yew::prelude::*;

use crate::decimal::fixed;
use crate::outing::night::season::{NightSummary, Season};
use crate::outing::plan::Outing;
use crate::ui::sheets::night::limits_fields::{darkness_and_height, moon_choice};
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::text::night as words;
use crate::ui::text::windows;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::element::{aria_bool as said_yes, button, el, el_with, say};
use crate::ui::widgets::svg_path::SvgPath;

/// Best nights listed.
const LISTED: usize = 8;

/// A month's drawing: units a night across, and height.
const NIGHT_WIDE: f64 = 9.0;
const TALL: f64 = 34.0;

/// Nights of the longest month.
const MOST_DAYS: f64 = 31.0;

/// The sheet.
pub fn season_sheet(
    outing: &Outing,
    shown: &SelectedNight,
    (season, open): (&Season, Option<NaiveDate>),
    dispatch: &Dispatch,
) -> Html {
    let mut months: Vec<&[NightSummary]> = Vec::new();
    let mut rest = season.nights.as_slice();
    while let Some(first) = rest.first() {
        let same = |night: &&NightSummary| night.date.month() == first.date.month();
        let count = rest.iter().take_while(same).count();
        let (month, after) = rest.split_at(count);
        months.push(month);
        rest = after;
    }
    let worths = season.nights.iter().map(|night| night.equivalent_h);
    let full_h = worths.fold(f64::MIN_POSITIVE, f64::max);
    let mut rows = Vec::new();
    for nights in months {
        rows.push(month((nights, full_h), shown.night.date, open, dispatch));
        if nights.first().map(|night| night.date) == open {
            rows.push(unfolded(nights, dispatch));
        }
    }
    let best = season.best(LISTED);
    let mut parts = vec![
        say("p", &[], words::site(&outing.site)),
        moon_choice(&outing.limits, false, dispatch),
        el("div", &[("class", "season")], rows),
        say(
            "p",
            &[("class", "legend")],
            "A bar a night, its height what its light is worth; a full one is the year's best. \
             Tap a month for its nights.",
        ),
        say("p", &[("class", "legend")], windows::EQUIVALENT),
        darkness_and_height(&outing.limits, false, dispatch),
        say("h3", &[], "Best coming nights"),
    ];
    if best.is_empty() {
        let why = season
            .usual_reason()
            .map(|why| windows::without(why, &outing.limits));
        let why = why.unwrap_or_default();
        parts.push(say("p", &[], format!("None within a year. {why}")));
    }
    parts.extend(best.iter().map(|night| listed(night, dispatch)));
    dialog("Season", parts, dispatch)
}

/// A night of the list.
fn listed(night: &NightSummary, dispatch: &Dispatch) -> Html {
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
    crate::ui::widgets::toggle_group::option(
        &words::night(night.date),
        &line,
        false,
        on_click(dispatch, SeasonAction::Pick(night.date)),
    )
}

/// The nights of a month, each to be picked.
fn unfolded(nights: &[NightSummary], dispatch: &Dispatch) -> Html {
    let night = |night: &NightSummary| {
        let picked = on_click(dispatch, SeasonAction::Pick(night.date));
        crate::ui::widgets::toggle_group::option(
            &words::night_short(night.date),
            &windows::brief(night),
            false,
            picked,
        )
    };
    el(
        "div",
        &[("class", "nights")],
        nights.iter().map(night).collect(),
    )
}

/// A month: its name and its bars, the tallest of which is worth `full_h`; a tap unfolds its nights.
fn month(
    (nights, full_h): (&[NightSummary], f64),
    looked_at: NaiveDate,
    open: Option<NaiveDate>,
    dispatch: &Dispatch,
) -> Html {
    let best = nights
        .iter()
        .max_by(|a, b| a.equivalent_h.total_cmp(&b.equivalent_h));
    let Some(best) = best else {
        return crate::ui::widgets::element::nothing();
    };
    let name = words::month(best.date);
    let usable = nights.iter().filter(|night| night.minutes >= 1.0).count();
    let message = if usable == 0 {
        let why = best.no_window_reason.map_or("", windows::without_short);
        format!("{name}: none, {why}")
    } else {
        format!(
            "{name}: {usable} nights, best {} with {}",
            words::night(best.date),
            words::length(best.minutes)
        )
    };
    let mut path = SvgPath::default();
    let mut marked = SvgPath::default();
    for night in nights {
        let x = f64::from(night.date.day0()) * NIGHT_WIDE;
        let height = (night.equivalent_h / full_h).min(1.0) * (TALL - 4.0);
        if height > 0.0 {
            let middle = x + NIGHT_WIDE / 2.0;
            path.move_to((middle, TALL))
                .line_to((middle, TALL - height.max(2.0)));
        }
        if night.date == looked_at {
            marked.square((x, TALL - 3.0), NIGHT_WIDE);
        }
    }
    let about = vec![(
        "viewBox",
        format!(
            "0 0 {} {}",
            fixed(MOST_DAYS * NIGHT_WIDE, 0),
            fixed(TALL + 6.0, 0)
        ),
    )];
    let mut base = SvgPath::default();
    let start = nights.first().map_or(0, |night| night.date.day0());
    let start = f64::from(start) * NIGHT_WIDE;
    base.move_to((start, TALL))
        .line_to((start + nights.len() as f64 * NIGHT_WIDE, TALL));
    let line = |class: &'static [crate::ui::widgets::element::Fixed], path: SvgPath| {
        el_with("path", class, vec![("d", path.finish())], Vec::new())
    };
    let drawn = vec![
        line(&[("class", "base")], base),
        line(&[("class", "bars")], path),
        line(&[("class", "marked")], marked),
    ];
    let bars = el_with(
        "svg",
        &[
            ("class", "bars"),
            ("aria-hidden", "true"),
            ("preserveAspectRatio", "none"),
        ],
        about,
        drawn,
    );
    let why = match best.no_window_reason {
        Some(why) if usable == 0 => windows::without_short(why),
        _ => "",
    };
    let first = nights.first().map_or(best.date, |night| night.date);
    let is_open = said_yes(open == Some(first)).to_owned();
    button(
        &[("class", "month")],
        vec![("aria-label", message), ("aria-expanded", is_open)],
        on_click(dispatch, SeasonAction::ToggleMonth(first)),
        vec![
            say("span", &[("class", "word")], name),
            bars,
            say("span", &[("class", "why")], why),
        ],
    )
}
