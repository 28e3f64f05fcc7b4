//! The same time spent four ways, each with a picture of what comes of it.

use yew::prelude::*;

use crate::outing::exposure::strategies::Strategy;
use crate::ui::screens::tracking::assumptions::PICTURE_BASIS;
use crate::ui::screens::tracking::sample_images::SampleImage;
use crate::ui::screens::tracking::{self, details};
use crate::ui::state::State;
use crate::ui::state::derived::tracking_analysis::TrackingAnalysis;
use crate::ui::text::exposure::{bare, up_to};
use crate::ui::text::field_card::card;
use crate::ui::text::tracking as words;
use crate::ui::widgets::element::{el, say};

/// Names of the four ways.
const NAMES: [&str; 4] = [
    "One frame, tripod",
    "Stack, tripod",
    "Tracker",
    "Tracker, stopped down",
];

/// The card.
pub fn strategies_card(state: &State, analysis: &TrackingAnalysis) -> Html {
    let outing = state.outing();
    let ways = analysis.strategies.all();
    let samples = state.tracking.samples.as_ref();
    let pictures = NAMES
        .into_iter()
        .zip(&ways)
        .enumerate()
        .map(|(place, (name, way))| {
            let (frames, message) = words::way(way);
            let label = format!("{name}: {frames}, {message}, as a patch of the picture");
            let pixels = samples.and_then(|samples| samples.get(place).cloned());
            el(
                "figure",
                &[("class", "way")],
                vec![
                    html! { <SampleImage {label} {pixels} theme={state.display.theme} /> },
                    el(
                        "figcaption",
                        &[],
                        vec![
                            say("strong", &[], name),
                            say("span", &[], frames),
                            say("span", &[], message),
                        ],
                    ),
                ],
            )
        });
    let title = format!(
        "{} at {}, four ways",
        up_to(outing.stack_min * 60.0),
        words::lens(analysis.strategies.focal_mm)
    );
    tracking::card(
        &title,
        vec![
            el("div", &[("class", "ways")], pictures.collect()),
            say("p", &[], words::sky_short(&analysis.sky)),
            details(
                "The four in numbers, and what the pictures rest on",
                words_and_table(analysis),
            ),
        ],
    )
}

fn words_and_table(analysis: &TrackingAnalysis) -> Vec<Html> {
    let ways = analysis.strategies.all();
    type Told = fn(&Strategy) -> String;
    let rows: [(&str, Told); 7] = [
        ("f/", |way| crate::decimal::plain(way.settings.f_number)),
        ("ISO", |way| crate::decimal::fixed(way.settings.iso, 0)),
        ("sky, e⁻", |way| words::two_figures(way.settings.sky_e())),
        ("glow, e⁻", |way| {
            words::two_figures(way.settings.rates.signal_e_s * way.settings.each_s())
        }),
        ("S/N", words::signal),
        ("files", |way| way.settings.series.frames.to_string()),
        ("GB", |way| bare(&card(&way.settings.series))),
    ];
    let heads = ["way", "one", "stack", "track", "stop"];
    let head = heads.map(|head| say("th", &[("scope", "col")], head));
    let body = rows.map(|(name, message)| {
        let name = say("th", &[("scope", "row")], name);
        let cells = ways.iter().map(|way| say("td", &[], message(way)));
        el("tr", &[], std::iter::once(name).chain(cells).collect())
    });
    let table = el(
        "table",
        &[("class", "rules lenses")],
        vec![
            say(
                "caption",
                &[("class", "unseen")],
                "The four ways in numbers",
            ),
            el("thead", &[], vec![el("tr", &[], head.into())]),
            el("tbody", &[], body.into()),
        ],
    );
    let a_frame = "Electrons of one frame: the sky's, and the subject's glow over it.";
    let basis = PICTURE_BASIS.iter().map(|message| say("p", &[], *message));
    [table, say("p", &[], a_frame)]
        .into_iter()
        .chain(basis)
        .collect()
}
