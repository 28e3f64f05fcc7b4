//! The rules of thumb as bars of their trail: filled up to the sharpness asked for, hollow
//! beyond; what is hollow is smear.

use yew::prelude::*;

use crate::camera::rules::Rule;
use crate::decimal::fixed;
use crate::outing::exposure::Answer;
use crate::ui::layout::Size;
use crate::ui::text::exposure;
use crate::ui::text::units::{seconds, shutter};

/// Rules compared, in the order of the bars; the first two are the answer.
const RULES: [Rule; 4] = [
    Rule::PixelPitchFull,
    Rule::ThreeHundred,
    Rule::FourHundred,
    Rule::FiveHundred,
];

/// Height of the scale above the bars, px.
const SCALE_PX: f64 = 26.0;

/// Height of a bar, and what a tick hangs below it, px.
const BAR_PX: f64 = 7.0;
const TICK_PX: f64 = 6.0;

/// A bar.
struct Row {
    name: &'static str,
    time: String,
    seconds: f64,
}

fn rows(answer: &Answer) -> Vec<Row> {
    let mut rows = Vec::new();
    if let Some(setting) = answer.dial().shutter() {
        rows.push(Row {
            name: "dial",
            time: shutter(setting),
            seconds: setting.exact_s(),
        });
    }
    if let Some(longest_s) = answer.clean.seconds() {
        rows.push(Row {
            name: "limit",
            time: seconds(longest_s),
            seconds: longest_s,
        });
    }
    for rule in RULES {
        let row = answer.rules.iter().find(|row| row.rule == Some(rule));
        if let Some(time_s) = row.and_then(|row| row.seconds) {
            rows.push(Row {
                name: exposure::rule_short(rule),
                time: exposure::rule_time(time_s),
                seconds: time_s,
            });
        }
    }
    rows
}

/// Least height of a bar with its words, px.
const ROW_PX: f64 = 33.0;

/// Least height of the bars: all but that of the rule left out where there is no room, px.
pub const LEAST_PX: f64 = SCALE_PX + 5.0 * ROW_PX;

/// The bars in a picture of this size.
pub fn rule_bars(answer: &Answer, size: Size) -> Html {
    let Size { width, height } = size;
    let mut rows = rows(answer);
    // between its neighbours nothing is learnt from it
    if height < SCALE_PX + rows.len() as f64 * ROW_PX {
        rows.retain(|row| row.name != exposure::rule_short(Rule::FourHundred));
    }
    let most = rows.iter().map(|row| row.seconds).fold(0.0, f64::max);
    // a trail grows with the time: one scale for both
    let reach = |time_s: f64| time_s / most * (width - 2.0);
    let limit = answer.clean.seconds().map(reach);
    let step = (height - SCALE_PX) / rows.len().max(1) as f64;
    let bars = rows.iter().zip(0..);
    let bars = bars.map(|(row, place)| {
        let foot = SCALE_PX + step * f64::from(place) + step - TICK_PX - 1.0;
        bar(row, place == 0, (reach(row.seconds), limit), foot, width)
    });
    let label = rows.iter().map(|row| [row.name, " ", &row.time].concat());
    let label = "times compared: ".to_owned() + &label.collect::<Vec<_>>().join(", ");
    html! {
        <svg
            class="drawing bars"
            role="img"
            aria-label={label}
            viewBox={size.view_box(0)}
            width={fixed(width, 0)}
            height={fixed(height, 0)}
        >
            { limit.map_or_else(Html::default, |limit| scale(limit, answer.allowed_px, width)) }
            { for bars }
        </svg>
    }
}

/// The sharpness asked for.
fn scale(limit: f64, allowed_px: f64, width: f64) -> Html {
    let path = format!(
        "M1 3v{0}M{1} 3v{0}M1 9H{1}",
        fixed(12.0, 0),
        fixed(limit, 1)
    );
    let word = exposure::whole(allowed_px);
    let (x, anchor) = if limit + 50.0 < width {
        (limit + 8.0, "start")
    } else {
        (limit - 8.0, "end")
    };
    let y = if anchor == "start" { "15" } else { "26" };
    html! {
        <g>
            <path class="measure" d={path} />
            <text x={fixed(x, 1)} {y} text-anchor={anchor}>{ word }</text>
        </g>
    }
}

fn bar(row: &Row, first: bool, (reach, limit): (f64, Option<f64>), foot: f64, width: f64) -> Html {
    let number = |value: f64| fixed(value, 1);
    let top = foot - BAR_PX;
    let filled = limit.map_or(reach, |limit| reach.min(limit));
    let words = number(top - 7.0);
    let tick = limit.map(|limit| {
        let path = format!(
            "M{} {}V{}",
            number(limit),
            number(top - 1.0),
            number(foot + TICK_PX)
        );
        html! { <path class="measure" d={path} /> }
    });
    html! {
        <g class={first.then_some("first")}>
            <rect
                class="smear"
                x="1"
                y={number(top)}
                width={number(reach)}
                height={number(BAR_PX)}
                rx="1.5"
            />
            <rect
                class="trail"
                x="1"
                y={number(top)}
                width={number(filled)}
                height={number(BAR_PX)}
                rx="1.5"
            />
            { tick.unwrap_or_default() }
            <text x="0" y={words.clone()}>{ row.name }</text>
            <text class="time" x={number(width)} y={words} text-anchor="end">{ row.time.clone() }</text>
        </g>
    }
}
