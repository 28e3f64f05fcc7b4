//! What Why track? needs under the thumb: the lens looked at, the f-number, the
//! time, and what the camera stands on.

use yew::prelude::*;

use super::element::{button, said, text};
use super::state::{Action, Sheet};
use super::stepper::{Stepper, stepper};
use super::tap::{Send, tap};
use super::why_words::{lasting, lens};
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
        // a tap goes back to the lens in use
        value_tapped: (tried_mm != own_mm).then_some(Action::LensTried(None)),
    };
    let f_number = Stepper {
        name: "f-number",
        value: words::f_stop(outing.f_number),
        less: Action::FNumberStepped(false),
        more: Action::FNumberStepped(true),
        value_tapped: Some(Action::SheetOpened(Sheet::FNumber)),
    };
    let time = Stepper {
        name: "time in all",
        value: lasting(outing.stack_min * 60.0),
        less: Action::StackStepped(false),
        more: Action::StackStepped(true),
        value_tapped: Some(Action::SheetOpened(Sheet::Frames)),
    };
    let on_tracker = outing.support == Support::Tracker;
    let (word, other) = if on_tracker {
        ("on the tracker", Support::Tripod)
    } else {
        ("on the tripod", Support::Tracker)
    };
    let support = button(
        &[("class", "word")],
        vec![("aria-pressed", said(on_tracker).to_owned())],
        tap(send, Action::SupportChosen(other)),
        vec![text(word)],
    );
    vec![
        stepper(lens, send),
        stepper(f_number, send),
        stepper(time, send),
        support,
    ]
}
