//! One patch of sky under a split slider: at its left as a tripod gives it, at its right as a
//! tracker does; and the minutes spent on it, which stack both sides.

use std::rc::Rc;

use yew::prelude::*;

use crate::decimal::fixed;
use crate::ui::layout::Size;
use crate::ui::screens::exposure::star;
use crate::ui::screens::tracking::split_canvas::{SplitCanvas, enlargement};
use crate::ui::state::State;
use crate::ui::state::derived::tracking_analysis::TrackingAnalysis;
use crate::ui::state::views::TrackingAction;
use crate::ui::text::exposure;
use crate::ui::text::tracking as words;
use crate::ui::text::units::trail;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::slider::{Slider, slider};
use crate::ui::widgets::svg_path::SvgPath;

/// Margin of the words, px.
const MARGIN_PX: f64 = 14.0;

/// Half width and half height of the grip, px.
const GRIP_PX: (f64, f64) = (10.0, 18.0);

/// Side of an enlarged star, and its margin, px.
const STAR_PX: f64 = 66.0;
const STAR_MARGIN_PX: f64 = 8.0;

/// The split moves by this share with an arrow key.
const STEP: f64 = 0.05;

/// The picture of this size.
pub fn compare(
    state: &State,
    analysis: &TrackingAnalysis,
    size: Size,
    dispatch: &Dispatch,
) -> Html {
    let view = &state.tracking;
    let content = match &view.samples {
        Some(Err(why)) => html! {
            <div class="failed" role="status">
                <p>{ why.clone() }</p>
                <button
                    id="draw-again"
                    type="button"
                    onclick={on_click(dispatch, TrackingAction::DrawAgain)}
                >
                    { "Draw again" }
                </button>
            </div>
        },
        samples => {
            let first = if view.stacked { 2 } else { 0 };
            let side = |place: usize| {
                let samples = samples.as_ref()?.as_ref().ok()?;
                samples.get(first + place).cloned()
            };
            let sides = side(0).zip(side(1)).map(|(left, right)| [left, right]);
            html! {
                <>
                    <SplitCanvas {sides} split={view.split} {size} theme={state.display.theme} />
                    { split_slider(
                        state,
                        captions(view.stacked, analysis),
                        enlarged_stars(state, analysis, size),
                        size,
                        dispatch,
                    ) }
                </>
            }
        }
    };
    let class = if view.failed() {
        "compare"
    } else {
        "compare drawn"
    };
    html! { <div {class}>{ content }</div> }
}

/// What each side shows.
fn captions(stacked: bool, analysis: &TrackingAnalysis) -> [String; 2] {
    let strategies = &analysis.strategies;
    [&strategies.stack, &strategies.tracked].map(|strategy| {
        let series = &strategy.settings.series;
        if stacked {
            words::frames(series)
        } else {
            words::frame_time(series.shutter)
        }
    })
}

/// A star of each side, enlarged in the lower corners, with the trail allowed as a scale.
fn enlarged_stars(state: &State, analysis: &TrackingAnalysis, size: Size) -> Html {
    let square = Size {
        width: STAR_PX,
        height: STAR_PX,
    };
    let top = size.height - STAR_PX - STAR_MARGIN_PX;
    let lefts = [STAR_MARGIN_PX, size.width - STAR_PX - STAR_MARGIN_PX];
    let allowed_px = state.outing().allowed_px();
    let strategies = &analysis.strategies;
    let trails_px = [strategies.stack, strategies.tracked].map(|strategy| strategy.trail_px);
    let stars = analysis.stars.iter().zip(trails_px).zip(lefts);
    let drawn = stars.map(|((image, trail_px), left)| {
        let scale_px = allowed_px * STAR_PX / image.side as f64;
        html! {
            <g class="enlarged" transform={format!("translate({} {})", fixed(left, 0), fixed(top, 0))}>
                <rect width={fixed(STAR_PX, 0)} height={fixed(STAR_PX, 0)} rx="6" />
                { star(image, square, state.display.theme) }
                <text class="trail" x="7" y="18">{ trail(trail_px) }</text>
                { measure(scale_px, &exposure::whole(allowed_px)) }
            </g>
        }
    });
    html! { <g aria-hidden="true">{ for drawn }</g> }
}

/// The trail allowed along the lower edge of an enlarged star, with its name; nothing where it does not
/// fit.
fn measure(length_px: f64, name: &str) -> Html {
    let (left, foot) = (7.0, STAR_PX - 9.0);
    let (right, name_px) = (left + length_px, 34.0);
    if right > STAR_PX - left {
        return Html::default();
    }
    let mut path = SvgPath::default();
    for x in [left, right] {
        path.move_to((x, foot - 4.0)).line_to((x, foot + 4.0));
    }
    path.move_to((left, foot)).line_to((right, foot));
    html! {
        <>
            <path class="measure" d={path.finish()} />
            if right + 4.0 + name_px < STAR_PX {
                <text class="caption" x={fixed(right + 4.0, 1)} y={fixed(foot + 5.0, 1)}>{ name }</text>
            }
        </>
    }
}

fn split_slider(
    state: &State,
    [tripod, tracker]: [String; 2],
    stars: Html,
    size: Size,
    dispatch: &Dispatch,
) -> Html {
    let split = state.tracking.split;
    let at = split * size.width;
    let (half, tall) = GRIP_PX;
    let middle = size.height - tall - 4.0;
    let line = {
        let mut line = SvgPath::default();
        line.move_to((at, 0.0)).line_to((at, size.height));
        line.finish()
    };
    let mut grip = SvgPath::default();
    grip.polyline([
        (at, middle - tall),
        (at + half, middle),
        (at, middle + tall),
        (at - half, middle),
        (at, middle - tall),
    ]);
    let value_text = [&tripod, " left of it, ", &tracker, " right"].concat();
    let right = fixed(size.width - MARGIN_PX, 0);
    let label = |x: String, anchor: &'static str, (name, value): (&'static str, String)| {
        html! {
            <g aria-hidden="true">
                <text class="name" x={x.clone()} y="26" text-anchor={anchor}>{ name }</text>
                <text {x} y="48" text-anchor={anchor}>{ value }</text>
            </g>
        }
    };
    let left = fixed(MARGIN_PX, 0);
    let scale = ["pixels × ", &fixed(enlargement(size), 0)].concat();
    let drawn = vec![
        stars,
        html! { <path class="halo" d={line.clone()} /> },
        html! { <path class="split-line" d={line} /> },
        html! { <path class="grip" d={grip.finish()} /> },
        label(left.clone(), "start", (words::TRIPOD, tripod)),
        label(right, "end", (words::TRACKED, tracker)),
        html! {
            <text
                class="caption"
                aria-hidden="true"
                x={fixed(STAR_PX + 2.0 * STAR_MARGIN_PX, 0)}
                y={fixed(size.height - 12.0, 0)}
            >
                { scale }
            </text>
        },
    ];
    let moved = |share: f64| TrackingAction::Split(share).into();
    let split_slider = Slider {
        class: "split drawing",
        label: "the same sky from a tripod, and from a tracker",
        bounds: ("0", "100"),
        value: fixed(100.0 * split, 0),
        value_text,
        ends: (0.0, 1.0),
        pointed: Rc::new(moved),
        keyed: Rc::new(move |key| {
            Some(moved(match key {
                "ArrowRight" | "ArrowUp" => split + STEP,
                "ArrowLeft" | "ArrowDown" => split - STEP,
                "Home" => 0.0,
                "End" => 1.0,
                _ => return None,
            }))
        }),
    };
    slider(split_slider, (size.width, size.height), drawn, dispatch)
}
