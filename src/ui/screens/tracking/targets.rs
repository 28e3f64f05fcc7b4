//! Targets as small frames of this sensor with the target's outline in them.

use yew::prelude::*;

use crate::decimal::fixed;
use crate::outing::exposure::targets::{Fit, TargetFrame};
use crate::ui::screens::card::{details, paragraphs};
use crate::ui::screens::tracking::assumptions::TARGET_BASIS;
use crate::ui::state::derived::tracking_analysis::{TargetExposure, TrackingAnalysis};
use crate::ui::state::views::TrackingAction;
use crate::ui::text::tracking as words;
use crate::ui::widgets::aria::aria_bool;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::folded::Folded;

/// Longer side of a small frame, px.
const LONG_PX: f64 = 92.0;

/// Frames shown before anything is unfolded.
const SHOWN: usize = 3;

/// Space between outline and edge where a target is larger than the frame, px.
const EDGE_PX: f64 = 1.5;

/// The frames: a few, and all of them folded, in groups.
///
/// `folded_due` as by [`State::folded_due`](crate::ui::state::State::folded_due).
pub fn targets(
    analysis: &TrackingAnalysis,
    own_mm: &[f64],
    folded_due: bool,
    dispatch: &Dispatch,
) -> Html {
    let framed = analysis.table.framed(own_mm);
    let tried_mm = analysis.strategies.focal_mm;
    let button = |(target, frame): &(&TargetExposure, TargetFrame)| {
        small_frame(target, frame, tried_mm, dispatch)
    };
    let groups = [
        (Fit::Fits, "Fits your lenses"),
        (Fit::Longer, "A longer lens"),
        (Fit::Mosaic, "Mosaic"),
    ];
    let group = |(fit, name): (Fit, &'static str)| {
        let of_group = framed.iter().filter(|(_, frame)| frame.fit == fit);
        let mut of_group = of_group.peekable();
        of_group.peek().is_some().then(|| {
            html! {
                <>
                    <h3>{ name }</h3>
                    <div class="targets">{ for of_group.map(button) }</div>
                </>
            }
        })
    };
    let all = folded_due.then(|| {
        html! {
            <>
                { for groups.into_iter().filter_map(group) }
                { paragraphs([TARGET_BASIS]) }
            </>
        }
    });
    html! {
        <section aria-label="targets">
            <div class="targets">{ for framed.iter().take(SHOWN).map(button) }</div>
            <Folded due={folded_due}>
                { details("All targets", all.unwrap_or_default()) }
            </Folded>
        </section>
    }
}

/// A key with the frame of a lens and the target's outline in it.
fn small_frame(
    exposure: &TargetExposure,
    frame: &TargetFrame,
    tried_mm: f64,
    dispatch: &Dispatch,
) -> Html {
    let focal_mm = frame.focal_mm;
    let onclick = on_click(dispatch, TrackingAction::TryLens(Some(focal_mm)));
    let (width, height) = (LONG_PX, LONG_PX / frame.aspect_ratio);
    let view_box = ["0 0 ", &fixed(width, 0), " ", &fixed(height, 0)].concat();
    let radius = |share: f64, side: f64| fixed((share * side / 2.0).max(1.5), 1);
    let caption = match frame.frames {
        1 => words::lens(focal_mm),
        frames => format!("{} × {}", frames, words::lens(focal_mm)),
    };
    let name = exposure.target.name;
    html! {
        <button
            type="button"
            class="target"
            aria-pressed={aria_bool(focal_mm == tried_mm)}
            aria-label={format!("{name}, {caption}: {}", words::target(exposure))}
            {onclick}
        >
            <svg class="drawing" viewBox={view_box} aria-hidden="true">
                <rect
                    class="sensor"
                    x={fixed(EDGE_PX / 2.0, 2)}
                    y={fixed(EDGE_PX / 2.0, 2)}
                    width={fixed(width - EDGE_PX, 1)}
                    height={fixed(height - EDGE_PX, 1)}
                    rx="4"
                />
                <ellipse
                    class="outline"
                    cx={fixed(width / 2.0, 1)}
                    cy={fixed(height / 2.0, 1)}
                    rx={radius(frame.outline.0, width)}
                    ry={radius(frame.outline.1, height)}
                />
            </svg>
            <span class="name">{ name }</span>
            <span class="step-caption">{ caption }</span>
        </button>
    }
}
