//! The season: a line for each month, a bar for each night.

use chrono::{Datelike, NaiveDate};
use yew::prelude::*;

use super::element::{button, el, el_with, said as said_yes, say};
use super::limits_fields::{darkness_and_height, moon_choice};
use super::night_words as words;
use super::path::Path;
use super::sheet::sheet;
use super::shown::Shown;
use super::state::Action;
use super::tap::{Send, tap};
use super::window_words;
use crate::decimal::fixed;
use crate::outing::plan::Outing;
use crate::outing::season::{Brief, Season};

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
    shown: &Shown,
    (season, open): (&Season, Option<NaiveDate>),
    send: &Send,
) -> Html {
    let mut months: Vec<&[Brief]> = Vec::new();
    let mut rest = season.nights.as_slice();
    while let Some(first) = rest.first() {
        let same = |night: &&Brief| night.date.month() == first.date.month();
        let count = rest.iter().take_while(same).count();
        let (month, after) = rest.split_at(count);
        months.push(month);
        rest = after;
    }
    let worths = season.nights.iter().map(|night| night.equivalent_h);
    let full_h = worths.fold(f64::MIN_POSITIVE, f64::max);
    let mut rows = Vec::new();
    for nights in months {
        rows.push(month((nights, full_h), shown.date, open, send));
        if nights.first().map(|night| night.date) == open {
            rows.push(unfolded(nights, send));
        }
    }
    let best = season.best(LISTED);
    let mut parts = vec![
        say("p", &[], words::site(&outing.site)),
        moon_choice(&outing.limits, false, send),
        el("div", &[("class", "season")], rows),
        say(
            "p",
            &[("class", "legend")],
            "A bar a night, its height what its light is worth; a full one is the year's best. \
             Tap a month for its nights.",
        ),
        say("p", &[("class", "legend")], window_words::EQUIVALENT),
        darkness_and_height(&outing.limits, false, send),
        say("h3", &[], "Best coming nights"),
    ];
    if best.is_empty() {
        let why = season
            .usual_reason()
            .map(|why| window_words::without(why, &outing.limits));
        let why = why.unwrap_or_default();
        parts.push(say("p", &[], format!("None within a year. {why}")));
    }
    parts.extend(best.iter().map(|night| listed(night, send)));
    sheet("Season", parts, send)
}

/// A night of the list.
fn listed(night: &Brief, send: &Send) -> Html {
    let moon = if night.moon_up {
        "Moon up for part of it"
    } else {
        "no Moon"
    };
    let line = format!(
        "{} usable, {}, {moon}",
        words::length(night.minutes),
        window_words::worth(night.equivalent_h)
    );
    super::choice::option(
        &words::night(night.date),
        &line,
        false,
        tap(send, Action::NightPicked(night.date)),
    )
}

/// The nights of a month, each to be picked.
fn unfolded(nights: &[Brief], send: &Send) -> Html {
    let night = |night: &Brief| {
        let picked = tap(send, Action::NightPicked(night.date));
        super::choice::option(
            &words::night_short(night.date),
            &window_words::brief(night),
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
    (nights, full_h): (&[Brief], f64),
    looked_at: NaiveDate,
    open: Option<NaiveDate>,
    send: &Send,
) -> Html {
    let best = nights
        .iter()
        .max_by(|a, b| a.equivalent_h.total_cmp(&b.equivalent_h));
    let Some(best) = best else {
        return super::element::nothing();
    };
    let name = words::month(best.date);
    let usable = nights.iter().filter(|night| night.minutes >= 1.0).count();
    let said = if usable == 0 {
        let why = best.without.map_or("", window_words::without_short);
        format!("{name}: none, {why}")
    } else {
        format!(
            "{name}: {usable} nights, best {} with {}",
            words::night(best.date),
            words::length(best.minutes)
        )
    };
    let mut path = Path::default();
    let mut marked = Path::default();
    for night in nights {
        let x = f64::from(night.date.day0()) * NIGHT_WIDE;
        let height = (night.equivalent_h / full_h).min(1.0) * (TALL - 4.0);
        if height > 0.0 {
            let middle = x + NIGHT_WIDE / 2.0;
            path.from((middle, TALL))
                .to((middle, TALL - height.max(2.0)));
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
    let mut base = Path::default();
    let start = nights.first().map_or(0, |night| night.date.day0());
    let start = f64::from(start) * NIGHT_WIDE;
    base.from((start, TALL))
        .to((start + nights.len() as f64 * NIGHT_WIDE, TALL));
    let line = |class: &'static [super::element::Fixed], path: Path| {
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
    let why = match best.without {
        Some(why) if usable == 0 => window_words::without_short(why),
        _ => "",
    };
    let first = nights.first().map_or(best.date, |night| night.date);
    let is_open = said_yes(open == Some(first)).to_owned();
    button(
        &[("class", "month")],
        vec![("aria-label", said), ("aria-expanded", is_open)],
        tap(send, Action::MonthTapped(first)),
        vec![
            say("span", &[("class", "word")], name),
            bars,
            say("span", &[("class", "why")], why),
        ],
    )
}
