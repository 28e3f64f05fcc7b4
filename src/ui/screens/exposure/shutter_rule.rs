//! The shutter rule: a logarithmic scale of times with the whole frame, the place that must stay
//! sharp, its exact time and the 500 rule on it.

use yew::prelude::*;

use crate::camera::dial::Shutter;
use crate::camera::rules::Rule;
use crate::decimal::fixed;
use crate::outing::exposure::Answer;
use crate::outing::plan::{KeepSharp, Outing};
use crate::ui::text::exposure;
use crate::ui::text::units::seconds;

/// Height of the drawing, and of its line from the top, px.
const HEIGHT_PX: f64 = 104.0;
const LINE_PX: f64 = 62.0;

/// Margin at both ends, px.
const MARGIN_PX: f64 = 22.0;

/// Ends of the scale, stops from 1 s, where all times lie between: 1 and 32 s, the mark 30.
const STOPS: (f64, f64) = (0.0, 5.0);

/// Thirds in a stop.
const THIRDS: i32 = 3;

/// Words nearer than this would run into one another, px.
const APART_PX: f64 = 92.0;

fn stops(time_s: f64) -> f64 {
    time_s.ln() / std::f64::consts::LN_2
}

/// A time on the rule.
struct Mark {
    name: String,
    stops: f64,
    class: &'static str,
    /// Height of its word above the line, px.
    lift: f64,
}

/// The rule, so wide.
pub fn shutter_rule(outing: &Outing, answer: &Answer, width: f64) -> Html {
    let marks = marks(outing, answer);
    let (mut low, mut high) = STOPS;
    for mark in &marks {
        low = low.min(mark.stops.floor());
        high = high.max(mark.stops.ceil());
    }
    let place = |stops: f64| MARGIN_PX + (stops - low) / (high - low) * (width - 2.0 * MARGIN_PX);
    let mut last = f64::NEG_INFINITY;
    let mut lift = 0.0;
    let drawn: Vec<Html> = marks
        .iter()
        .map(|mark| {
            let x = place(mark.stops);
            // one of two neighbours stands higher
            lift = if x - last < APART_PX && lift == 0.0 {
                20.0
            } else {
                0.0
            };
            last = x;
            drawn_mark(mark, (x, lift + mark.lift), width)
        })
        .collect();
    let ticks = (low as i32 * THIRDS..=high as i32 * THIRDS).map(|third| {
        let stop = f64::from(third) / f64::from(THIRDS);
        tick(place(stop), third)
    });
    let exact = answer.clean.seconds().map_or(high, stops);
    let sharp = format!(
        "M{} {2}H{}",
        fixed(MARGIN_PX, 1),
        fixed(place(exact.clamp(low, high)), 1),
        fixed(LINE_PX, 0)
    );
    let line = format!(
        "M{} {2}H{}",
        fixed(MARGIN_PX, 1),
        fixed(width - MARGIN_PX, 1),
        fixed(LINE_PX, 0)
    );
    let label = marks.iter().map(|mark| mark.name.clone());
    let label = "shutter times: ".to_owned() + &label.collect::<Vec<_>>().join(", ");
    html! {
        <svg
            class="drawing shutter-rule"
            role="img"
            aria-label={label}
            viewBox={format!("0 0 {} {}", fixed(width, 0), fixed(HEIGHT_PX, 0))}
            width={fixed(width, 0)}
            height={fixed(HEIGHT_PX, 0)}
        >
            <path class="scale" d={line} />
            <path class="sharp" d={sharp} />
            { for ticks }
            <g>{ for drawn }</g>
        </svg>
    }
}

/// In the order of their times.
fn marks(outing: &Outing, answer: &Answer) -> Vec<Mark> {
    let mark = |name: String, time_s: Option<f64>, class| {
        time_s.map(|time_s| Mark {
            name,
            stops: stops(time_s),
            class,
            lift: 0.0,
        })
    };
    let kept = exposure::kept_sharp_short(outing.keep_sharp, outing.subject);
    let clean = answer.clean.seconds();
    let whole = match outing.keep_sharp {
        KeepSharp::WholeFrame => None,
        _ => answer.clean_frame.seconds(),
    };
    let rule = answer.rules.iter();
    let rule = rule.filter(|row| row.rule == Some(Rule::FiveHundred));
    let dial = answer.dial().shutter().map(Shutter::exact_s);
    let mut marks: Vec<Mark> = [
        mark("whole frame".to_owned(), whole, "mark"),
        mark(kept, dial, "mark chosen"),
        mark(clean.map(seconds).unwrap_or_default(), clean, "mark"),
        mark(
            "500 rule".to_owned(),
            rule.filter_map(|row| row.seconds).next(),
            "mark rule",
        ),
    ]
    .into_iter()
    .flatten()
    .collect();
    marks.sort_unstable_by(|one, other| one.stops.total_cmp(&other.stops));
    marks
}

fn drawn_mark(mark: &Mark, (x, lift): (f64, f64), width: f64) -> Html {
    let top = LINE_PX - 16.0 - lift;
    let path = format!(
        "M{} {}V{}",
        fixed(x, 1),
        fixed(top, 1),
        fixed(LINE_PX + 8.0, 1)
    );
    let anchor = match x {
        near if near < 50.0 => "start",
        far if far > width - 50.0 => "end",
        _ => "middle",
    };
    html! {
        <g class={mark.class}>
            <path d={path} />
            <text x={fixed(x, 1)} y={fixed(top - 5.0, 1)} text-anchor={anchor}>
                { mark.name.clone() }
            </text>
        </g>
    }
}

fn tick(x: f64, third: i32) -> Html {
    let whole = third % THIRDS == 0;
    let length = if whole { 12.0 } else { 6.0 };
    let path = format!(
        "M{} {}v{}",
        fixed(x, 1),
        fixed(LINE_PX + 8.0, 1),
        fixed(length, 0)
    );
    let word = whole.then(|| Shutter::Marked(0).stepped(third).mark());
    html! {
        <g>
            <path class="tick" d={path} />
            <text class="caption" x={fixed(x, 1)} y={fixed(LINE_PX + 36.0, 1)} text-anchor="middle">
                { word.unwrap_or_default() }
            </text>
        </g>
    }
}
