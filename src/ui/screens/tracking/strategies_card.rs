//! The same time spent in four ways, each with a picture of what comes of it.

use yew::prelude::*;

use crate::decimal::{fixed, plain};
use crate::outing::exposure::strategies::Strategy;
use crate::ui::screens::card::{card, details, paragraphs};
use crate::ui::screens::tracking::assumptions::PICTURE_BASIS;
use crate::ui::screens::tracking::sample_images::SampleImage;
use crate::ui::state::State;
use crate::ui::state::derived::tracking_analysis::TrackingAnalysis;
use crate::ui::text::exposure::{bare, up_to};
use crate::ui::text::field_card;
use crate::ui::text::tracking as words;

/// Names of the four strategies.
const NAMES: [&str; 4] = [
    "One frame, tripod",
    "Stack, tripod",
    "Tracker",
    "Tracker, stopped down",
];

/// The card.
pub fn strategies_card(state: &State, analysis: &TrackingAnalysis) -> Html {
    let samples = state.tracking.samples.as_ref();
    let strategies = analysis.strategies.all();
    let picture = |(place, (name, strategy)): (usize, (&'static str, &Strategy))| {
        let (frames, result) = words::strategy(strategy);
        let label = format!("{name}: {frames}, {result}, as a patch of the picture");
        let pixels = samples.and_then(|samples| samples.get(place).cloned());
        html! {
            <figure class="way">
                <SampleImage {label} {pixels} theme={state.display.theme} />
                <figcaption>
                    <strong>{ name }</strong>
                    <span>{ frames }</span>
                    <span>{ result }</span>
                </figcaption>
            </figure>
        }
    };
    let pictures = NAMES.into_iter().zip(&strategies).enumerate().map(picture);
    let title = format!(
        "{} at {}, four ways",
        up_to(state.outing().stack_min * 60.0),
        words::lens(analysis.strategies.focal_mm)
    );
    let content = html! {
        <>
            <div class="ways">{ for pictures }</div>
            <p>{ words::sky_short(&analysis.sky) }</p>
            { details("The four in numbers, and what the pictures rest on", numbers(&strategies)) }
        </>
    };
    card(title, content)
}

/// The strategies in numbers, and what the pictures rest on.
fn numbers(strategies: &[Strategy]) -> Html {
    type Cell = fn(&Strategy) -> String;
    let rows: [(&str, Cell); 7] = [
        ("f/", |strategy| plain(strategy.settings.f_number)),
        ("ISO", |strategy| fixed(strategy.settings.iso, 0)),
        ("sky, e⁻", |strategy| {
            words::two_figures(strategy.settings.sky_e())
        }),
        ("glow, e⁻", |strategy| {
            let settings = &strategy.settings;
            words::two_figures(settings.rates.signal_e_s * settings.each_s())
        }),
        ("S/N", words::signal),
        ("files", |strategy| {
            strategy.settings.series.frames.to_string()
        }),
        ("GB", |strategy| {
            bare(&field_card::card(&strategy.settings.series))
        }),
    ];
    let heads = ["way", "one", "stack", "track", "stop"];
    let heads = heads.map(|head| html! { <th scope="col">{ head }</th> });
    let rows = rows.map(|(name, cell)| {
        let cells = strategies
            .iter()
            .map(|strategy| html! { <td>{ cell(strategy) }</td> });
        html! {
            <tr>
                <th scope="row">{ name }</th>
                { for cells }
            </tr>
        }
    });
    html! {
        <>
            <table class="rules lenses">
                <caption class="unseen">{ "The four ways in numbers" }</caption>
                <thead><tr>{ for heads }</tr></thead>
                <tbody>{ for rows }</tbody>
            </table>
            <p>{ "Electrons of one frame: the sky's, and the subject's glow over it." }</p>
            { paragraphs(PICTURE_BASIS) }
        </>
    }
}
