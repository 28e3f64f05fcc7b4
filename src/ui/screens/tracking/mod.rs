//! Why track? – where the tripod stops being enough, and what a tracker or a
//! stack buys.

mod assumptions;
pub mod controls;
mod focal_length_chart;
mod focal_length_slider;
mod headline;
mod histogram;
mod reasons;
mod sample_images;
mod strategies_card;
mod tables;
mod targets_card;

use yew::prelude::*;

use crate::outing::exposure::strategies::Strategy;
use crate::outing::plan::Outing;
use crate::ui::screens::ScreenParts;
use crate::ui::screens::card::{card, details, paragraphs};
use crate::ui::screens::link_row::link_row;
use crate::ui::screens::tracking::assumptions::LIGHT_BASIS;
use crate::ui::screens::tracking::controls::{lens_stepper, total_stepper, tracking_drawer};
use crate::ui::screens::tracking::focal_length_chart::{FocalLengthChart, focal_length_chart};
use crate::ui::screens::tracking::headline::headline;
use crate::ui::screens::tracking::histogram::histogram;
use crate::ui::screens::tracking::reasons::{Reason, reasons};
use crate::ui::screens::tracking::strategies_card::strategies_card;
use crate::ui::screens::tracking::tables::{lenses_table, reach_table};
use crate::ui::screens::tracking::targets_card::targets_card;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::tracking_analysis::TrackingAnalysis;
use crate::ui::state::routes::{RouteAction, Sheet};
use crate::ui::text::corner;
use crate::ui::text::tracking as words;
use crate::ui::widgets::dispatch::{Dispatch, on_click};

/// What the lines of the chart mean.
const LEGEND: &str = "Heavy: tripod, by exact drift. Double: tracker. Thin: half rate. Dotted: 500 \
                      and 300 rule; dashed: pixel-pitch rule. Ticks: lenses that frame the targets \
                      below.";

/// The screen.
pub fn tracking_screen(state: &State, derived: &Derived, dispatch: &Dispatch) -> ScreenParts {
    let outing = state.outing();
    let analysis = &*derived.tracking(state);
    let focal_mm = analysis.strategies.focal_mm;
    let mount = "Tracker: ".to_owned() + &words::mount(outing);
    ScreenParts {
        title: "Why track?",
        headline: headline(outing, analysis),
        picture: reach(outing, analysis, dispatch),
        below: strategies_card(state, analysis),
        keys: Some([
            lens_stepper(outing, focal_mm, dispatch),
            total_stepper(outing, dispatch),
        ]),
        drawer: tracking_drawer(outing, dispatch),
        notes: html! {
            <>
                { card("What a stack loses", stack_loss(outing, analysis)) }
                { card("Light and ISO", light(outing, analysis, dispatch)) }
                { card("Why", reason_list(outing, analysis)) }
                { targets_card(analysis, dispatch) }
                { link_row(mount, Sheet::Tracker, dispatch) }
            </>
        },
    }
}

fn reach(outing: &Outing, analysis: &TrackingAnalysis, dispatch: &Dispatch) -> Html {
    let chart = FocalLengthChart {
        reaches: &analysis.table.reaches,
        own_mm: outing.kit.lens.focal_mm,
        tried_mm: analysis.strategies.focal_mm,
        too_long_mm: analysis.table.too_long_mm,
        targets: &analysis.table.targets,
        message: analysis.message(),
    };
    html! {
        <>
            { focal_length_chart(&chart, dispatch) }
            <p class="legend" role="status">{ analysis.message() }</p>
            <p class="legend">{ LEGEND }</p>
            <p class="legend">{ words::half_rate(outing, &analysis.reach) }</p>
            { details("The same in numbers, and what it rests on", reach_table(analysis)) }
        </>
    }
}

fn stack_loss(outing: &Outing, analysis: &TrackingAnalysis) -> Html {
    html! {
        <>
            <p>{ words::stack_loss(&analysis.compared, outing) }</p>
            { details("Every usual lens, and what it rests on", lenses_table(analysis)) }
        </>
    }
}

fn light(outing: &Outing, analysis: &TrackingAnalysis, dispatch: &Dispatch) -> Html {
    let strategies = &analysis.strategies;
    let chosen = outing.iso.is_some();
    let onclick = on_click(dispatch, RouteAction::Open(Sheet::Frames));
    html! {
        <>
            <p class="in-use">{ words::iso(&strategies.stack, chosen) }</p>
            { histogram(&strategies.stack.settings) }
            <p>{ words::iso(&strategies.tracked, chosen) }</p>
            <p>{ words::sky(&analysis.sky) }</p>
            <p>{ words::long_enough(strategies) }</p>
            { corners(outing, analysis) }
            <button class="wide" type="button" {onclick}>
                { "ISO, frames and what is known of the body" }
            </button>
            { details("What it rests on", paragraphs(LIGHT_BASIS)) }
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
