//! Why track? – where the tripod stops being enough, and what a tracker or a
//! stack buys.

mod assumptions;
pub mod controls;
mod focal_length_chart;
mod focal_length_slider;
mod histogram;
mod reasons;
pub mod sample_images;
mod strategies_card;
mod tables;
mod targets_card;

use crate::ui::state::routes::RouteAction;
use yew::prelude::*;

use crate::outing::exposure::corner::Corner;
use crate::outing::exposure::strategies::Strategy;
use crate::outing::plan::Outing;
use crate::ui::screens::tracking::assumptions::LIGHT_BASIS;
use crate::ui::screens::tracking::focal_length_chart::{FocalLengthChart, focal_length_chart};
use crate::ui::screens::tracking::reasons::Reason;
use crate::ui::screens::tracking::strategies_card::strategies_card;
use crate::ui::screens::tracking::tables::{lenses_table, reach_table};
use crate::ui::screens::tracking::targets_card::targets_card;
use crate::ui::state::State;
use crate::ui::state::derived::tracking_analysis::TrackingAnalysis;
use crate::ui::state::routes::Sheet;
use crate::ui::text::corner;
use crate::ui::text::exposure as shutter_words;
use crate::ui::text::tracking as words;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::element::{Fixed, all, button, el, nothing, say, text};
use crate::ui::widgets::safety_note::safety_note;

/// The screen.
pub fn tracking_screen(state: &State, analysis: &TrackingAnalysis, dispatch: &Dispatch) -> Html {
    let outing = state.outing();
    let line = |message: String, sheet: Sheet| {
        let opened = on_click(dispatch, RouteAction::Open(sheet));
        button(
            &[("class", "line")],
            Vec::new(),
            opened,
            vec![text(message)],
        )
    };
    let chart = FocalLengthChart {
        reaches: &analysis.table.reaches,
        own_mm: outing.kit.lens.focal_mm,
        tried_mm: analysis.strategies.focal_mm,
        too_long_mm: analysis.table.too_long_mm,
        targets: &analysis.table.targets,
        message: analysis.message(),
    };
    let reach = vec![
        focal_length_chart(&chart, dispatch),
        say(
            "p",
            &[("class", "legend"), ("role", "status")],
            analysis.message(),
        ),
        say(
            "p",
            &[("class", "legend")],
            "Heavy: tripod, by exact drift. Double: tracker. Thin: half rate. Dotted: 500 and 300 \
             rule; dashed: pixel-pitch rule. Ticks: lenses that frame the targets below.",
        ),
        say(
            "p",
            &[("class", "legend")],
            words::ground(outing, &analysis.reach),
        ),
        details(
            "The same in numbers, and what it rests on",
            reach_table(outing, analysis),
        ),
    ];
    all(vec![
        line(shutter_words::kit(&outing.kit, outing.f_number), Sheet::Kit),
        verdict(state, analysis),
        card("Longest clean exposure, by lens", reach),
        strategies_card(state, analysis),
        card("What a stack loses", matching(state, analysis)),
        card("Light and ISO", light(state, analysis, dispatch)),
        card("Why", reasons(state, analysis)),
        targets_card(analysis, dispatch),
        line(
            "Tracker: ".to_owned() + &words::mount(outing),
            Sheet::Tracker,
        ),
        safety_note(),
    ])
}

/// The opening sentence, what to take, and how many times longer a tripod needs.
fn verdict(state: &State, analysis: &TrackingAnalysis) -> Html {
    let (outing, compared) = (state.outing(), &analysis.compared);
    let ways = &compared.strategies;
    // a range needs room beside the word
    let times = words::times(compared);
    let class: &[Fixed] = if compared.best.is_some() {
        &[("class", "figure range")]
    } else {
        &[("class", "figure")]
    };
    let figure = |class: &'static [Fixed], word: String| say("span", class, word);
    let answer = el(
        "p",
        &[
            ("id", "answer"),
            ("class", "answer"),
            ("aria-live", "polite"),
        ],
        vec![
            figure(
                &[("class", "figure wordy")],
                words::verdict(compared).to_owned(),
            ),
            say(
                "span",
                &[("class", "for")],
                format!("for {}", words::lens(ways.focal_mm)),
            ),
        ],
    );
    let beside = el(
        "p",
        &[("class", "beside")],
        vec![
            say("span", class, times),
            say("span", &[("class", "for")], "as long on a tripod"),
        ],
    );
    el(
        "section",
        &[("class", "verdict"), ("aria-labelledby", "answer")],
        vec![
            say(
                "p",
                &[("class", "lead")],
                words::opening(outing, ways.focal_mm),
            ),
            el("div", &[("class", "figures low")], vec![answer, beside]),
            say(
                "p",
                &[("class", "sentence")],
                words::matching(compared, outing),
            ),
            words::not_dark(&analysis.sky).map_or_else(nothing, |message| {
                say("p", &[("class", "sentence")], message)
            }),
        ],
    )
}

/// A card with a title.
pub fn card(title: &str, parts: Vec<Html>) -> Html {
    let title = say("h2", &[], title.to_owned());
    let parts = std::iter::once(title).chain(parts).collect();
    el("section", &[("class", "card")], parts)
}

/// Something that unfolds.
pub fn details(summary: &str, inside: Vec<Html>) -> Html {
    let summary = say("summary", &[], summary.to_owned());
    let parts = std::iter::once(summary).chain(inside).collect();
    el("details", &[], parts)
}

fn matching(state: &State, analysis: &TrackingAnalysis) -> Vec<Html> {
    let outing = state.outing();
    vec![
        say("p", &[], words::lost(&analysis.compared, outing)),
        details(
            "Every usual lens, and what it rests on",
            lenses_table(analysis),
        ),
    ]
}

fn light(state: &State, analysis: &TrackingAnalysis, dispatch: &Dispatch) -> Vec<Html> {
    let outing = state.outing();
    let chosen = outing.iso.is_some();
    let frames = on_click(dispatch, RouteAction::Open(Sheet::Frames));
    let basis = LIGHT_BASIS.iter().map(|message| say("p", &[], *message));
    let mut parts = vec![
        say(
            "p",
            &[("class", "in-use")],
            words::iso(&analysis.strategies.stack, chosen),
        ),
        crate::ui::screens::tracking::histogram::histogram(&analysis.strategies.stack.settings),
        say("p", &[], words::iso(&analysis.strategies.tracked, chosen)),
        say("p", &[], words::sky(&analysis.sky)),
        say("p", &[], words::long_enough(&analysis.strategies)),
    ];
    parts.extend(corners(
        outing,
        &analysis.strategies.stack,
        analysis.strategies.focal_mm,
    ));
    parts.push(button(
        &[("class", "wide")],
        Vec::new(),
        frames,
        vec![text("ISO, frames and what is known of the body")],
    ));
    parts.push(details("What it rests on", basis.collect()));
    parts
}

/// What the corners gather, and what to do where reading rules them; of the outing's own
/// lens alone, as nothing is known of others.
fn corners(outing: &Outing, way: &Strategy, focal_mm: f64) -> Vec<Html> {
    if focal_mm != outing.kit.lens.focal_mm {
        return Vec::new();
    }
    let settings = &way.settings;
    let Some(corner) = Corner::new(outing, settings) else {
        return Vec::new();
    };
    let light = corner::corners(&corner, settings, Some(way.fraction_kept));
    let advice = corner::advice(&corner, outing, settings);
    let message = std::iter::once(light).chain(advice);
    message.map(|message| say("p", &[], message)).collect()
}

fn reasons(state: &State, analysis: &TrackingAnalysis) -> Vec<Html> {
    let reasons = reasons::reasons(
        state.outing(),
        &analysis.compared,
        analysis.tracked.longest_s,
    );
    let unfolding = |reason: Reason| details(&reason.claim, vec![say("p", &[], reason.behind)]);
    reasons.map(unfolding).collect()
}
