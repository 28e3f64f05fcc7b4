//! The night as a band: time runs down the page, dusk at the top.
//!
//! The height of core and Moon runs to the right. Hatching stands for light in
//! the sky, the closer the lighter; a solid bar beside the hours is the shot
//! window. Nothing depends on hue.

use yew::prelude::*;

use crate::decimal::fixed;
use crate::land::ridge::RidgeLine;
use crate::outing::night::local_time::Rounding;
use crate::outing::plan::Outing;
use crate::sky::spans::Span;
use crate::ui::screens::night::timeline_slider::timeline_slider;
use crate::ui::state::derived::night_band::NightBand;
use crate::ui::state::derived::selected_night::{SelectedNight, days_of};
use crate::ui::text::night as words;
use crate::ui::text::windows;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::element::{Changing, el_with, nothing, text};
use crate::ui::widgets::svg_path::SvgPath;

/// Size of the drawing, in its own units, which are about a pixel each.
const SIZE: (f64, f64) = (330.0, 430.0);

/// Room for the heights' numbers above, and below.
const TOP: f64 = 26.0;
const BOTTOM: f64 = 10.0;

/// Where the bar of the shot window stands, and where the heights begin and end.
const BAR: (f64, f64) = (58.0, 14.0);
const HEIGHTS: (f64, f64) = (80.0, 320.0);

/// Where the words on the right end, and the room they take.
const WORDS: f64 = 318.0;
const WORDS_WIDE: f64 = 120.0;

/// Labels nearer than this run into one another.
const APART: f64 = 19.0;

/// Space between the lines of daylight, and of the three twilights.
const HATCH: [f64; 4] = [3.5, 7.0, 13.0, 24.0];

/// Maps moments and heights to places of the drawing.
struct Scale {
    span: Span,
    most_deg: f64,
}

impl Scale {
    fn y(&self, at: f64) -> f64 {
        let share = (at - self.span.start) / (self.span.end - self.span.start);
        TOP + share * (SIZE.1 - TOP - BOTTOM)
    }

    fn x(&self, height_deg: f64) -> f64 {
        HEIGHTS.0 + height_deg / self.most_deg * (HEIGHTS.1 - HEIGHTS.0)
    }

    fn inside(&self, at: f64) -> bool {
        self.span.contains(at)
    }
}

/// The band with its cursor.
pub fn band(
    selected: &SelectedNight,
    curves: &NightBand,
    outing: &Outing,
    dispatch: &Dispatch,
) -> Html {
    let NightBand {
        span,
        core,
        moon,
        ridge,
        ..
    } = curves;
    let span = *span;
    let flat: Vec<(f64, f64)> = core.iter().map(|(at, _)| (*at, 0.0)).collect();
    let heights = core.iter().chain(ridge).map(|(_, height)| *height);
    let highest = heights.fold(25.0, f64::max);
    let scale = Scale {
        span,
        most_deg: (highest / 10.0).ceil() * 10.0,
    };
    let mut drawn = vec![line("hatch", hatching(curves, &scale))];
    drawn.extend(numbers(&scale));
    if outing.site.ridge != RidgeLine::default() {
        drawn.push(line("ridge", rising(ridge, &scale, &flat)));
    }
    drawn.push(line("moon", rising(moon, &scale, &flat)));
    drawn.push(line("core low", rising(core, &scale, &flat)));
    drawn.push(line("core", rising(core, &scale, ridge)));
    let events = events(selected, &scale);
    drawn.push(name("core", core, &scale, ridge, &events));
    drawn.push(name("Moon", moon, &scale, &flat, &events));
    for window in &selected.night.evening.usable.windows {
        let (from, to) = (window.span.start, window.span.end);
        let place = vec![
            ("x", fixed(BAR.0, 0)),
            ("y", fixed(scale.y(from), 1)),
            ("width", fixed(BAR.1, 0)),
            ("height", fixed((scale.y(to) - scale.y(from)).max(2.0), 1)),
        ];
        drawn.push(el_with("rect", &[("class", "open")], place, Vec::new()));
    }
    drawn.extend(labels(selected, curves, &scale));
    drawn.extend(
        events
            .into_iter()
            .map(|(y, word)| label(WORDS, y, word, "sun", "end")),
    );
    drawn.push(cursor(selected, &scale));
    timeline_slider(
        selected,
        span,
        (TOP / SIZE.1, 1.0 - BOTTOM / SIZE.1),
        SIZE,
        drawn,
        dispatch,
    )
}

fn line(class: &'static str, path: String) -> Html {
    let about = vec![("class", class.to_owned()), ("d", path)];
    el_with("path", &[], about, Vec::new())
}

/// The part of a curve above another, which has a point at each of its moments.
fn rising(curve: &[(f64, f64)], scale: &Scale, line: &[(f64, f64)]) -> String {
    let mut path = SvgPath::default();
    let mut last: Option<((f64, f64), f64)> = None;
    let mut drawing = false;
    let place = |(at, height): (f64, f64)| (scale.x(height.min(scale.most_deg)), scale.y(at));
    for (point, line) in curve.iter().zip(line) {
        let over = point.1 - line.1;
        let up = over >= 0.0;
        if let Some((last, was_over)) = last
            && up != (was_over >= 0.0)
        {
            let share = was_over / (was_over - over);
            let along = |from: f64, to: f64| from + share * (to - from);
            let edge = (along(last.0, point.0), along(last.1, point.1));
            if up {
                path.move_to(place(edge));
                drawing = true;
            } else {
                path.line_to(place(edge));
                drawing = false;
            }
        }
        if up {
            if drawing {
                path.line_to(place(*point));
            } else {
                path.move_to(place(*point));
                drawing = true;
            }
        }
        last = Some((*point, over));
    }
    path.finish()
}

/// Hatching by how high the Sun stands: the closer the lighter.
fn hatching(curves: &NightBand, scale: &Scale) -> String {
    // how many of the Sun's lines it is below: none by day, all in the dark
    let depth = |at: f64| {
        curves
            .sun_below
            .iter()
            .filter(|spans| spans.0.iter().any(|span| span.contains(at)))
            .count()
    };
    let mut path = SvgPath::default();
    let mut y = TOP;
    while y < SIZE.1 - BOTTOM {
        let share = (y - TOP) / (SIZE.1 - TOP - BOTTOM);
        let at = scale.span.start + share * (scale.span.end - scale.span.start);
        match HATCH.get(depth(at)) {
            Some(space) => {
                path.move_to((HEIGHTS.0, y)).line_to((HEIGHTS.1, y));
                y += space;
            }
            None => y += HATCH[0],
        }
    }
    path.finish()
}

/// Heights along the top.
fn numbers(scale: &Scale) -> Vec<Html> {
    let step = if scale.most_deg > 50.0 { 20.0 } else { 10.0 };
    let count = (scale.most_deg / step) as usize;
    (0..=count)
        .map(|place| {
            let height = step * place as f64;
            // the last one ends where the drawing does
            let anchor = if place == count { "end" } else { "middle" };
            let x = scale.x(height) + if place == count { 6.0 } else { 0.0 };
            label(x, TOP - 12.0, fixed(height, 0) + "°", "small", anchor)
        })
        .collect()
}

/// The name of a curve where it stands highest, clear of what is written on the
/// right.
fn name(
    word: &'static str,
    curve: &[(f64, f64)],
    scale: &Scale,
    line: &[(f64, f64)],
    events: &[(f64, String)],
) -> Html {
    let place = |(at, height): (f64, f64)| {
        let x = scale.x(height.min(scale.most_deg)) - 10.0;
        (x, scale.y(at).clamp(TOP + 18.0, SIZE.1 - BOTTOM - 8.0))
    };
    let free = |(point, line): &(&(f64, f64), &(f64, f64))| {
        let (x, y) = place(**point);
        let clear = events.iter().all(|(other, _)| (other - y).abs() > APART);
        point.1 > line.1.max(3.0) && (clear || x < WORDS - WORDS_WIDE)
    };
    let free = curve.iter().zip(line).filter(free);
    let top = free.max_by(|(a, _), (b, _)| a.1.total_cmp(&b.1));
    let Some((x, y)) = top.map(|(point, _)| place(*point)) else {
        return nothing();
    };
    label(x, y, word.to_owned(), "name", "end")
}

/// Sunset, dark, light and sunrise, and the Moon's rising and setting: where
/// they are written, those that would run into another left out.
fn events(selected: &SelectedNight, scale: &Scale) -> Vec<(f64, String)> {
    const SUN: [[&str; 2]; 4] = [["sunrise", "sunset"], ["", ""], ["", ""], ["light", "dark"]];
    const MOON: [&str; 2] = ["moonrise", "moonset"];
    let evening = &selected.night.evening;
    let sun = evening.sun.iter().zip(SUN);
    let mut written: Vec<(f64, String)> = Vec::new();
    for (course, names) in sun.chain([(&evening.moon, MOON)]) {
        for crossing in &course.crossings {
            let (y, word) = (scale.y(crossing.at), names[usize::from(!crossing.up)]);
            let free = written.iter().all(|(other, _)| (other - y).abs() > APART);
            if !word.is_empty() && scale.inside(crossing.at) && free {
                // all are of Sun and Moon
                let rounding = Rounding::of_crossing(true, crossing.up);
                let time = words::time(selected.event(crossing.at, rounding));
                written.push((y, format!("{word} {time}")));
            }
        }
    }
    written
}

/// Hours and the ends of the windows down the left side.
fn labels(selected: &SelectedNight, curves: &NightBand, scale: &Scale) -> Vec<Html> {
    let mut drawn = Vec::new();
    let mut taken: Vec<f64> = vec![scale.y(days_of(selected.minute))];
    let mut put = |at: f64, word: String, class: &'static str, taken: &mut Vec<f64>| {
        let y = scale.y(at);
        if scale.inside(at) && taken.iter().all(|other| (other - y).abs() > APART) {
            taken.push(y);
            drawn.push(label(4.0, y, word, class, "start"));
        }
    };
    for window in &selected.night.evening.usable.windows {
        let (start, end) = windows::ends(selected, window);
        put(window.span.start, start, "edge", &mut taken);
        put(window.span.end, end, "edge", &mut taken);
    }
    for hour in &curves.hours {
        let word = words::time(selected.local(*hour));
        put(*hour, word, "hour", &mut taken);
    }
    drawn
}

fn label(x: f64, y: f64, word: String, class: &'static str, anchor: &'static str) -> Html {
    let about: Vec<Changing> = vec![
        ("class", class.to_owned()),
        ("x", fixed(x, 0)),
        ("y", fixed(y, 1)),
        ("text-anchor", anchor.to_owned()),
    ];
    el_with(
        "text",
        &[("dominant-baseline", "central")],
        about,
        vec![text(word)],
    )
}

/// The cursor: a line across, and the minute it stands at.
fn cursor(selected: &SelectedNight, scale: &Scale) -> Html {
    let at = days_of(selected.minute);
    if !scale.inside(at) {
        return nothing();
    }
    let y = scale.y(at);
    let mut path = SvgPath::default();
    path.move_to((0.0, y)).line_to((SIZE.0, y));
    let place = vec![("x", fixed(0.0, 0)), ("y", fixed(y - 13.0, 1))];
    let plate = &[
        ("class", "plate"),
        ("width", "58"),
        ("height", "26"),
        ("rx", "4"),
    ];
    let word = words::time(selected.local(at));
    let parts = vec![
        line("across", path.finish()),
        el_with("rect", plate, place, Vec::new()),
        label(3.0, y, word, "at", "start"),
    ];
    el_with("g", &[("class", "cursor")], Vec::new(), parts)
}
