//! What Why track? needs under the thumb: the lens looked at, the f-number, the
//! time, and what the camera stands on.

use yew::prelude::*;

use super::deck::f_number;
use super::element::{button, el, said, text};
use super::state::{Action, Sheet};
use super::stepper::{Stepper, stepper};
use super::tap::{Send, tap};
use super::why_words::lens;
use super::words;
use crate::outing::kit::next_focal_mm;
use crate::outing::plan::{Outing, Support};

/// The inputs of Why track?.
pub fn why_inputs(outing: &Outing, tried_mm: f64, send: &Send) -> Vec<Html> {
    let own_mm = outing.kit.lens.focal_mm;
    let tried = |up| Action::LensTried(Some(next_focal_mm(tried_mm, up)));
    let lens = Stepper {
        name: "lens looked at",
        value: lens(tried_mm),
        less: tried(false),
        more: tried(true),
        // a tap goes back to the lens in use, and from there to typing another
        value_tapped: Some(if tried_mm == own_mm {
            Action::SheetOpened(Sheet::Focal)
        } else {
            Action::LensTried(None)
        }),
    };
    let time = Stepper {
        name: "time in all",
        value: words::up_to(outing.stack_min * 60.0),
        less: Action::StackStepped(false),
        more: Action::StackStepped(true),
        value_tapped: Some(Action::SheetOpened(Sheet::Frames)),
    };
    let stands_on = |word: &'static str, support| {
        let pressed = said(outing.support == support).to_owned();
        button(
            &[("class", "word")],
            vec![("aria-pressed", pressed)],
            tap(send, Action::SupportChosen(support)),
            vec![text(word)],
        )
    };
    let support = el(
        "div",
        &[
            ("class", "pair"),
            ("role", "group"),
            ("aria-label", "what the camera stands on"),
        ],
        vec![
            stands_on("tripod", Support::Tripod),
            stands_on("tracker", Support::Tracker),
        ],
    );
    vec![
        stepper(lens, send),
        f_number(outing, send),
        stepper(time, send),
        support,
    ]
}
