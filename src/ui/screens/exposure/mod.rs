//! How long? – the shutter time, what it leaves, and why.

pub mod controls;
mod drift_map;
mod focus_card;
mod headline;
mod loupes;
mod rules_table;

use crate::ui::state::document::framing::FramingEdit;
use crate::ui::state::routes::RouteAction;
use crate::ui::state::views::ExposureAction;
use yew::prelude::*;

use crate::outing::exposure::{Answer, ShutterTrails};
use crate::outing::plan::{Orientation, Outing};
use crate::ui::screens::exposure::drift_map::map;
use crate::ui::screens::exposure::focus_card::focus_card;
use crate::ui::screens::exposure::headline::headline;
use crate::ui::screens::exposure::loupes::loupes;
use crate::ui::screens::exposure::rules_table::rules_table;
use crate::ui::state::State;
use crate::ui::state::routes::Sheet;
use crate::ui::text::aim;
use crate::ui::text::exposure;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::element::{all, button, el, say, text};
use crate::ui::widgets::safety_note::safety_note;
use crate::ui::widgets::stepper::{Stepper, stepper};
use crate::ui::widgets::toggle_group::{ToggleGroup, toggle_group};

/// The screen.
pub fn exposure_screen(state: &State, answer: &Answer, dispatch: &Dispatch) -> Html {
    let outing = state.outing();
    let shutter = answer.shutter().stepped(state.exposure.tried_thirds);
    let trial = ShutterTrails::new(answer, shutter);
    let line = |message: String, sheet: Sheet| {
        let opened = on_click(dispatch, RouteAction::Open(sheet));
        button(
            &[("class", "line")],
            Vec::new(),
            opened,
            vec![text(message)],
        )
    };
    let star = vec![
        loupes(outing, answer, &trial),
        try_stepper(&trial, state.exposure.tried_thirds, dispatch),
    ];
    let allowed = exposure::trail(answer.allowed_px);
    let frame = vec![
        map(answer, &trial),
        say(
            "p",
            &[("class", "legend")],
            format!("Heavy line: {allowed}. Hatched: longer."),
        ),
        held_choice(outing, dispatch),
    ];
    let rules = vec![rules_table(answer, state.exposure.open_rule, dispatch)];
    let tried = exposure::shutter(shutter);
    all(vec![
        line(exposure::kit(&outing.kit, outing.f_number), Sheet::Kit),
        headline(outing, answer),
        line(aim::aim(outing), Sheet::Site),
        el(
            "section",
            &[("aria-label", "the star, pixel by pixel")],
            star,
        ),
        card(format!("Trails over the frame, px, at {tried}"), frame),
        card("The rules beside it, trails in px".to_owned(), rules),
        focus_card(outing, dispatch),
        safety_note(),
    ])
}

fn card(title: String, parts: Vec<Html>) -> Html {
    let title = say("h2", &[], title);
    let parts = std::iter::once(title).chain(parts).collect();
    el("section", &[("class", "card")], parts)
}

fn try_stepper(trial: &ShutterTrails, thirds: i32, dispatch: &Dispatch) -> Html {
    // at the end of the dial a press counts for nothing
    let step = |by: i32| {
        let moves = trial.shutter.stepped(by) != trial.shutter;
        ExposureAction::TryShutter(if moves { by } else { 0 }).into()
    };
    let tried = Stepper {
        name: "shutter to try",
        value: format!("try {}", exposure::shutter(trial.shutter)),
        less: step(-1),
        more: step(1),
        // a tap goes back to the answer
        value_tapped: (thirds != 0).then_some(ExposureAction::TryShutter(-thirds).into()),
    };
    el("div", &[("class", "try")], vec![stepper(tried, dispatch)])
}

/// Level or upright.
pub fn held_choice(outing: &Outing, dispatch: &Dispatch) -> Html {
    let ways = ToggleGroup {
        name: "camera held",
        options: &[
            (
                "level",
                "",
                FramingEdit::Orientation(Orientation::Landscape).into(),
            ),
            (
                "upright",
                "",
                FramingEdit::Orientation(Orientation::Portrait).into(),
            ),
        ],
        chosen: Some(usize::from(outing.orientation == Orientation::Portrait)),
        tall: false,
    };
    toggle_group(&ways, dispatch)
}
