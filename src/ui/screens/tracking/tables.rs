//! The tables behind Why track?: the chart in numbers, and every usual lens.

use yew::prelude::*;

use crate::decimal::fixed;
use crate::ui::screens::card::paragraphs;
use crate::ui::screens::tracking::assumptions::{MATCH_BASIS, REACH_BASIS};
use crate::ui::state::derived::tracking_analysis::{LensRow, TrackingAnalysis};
use crate::ui::text::tracking::{frames_to_match, gain};
use crate::ui::text::units::{bare, seconds};

/// The lines of the chart at usual lenses, and what each rests on.
pub fn reach_table(analysis: &TrackingAnalysis) -> Html {
    let rows = analysis.table.lenses().iter().map(|lens| {
        let reach = &lens.reach;
        let limits_s = [
            reach.tripod_s,
            reach.half_s,
            reach.tracked_s,
            lens.rule_500_s,
        ];
        (reach.focal_mm, limits_s.map(limit))
    });
    let heads = ["mm", "tripod", "half", "tracker", "500"];
    let title = "Longest exposure in seconds, by lens";
    html! {
        <>
            { table(title, heads, rows) }
            { paragraphs(REACH_BASIS) }
        </>
    }
}

/// Clean time, frames, what a stack loses, and frames to match, at usual lenses.
pub fn lenses_table(analysis: &TrackingAnalysis) -> Html {
    let rows = analysis
        .table
        .lenses()
        .iter()
        .map(|LensRow { compared, .. }| {
            let strategies = &compared.strategies;
            let clean_s = strategies.clean.seconds();
            let cells = [
                limit(clean_s.unwrap_or(f64::INFINITY)),
                strategies.stack.settings.series.frames.to_string(),
                breaking(&gain(compared)),
                breaking(&frames_to_match(compared)),
            ];
            (strategies.focal_mm, cells)
        });
    let heads = ["mm", "clean, s", "frames", "S/N", "to match"];
    let title = "Clean time, frames in the time, gain of a tracker, frames to match it";
    html! {
        <>
            { table(title, heads, rows) }
            { paragraphs(MATCH_BASIS) }
        </>
    }
}

/// A range that may go on in the next line after its dash.
fn breaking(range: &str) -> String {
    range.replace('–', "–\u{200b}")
}

/// A limit in seconds without its unit; none is searched for beyond half an hour.
fn limit(limit_s: f64) -> String {
    if limit_s.is_finite() {
        bare(&seconds(limit_s))
    } else {
        ">1800".to_owned()
    }
}

/// A table with a row for each focal length, mm.
fn table(
    title: &'static str,
    heads: [&'static str; 5],
    rows: impl Iterator<Item = (f64, [String; 4])>,
) -> Html {
    let heads = heads.map(|head| html! { <th scope="col">{ head }</th> });
    let rows = rows.map(|(focal_mm, cells)| {
        html! {
            <tr>
                <th scope="row">{ fixed(focal_mm, 0) }</th>
                { for cells.map(|cell| html! { <td>{ cell }</td> }) }
            </tr>
        }
    });
    html! {
        <table class="rules lenses">
            <caption class="unseen">{ title }</caption>
            <thead><tr>{ for heads }</tr></thead>
            <tbody>{ for rows }</tbody>
        </table>
    }
}
