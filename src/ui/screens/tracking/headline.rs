//! The opening sentence, what to take, and how many times longer a tripod needs.

use yew::prelude::*;

use crate::outing::plan::Outing;
use crate::ui::state::derived::tracking_analysis::TrackingAnalysis;
use crate::ui::text::tracking as words;
use crate::ui::widgets::element::{Fixed, el, nothing, say};

/// The headline.
pub fn headline(outing: &Outing, analysis: &TrackingAnalysis) -> Html {
    let compared = &analysis.compared;
    let focal_mm = analysis.strategies.focal_mm;
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
                words::recommendation(compared).to_owned(),
            ),
            say(
                "span",
                &[("class", "for")],
                format!("for {}", words::lens(focal_mm)),
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
            say("p", &[("class", "lead")], words::opening(outing, focal_mm)),
            el("div", &[("class", "figures low")], vec![answer, beside]),
            say(
                "p",
                &[("class", "sentence")],
                words::match_summary(compared, outing),
            ),
            words::not_dark(&analysis.sky).map_or_else(nothing, |message| {
                say("p", &[("class", "sentence")], message)
            }),
        ],
    )
}
