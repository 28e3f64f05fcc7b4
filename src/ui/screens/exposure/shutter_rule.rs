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
const HEIGHT_PX: f64 = 122.0;
const LINE_PX: f64 = 80.0;

/// Margin at both ends, px.
const MARGIN_PX: f64 = 22.0;

/// Ends of the scale, stops from 1 s, where all times lie between: 1 and 32 s, the mark 30.
const STOPS: (f64, f64) = (0.0, 5.0);

/// Thirds in a stop.
const THIRDS: i32 = 3;

/// Between the levels on which words stand, and the levels, px.
const LEVEL_PX: f64 = 20.0;
const LEVELS: usize = 3;

/// Width of a letter, generously, and the space between words, px.
const LETTER_PX: f64 = 8.6;
const SPACE_PX: f64 = 8.0;

fn stops(time_s: f64) -> f64 {
    time_s.ln() / std::f64::consts::LN_2
}

/// A time on the rule.
struct Mark {
    name: String,
    stops: f64,
    class: &'static str,
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
    let mut ends = [f64::NEG_INFINITY; LEVELS];
    let (mut stems, mut words) = (Vec::new(), Vec::new());
    for mark in &marks {
        let x = place(mark.stops);
        let half = mark.name.chars().count() as f64 * LETTER_PX / 2.0;
        let middle = x.clamp(half, (width - half).max(half));
        // the lowest level on which the word has room
        let free = ends.iter().position(|end| *end < middle - half);
        let level = free.unwrap_or(LEVELS - 1);
        ends[level] = middle + half + SPACE_PX;
        let top = LINE_PX - 14.0 - LEVEL_PX * level as f64;
        stems.push(stem(mark, x, top));
        words.push(word(mark, middle, top));
    }
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
            <g>{ for stems }</g>
            <g>{ for words }</g>
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

fn stem(mark: &Mark, x: f64, top: f64) -> Html {
    let path = format!(
        "M{} {}V{}",
        fixed(x, 1),
        fixed(top, 1),
        fixed(LINE_PX + 8.0, 1)
    );
    html! { <path class={mark.class} d={path} /> }
}

fn word(mark: &Mark, x: f64, top: f64) -> Html {
    html! {
        <text class={mark.class} x={fixed(x, 1)} y={fixed(top - 4.0, 1)} text-anchor="middle">
            { mark.name.clone() }
        </text>
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
