//! The minutes spent on the sky: a slider that stacks both sides of the picture, and the key back
//! to one frame of each.

use std::rc::Rc;

use yew::prelude::*;

use crate::decimal::fixed;
use crate::ui::state::State;
use crate::ui::state::derived::tracking_analysis::TrackingAnalysis;
use crate::ui::state::document::exposure::ExposureEdit;
use crate::ui::state::views::TrackingAction;
use crate::ui::text::tracking as words;
use crate::ui::text::units::up_to;
use crate::ui::widgets::aria::aria_bool;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::slider::{Slider, slider};
use crate::ui::widgets::svg_path::SvgPath;

/// Ends of the scale, minutes; it is divided by equal factors.
const RANGE_MIN: (f64, f64) = (2.0, 240.0);

/// Height of the slider, and where its line lies, px.
const HEIGHT_PX: f64 = 60.0;
const LINE_PX: f64 = 42.0;

/// Space at both ends for half a grip, px.
const END_PX: f64 = 10.0;

/// Width of the key beside the slider and the gap between, px.
const KEY_PX: f64 = 84.0;

/// Room of a word at an end of the slider, px.
const WORD_PX: f64 = 84.0;

/// The row, of this width.
pub fn minutes(
    state: &State,
    analysis: &TrackingAnalysis,
    width_px: f64,
    dispatch: &Dispatch,
) -> Html {
    let stacked = state.tracking.stacked;
    html! {
        <div class="minutes">
            <button
                id="one-frame"
                type="button"
                aria-pressed={aria_bool(!stacked)}
                onclick={on_click(dispatch, TrackingAction::Stack(!stacked))}
            >
                { "1 frame" }
            </button>
            { minutes_slider(state, analysis, width_px - KEY_PX, dispatch) }
        </div>
    }
}

/// Minutes at a share of the scale: whole ones, from ten on in fives, from an hour on in quarters.
fn minutes_at(share: f64) -> f64 {
    let (least, most) = RANGE_MIN;
    let minutes = least * (share.clamp(0.0, 1.0) * (most / least).ln()).exp();
    let step = match minutes {
        short if short < 10.0 => 1.0,
        middle if middle < 60.0 => 5.0,
        _ => 15.0,
    };
    (minutes / step).round() * step
}

fn share_of(minutes: f64) -> f64 {
    let (least, most) = RANGE_MIN;
    ((minutes / least).ln() / (most / least).ln()).clamp(0.0, 1.0)
}

fn minutes_slider(
    state: &State,
    analysis: &TrackingAnalysis,
    width_px: f64,
    dispatch: &Dispatch,
) -> Html {
    let minutes = state.outing().stack_min;
    let right = width_px - END_PX;
    let at = END_PX + share_of(minutes) * (right - END_PX);
    let line = |from: f64, to: f64| {
        let mut line = SvgPath::default();
        line.move_to((from, LINE_PX)).line_to((to, LINE_PX));
        line.finish()
    };
    let mut grip = SvgPath::default();
    grip.polyline([
        (at, LINE_PX - 14.0),
        (at + 8.0, LINE_PX),
        (at, LINE_PX + 14.0),
        (at - 8.0, LINE_PX),
        (at, LINE_PX - 14.0),
    ]);
    let strategies = &analysis.strategies;
    let [tripod, tracker] = [&strategies.stack, &strategies.tracked]
        .map(|strategy| words::frames(&strategy.settings.series));
    let value = up_to(minutes * 60.0);
    let value_text = [&value, ": tripod ", &tripod, ", tracker ", &tracker].concat();
    // the value stands over its grip, and gives way to the words at the ends
    let room = (WORD_PX + 32.0).min(width_px / 2.0);
    let value_x = at.max(room).min(width_px - room);
    let word = |x: f64, anchor: &'static str, class: &'static str, word: String| {
        html! {
            <text {class} aria-hidden="true" x={fixed(x, 0)} y="16" text-anchor={anchor}>
                { word }
            </text>
        }
    };
    // the picture tells the same
    let at_end = |x: f64, anchor: &'static str, frames: String| {
        if width_px < 2.0 * WORD_PX + 48.0 {
            Html::default()
        } else {
            word(x, anchor, "caption", frames)
        }
    };
    let drawn = vec![
        html! { <path class="rest" d={line(at, right)} /> },
        html! { <path class="spent" d={line(END_PX, at)} /> },
        html! { <path class="grip" d={grip.finish()} /> },
        at_end(0.0, "start", tripod),
        word(value_x, "middle", "name", value),
        at_end(width_px, "end", tracker),
    ];
    let spent = |minutes: f64| ExposureEdit::TotalTime(minutes).into();
    let spent_slider = Slider {
        class: "spend drawing",
        label: "minutes spent",
        bounds: ("2", "240"),
        value: fixed(minutes, 0),
        value_text,
        ends: (END_PX / width_px, right / width_px),
        pointed: Rc::new(move |share| spent(minutes_at(share))),
        keyed: Rc::new(move |key| {
            Some(match key {
                "ArrowRight" | "ArrowUp" => ExposureEdit::StepTotalTime(true).into(),
                "ArrowLeft" | "ArrowDown" => ExposureEdit::StepTotalTime(false).into(),
                "Home" => spent(RANGE_MIN.0),
                "End" => spent(RANGE_MIN.1),
                _ => return None,
            })
        }),
    };
    slider(spent_slider, (width_px, HEIGHT_PX), drawn, dispatch)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The slider gives round times, and its grip stands where they are.
    #[test]
    fn round_times_from_end_to_end() {
        assert_eq!((minutes_at(0.0), minutes_at(1.0)), RANGE_MIN);
        assert_eq!(minutes_at(-3.0), RANGE_MIN.0);
        let mut before = 0.0;
        for step in 0..=100 {
            let minutes = minutes_at(f64::from(step) / 100.0);
            assert!(minutes >= before && minutes.fract() == 0.0, "{minutes}");
            assert!(
                (minutes_at(share_of(minutes)) - minutes).abs() < 1e-9,
                "{minutes}"
            );
            before = minutes;
        }
    }
}
