//! Why track? – where the tripod stops being enough, and what a tracker or a stack buys.

mod assumptions;
mod compare;
pub mod controls;
mod focal_length_chart;
mod focal_length_slider;
mod headline;
mod histogram;
mod minutes;
mod reasons;
mod split_canvas;
mod stacking_cost;
mod strategy_table;
mod tables;
mod targets;

use yew::prelude::*;

use crate::outing::exposure::strategies::Strategy;
use crate::outing::plan::Outing;
use crate::ui::layout::{Layout, LayoutKind, Size};
use crate::ui::screens::ScreenParts;
use crate::ui::screens::card::{card, details, paragraphs};
use crate::ui::screens::tracking::assumptions::LIGHT_BASIS;
use crate::ui::screens::tracking::compare::compare;
use crate::ui::screens::tracking::controls::{lens_stepper, total_stepper, tracking_drawer};
use crate::ui::screens::tracking::focal_length_chart::{FocalLengthChart, focal_length_chart};
use crate::ui::screens::tracking::headline::headline;
use crate::ui::screens::tracking::histogram::histogram;
use crate::ui::screens::tracking::minutes::minutes;
use crate::ui::screens::tracking::reasons::{Reason, reasons};
use crate::ui::screens::tracking::stacking_cost::stacking_cost;
use crate::ui::screens::tracking::strategy_table::strategy_table;
use crate::ui::screens::tracking::tables::{lenses_table, reach_table};
use crate::ui::screens::tracking::targets::targets;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::tracking_analysis::{TrackingAnalysis, own_lenses};
use crate::ui::text::corner;
use crate::ui::text::tracking as words;
use crate::ui::widgets::below_fold::BelowFold;
use crate::ui::widgets::dispatch::Dispatch;

/// Height of the row of minutes, px, with its space.
const MINUTES_PX: f64 = 76.0;

/// Height of the sentence over the picture where it does not stand in a column, px.
const HEADLINE_PX: f64 = 114.0;

/// The same on a phone on its side, where it takes one line.
const SIDE_HEADLINE_PX: f64 = 76.0;

/// Least height of the reach chart, px.
const REACH_PX: f64 = 166.0;

/// The screen.
pub fn tracking_screen(state: &State, derived: &Derived, dispatch: &Dispatch) -> ScreenParts {
    let outing = state.outing();
    let analysis = &*derived.tracking(state);
    let focal_mm = analysis.strategies.focal_mm;
    let layout = state.layout;
    let (compare_size, reach_size) = picture_sizes(layout);
    let own_mm = &own_lenses(outing, &state.document().kits)[..];
    let column_px = layout.column_width();
    let minutes = minutes(state, analysis, column_px, dispatch);
    let chart = FocalLengthChart {
        reaches: &analysis.table.reaches,
        own_mm,
        tried_mm: focal_mm,
        message: analysis.message(),
        size: reach_size,
    };
    let picture = compare(state, analysis, compare_size, dispatch);
    let reach = focal_length_chart(&chart, dispatch);
    let cost = html! {
        <>
            { stacking_cost(outing, analysis, column_px) }
            { targets(analysis, own_mm, state.folded_due(), dispatch) }
        </>
    };
    let notes = || notes(outing, analysis, column_px);
    let (picture, below) = if layout.has_column() {
        (
            html! { <>{ picture }{ reach }</> },
            html! { <>{ minutes }{ cost }</> },
        )
    } else {
        let picture = html! {
            <>
                { picture }
                <div class="under">{ minutes }</div>
                { reach }
            </>
        };
        (picture, html! { <BelowFold>{ cost }</BelowFold> })
    };
    let drawer = || tracking_drawer(outing, dispatch);
    ScreenParts {
        title: "Why track?",
        headline: headline(outing, analysis),
        picture,
        below,
        keys: Some([
            lens_stepper(outing, focal_mm, dispatch),
            total_stepper(outing, dispatch),
        ]),
        drawer: state.shows_drawer().then(drawer).unwrap_or_default(),
        card: card("Why", reason_list(outing, analysis)),
        folded: state.folded_due().then(notes).unwrap_or_default(),
    }
}

/// Sizes of the compared patch and of the reach chart.
fn picture_sizes(layout: Layout) -> (Size, Size) {
    let Size { width, height } = layout.stage();
    let of_height = |height: f64| Size { width, height };
    if layout.has_column() {
        let compared = (0.62 * height).floor();
        return (of_height(compared), of_height(height - compared));
    }
    if layout.kind() == LayoutKind::Side {
        let left = height - SIDE_HEADLINE_PX - MINUTES_PX;
        return (of_height(left.max(150.0)), of_height(0.7 * height));
    }
    let left = height - HEADLINE_PX - MINUTES_PX;
    let compared = (left - REACH_PX).clamp(140.0, 300.0).floor();
    (
        of_height(compared),
        of_height((left - compared).max(REACH_PX)),
    )
}

fn notes(outing: &Outing, analysis: &TrackingAnalysis, column_px: f64) -> Html {
    let strategies = details("The four ways in numbers", strategy_table(analysis));
    let reach = html! {
        <>
            <p>{ words::half_rate(outing, &analysis.reach) }</p>
            { reach_table(analysis) }
        </>
    };
    let stack = html! {
        <>
            <p>{ words::stack_loss(&analysis.compared, outing) }</p>
            { lenses_table(analysis) }
        </>
    };
    html! {
        <>
            { strategies }
            { details("The chart in numbers", reach) }
            { details("What a stack loses", stack) }
            { details("Light and ISO", light(outing, analysis, column_px)) }
        </>
    }
}

fn light(outing: &Outing, analysis: &TrackingAnalysis, column_px: f64) -> Html {
    let strategies = &analysis.strategies;
    let chosen = outing.iso.is_some();
    html! {
        <>
            <p class="in-use">{ words::iso(&strategies.stack, chosen) }</p>
            { histogram(&strategies.stack.settings, column_px) }
            <p>{ words::iso(&strategies.tracked, chosen) }</p>
            <p>{ words::sky(&analysis.sky) }</p>
            <p>{ words::long_enough(strategies) }</p>
            { corners(outing, analysis) }
            { paragraphs(LIGHT_BASIS) }
        </>
    }
}

/// What the corners gather, and what to do where reading rules them.
fn corners(outing: &Outing, analysis: &TrackingAnalysis) -> Html {
    let Some(corner) = &analysis.corner else {
        return Html::default();
    };
    let Strategy {
        settings,
        fraction_kept,
        ..
    } = &analysis.strategies.stack;
    let light = corner::corners(corner, settings, Some(*fraction_kept));
    let advice = corner::advice(corner, outing, settings);
    paragraphs(std::iter::once(light).chain(advice))
}

fn reason_list(outing: &Outing, analysis: &TrackingAnalysis) -> Html {
    let reasons = reasons(outing, &analysis.compared, analysis.tracked.longest_s);
    let item = |Reason { claim, explanation }| details(claim, html! { <p>{ explanation }</p> });
    reasons.map(item).collect()
}
