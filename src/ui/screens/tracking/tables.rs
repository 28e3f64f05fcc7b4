//! The tables behind Why track?: the chart in numbers, and every usual lens.

use yew::prelude::*;

use crate::camera::rules::Rule;
use crate::outing::exposure::by_focal_length::by_rule;
use crate::outing::plan::Outing;
use crate::ui::screens::tracking::assumptions::{MATCH_BASIS, REACH_BASIS};
use crate::ui::state::derived::tracking_analysis::TrackingAnalysis;
use crate::ui::text::exposure::{bare, seconds};
use crate::ui::text::tracking::{frames_to_match, gain};
use crate::ui::widgets::element::{el, say};

/// The lines of the chart at usual lenses, and what each rests on.
pub fn reach_table(outing: &Outing, analysis: &TrackingAnalysis) -> Vec<Html> {
    let rows = analysis.table.lenses.iter().map(|compared| {
        let focal_mm = compared.strategies.focal_mm;
        let reach = analysis.table.reaches.at(outing, focal_mm);
        let cells = [
            reach.tripod_s,
            reach.half_s,
            reach.tracked_s,
            by_rule(outing, Rule::FiveHundred, focal_mm),
        ];
        (focal_mm, cells.map(limit).into())
    });
    let heads = ["mm", "tripod", "half", "tracker", "500"];
    let mut parts = vec![table(
        "Longest exposure in seconds, by lens",
        &heads,
        rows.collect(),
    )];
    parts.extend(REACH_BASIS.iter().map(|message| say("p", &[], *message)));
    parts
}

/// Clean time, frames, what a stack loses, and frames to match, at usual lenses.
pub fn lenses_table(analysis: &TrackingAnalysis) -> Vec<Html> {
    let rows = analysis.table.lenses.iter().map(|compared| {
        let ways = &compared.strategies;
        let clean_s = ways.clean.seconds();
        let cells = vec![
            limit(clean_s.unwrap_or(f64::INFINITY)),
            ways.stack.settings.series.frames.to_string(),
            breaking(&gain(compared)),
            breaking(&frames_to_match(compared)),
        ];
        (ways.focal_mm, cells)
    });
    let heads = ["mm", "clean, s", "frames", "S/N", "to match"];
    let title = "Clean time, frames in the time, gain of a tracker, frames to match it";
    let mut parts = vec![table(title, &heads, rows.collect())];
    parts.extend(MATCH_BASIS.iter().map(|message| say("p", &[], *message)));
    parts
}

/// A range that may go on in the next line after its dash.
fn breaking(range: &str) -> String {
    range.replace('–', "–\u{200b}")
}

/// A limit in seconds without its unit; beyond half an hour none is looked for.
fn limit(limit_s: f64) -> String {
    if limit_s.is_finite() {
        bare(&seconds(limit_s))
    } else {
        ">1800".to_owned()
    }
}

fn table(title: &'static str, heads: &[&'static str], rows: Vec<(f64, Vec<String>)>) -> Html {
    let heads = heads
        .iter()
        .map(|head| say("th", &[("scope", "col")], *head));
    let rows = rows.into_iter().map(|(focal_mm, cells)| {
        let name = say(
            "th",
            &[("scope", "row")],
            crate::decimal::fixed(focal_mm, 0),
        );
        let cells = cells.into_iter().map(|cell| say("td", &[], cell));
        el("tr", &[], std::iter::once(name).chain(cells).collect())
    });
    el(
        "table",
        &[("class", "rules lenses")],
        vec![
            say("caption", &[("class", "unseen")], title),
            el("thead", &[], vec![el("tr", &[], heads.collect())]),
            el("tbody", &[], rows.collect()),
        ],
    )
}
