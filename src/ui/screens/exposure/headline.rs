//! The answer: the largest thing on the page.

use yew::prelude::*;

use crate::camera::dial::DialTime;
use crate::outing::exposure::{Answer, ShutterTrails};
use crate::outing::plan::{KeepSharp, Outing};
use crate::ui::text::exposure;
use crate::ui::widgets::element::{Fixed, el, say, text};
use crate::ui::widgets::ridge_ornament::ridge_ornament;

/// Marks so long and longer ones are set smaller, so that both answers stand side by side.
const WIDEST_MARK: usize = 3;

/// The dial time, what it is for, the other of core and whole frame beside it,
/// and what it leaves in a sentence.
pub fn headline(outing: &Outing, answer: &Answer) -> Html {
    let (mark, unit) = exposure::dial(answer.dial());
    let length = mark.chars().count();
    let place = exposure::kept_sharp(outing.keep_sharp, answer.target);
    let beside = match outing.keep_sharp {
        KeepSharp::WholeFrame => (answer.clean_core, exposure::target(answer.target)),
        _ => (answer.clean_frame, "every corner"),
    };
    let (beside_mark, beside_unit) = exposure::dial(DialTime::new(beside.0));
    let trial = ShutterTrails::new(answer, answer.shutter());
    let lasts = answer.dial().shutter().and_then(exposure::lasts);
    let figure = |class, mark, unit| el("span", class, vec![text(mark), say("small", &[], unit)]);
    let large: &'static [Fixed] = match length {
        WIDEST_MARK => &[("class", "figure wide")],
        short if short < WIDEST_MARK => &[("class", "figure")],
        _ => &[("class", "figure wordy")],
    };
    let figures = vec![
        ridge_ornament(),
        el(
            "p",
            &[
                ("id", "answer"),
                ("class", "answer"),
                ("aria-live", "polite"),
            ],
            vec![
                figure(large, mark, unit),
                say("span", &[("class", "for")], format!("for {place}")),
            ],
        ),
        el(
            "p",
            &[("class", "beside")],
            vec![
                figure(&[("class", "figure")], beside_mark, beside_unit),
                say("span", &[("class", "for")], format!("for {}", beside.1)),
            ],
        ),
    ];
    let mut sentence = exposure::verdict(answer, &trial);
    if let Some(lasts) = lasts {
        sentence += &format!(" To be set: {lasts}.");
    }
    el(
        "section",
        &[("class", "verdict"), ("aria-labelledby", "answer")],
        vec![
            el("div", &[("class", "figures")], figures),
            say("p", &[("class", "sentence")], sentence),
        ],
    )
}
