//! The same time spent in four ways, in numbers.

use yew::prelude::*;

use crate::decimal::{fixed, plain};
use crate::outing::exposure::strategies::Strategy;
use crate::ui::screens::card::paragraphs;
use crate::ui::screens::tracking::assumptions::PICTURE_BASIS;
use crate::ui::state::derived::tracking_analysis::TrackingAnalysis;
use crate::ui::text::field_card;
use crate::ui::text::tracking as words;
use crate::ui::text::units::{bare, trail};

/// The four strategies, and what the picture rests on.
pub fn strategy_table(analysis: &TrackingAnalysis) -> Html {
    type Cell = fn(&Strategy) -> String;
    let strategies = analysis.strategies.all();
    let rows: [(&str, Cell); 9] = [
        ("f/", |strategy| plain(strategy.settings.f_number)),
        ("ISO", |strategy| fixed(strategy.settings.iso, 0)),
        ("frames", |strategy| {
            strategy.settings.series.frames.to_string()
        }),
        ("of, s", |strategy| strategy.settings.series.shutter.mark()),
        ("trail, px", |strategy| bare(&trail(strategy.trail_px))),
        ("sky, e⁻", |strategy| {
            words::two_figures(strategy.settings.sky_e())
        }),
        ("glow, e⁻", |strategy| {
            let settings = &strategy.settings;
            words::two_figures(settings.rates.signal_e_s * settings.each_s())
        }),
        ("S/N", words::signal),
        ("GB", |strategy| {
            bare(&field_card::card(&strategy.settings.series))
        }),
    ];
    let heads = ["one", "stack", "track", "stop"];
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
                <thead>
                    <tr>
                        <td />
                        { for heads }
                    </tr>
                </thead>
                <tbody>{ for rows }</tbody>
            </table>
            <p>
                { "One frame and a stack on the tripod, a tracker, a tracker with the lens stopped \
                   down. Electrons of one frame: the sky's, and the subject's glow over it." }
            </p>
            { paragraphs(PICTURE_BASIS) }
        </>
    }
}
