//! Why track? – where the tripod stops being enough, and what a tracker or a
//! stack buys.

use yew::prelude::*;

use super::care::care;
use super::corner_words;
use super::element::{Fixed, all, button, el, nothing, say, text};
use super::reach_chart::{Chart, reach_chart};
use super::state::{Action, Sheet, State};
use super::tap::{Send, tap};
use super::targets_card::targets_card;
use super::ways_card::ways_card;
use super::why_basis::LIGHT_BASIS;
use super::why_reasons::{self, Reason};
use super::why_shown::Whys;
use super::why_tables::{lenses_table, reach_table};
use super::why_words as words;
use super::words as shutter_words;
use crate::outing::corner::Corner;
use crate::outing::plan::Outing;
use crate::outing::ways::Way;

/// The screen.
pub fn why(state: &State, whys: &Whys, send: &Send) -> Html {
    let outing = &state.kept.outing;
    let line = |said: String, sheet: Sheet| {
        let opened = tap(send, Action::SheetOpened(sheet));
        button(&[("class", "line")], Vec::new(), opened, vec![text(said)])
    };
    let chart = Chart {
        reaches: &whys.rest.reaches,
        own_mm: outing.kit.lens.focal_mm,
        tried_mm: whys.ways.focal_mm,
        too_long_mm: whys.rest.too_long_mm,
        targets: &whys.rest.targets,
        said: whys.said(),
    };
    let reach = vec![
        reach_chart(&chart, send),
        say("p", &[("class", "legend"), ("role", "status")], whys.said()),
        say(
            "p",
            &[("class", "legend")],
            "Heavy: tripod, by exact drift. Double: tracker. Thin: half rate. Dotted: 500 and 300 \
             rule; dashed: pixel-pitch rule. Ticks: lenses that frame the targets below.",
        ),
        say(
            "p",
            &[("class", "legend")],
            words::ground(outing, &whys.reach),
        ),
        told(
            "The same in numbers, and what it rests on",
            reach_table(outing, whys),
        ),
    ];
    all(vec![
        line(shutter_words::kit(&outing.kit, outing.f_number), Sheet::Kit),
        verdict(state, whys),
        card("Longest clean exposure, by lens", reach),
        ways_card(state, whys, send),
        card("What a stack loses", matching(state, whys)),
        card("Light and ISO", light(state, whys, send)),
        card("Why", reasons(state, whys)),
        targets_card(whys, send),
        line(
            "Tracker: ".to_owned() + &words::mount(outing),
            Sheet::Tracker,
        ),
        care(),
    ])
}

/// The opening sentence, what to take, and how many times longer a tripod needs.
fn verdict(state: &State, whys: &Whys) -> Html {
    let (outing, compared) = (&state.kept.outing, &whys.compared);
    let ways = &compared.ways;
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
            words::not_dark(&whys.sky)
                .map_or_else(nothing, |said| say("p", &[("class", "sentence")], said)),
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
pub fn told(summary: &str, inside: Vec<Html>) -> Html {
    let summary = say("summary", &[], summary.to_owned());
    let parts = std::iter::once(summary).chain(inside).collect();
    el("details", &[], parts)
}

fn matching(state: &State, whys: &Whys) -> Vec<Html> {
    let outing = &state.kept.outing;
    vec![
        say("p", &[], words::lost(&whys.compared, outing)),
        told("Every usual lens, and what it rests on", lenses_table(whys)),
    ]
}

fn light(state: &State, whys: &Whys, send: &Send) -> Vec<Html> {
    let outing = &state.kept.outing;
    let chosen = outing.iso.is_some();
    let frames = tap(send, Action::SheetOpened(Sheet::Frames));
    let basis = LIGHT_BASIS.iter().map(|said| say("p", &[], *said));
    let mut parts = vec![
        say(
            "p",
            &[("class", "in-use")],
            words::iso(&whys.ways.stack, chosen),
        ),
        super::histogram::histogram(&whys.ways.stack.settings),
        say("p", &[], words::iso(&whys.ways.tracked, chosen)),
        say("p", &[], words::sky(&whys.sky)),
        say("p", &[], words::long_enough(&whys.ways)),
    ];
    parts.extend(corners(outing, &whys.ways.stack, whys.ways.focal_mm));
    parts.push(button(
        &[("class", "wide")],
        Vec::new(),
        frames,
        vec![text("ISO, frames and what is known of the body")],
    ));
    parts.push(told("What it rests on", basis.collect()));
    parts
}

/// What the corners gather, and what to do where reading rules them; of the outing's own
/// lens alone, as nothing is known of others.
fn corners(outing: &Outing, way: &Way, focal_mm: f64) -> Vec<Html> {
    if focal_mm != outing.kit.lens.focal_mm {
        return Vec::new();
    }
    let settings = &way.settings;
    let Some(corner) = Corner::of(outing, settings) else {
        return Vec::new();
    };
    let light = corner_words::corners(&corner, settings, Some(way.kept));
    let advice = corner_words::advice(&corner, outing, settings);
    let told = std::iter::once(light).chain(advice);
    told.map(|told| say("p", &[], told)).collect()
}

fn reasons(state: &State, whys: &Whys) -> Vec<Html> {
    let reasons = why_reasons::reasons(&state.kept.outing, &whys.compared, whys.tracked.longest_s);
    let unfolding = |reason: Reason| told(&reason.claim, vec![say("p", &[], reason.behind)]);
    reasons.map(unfolding).collect()
}
