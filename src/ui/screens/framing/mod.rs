//! Where? – the view through the lens, and where the core clears the ridge.

mod camera_view;
pub mod controls;
mod draggable;

use crate::ui::state::document::framing::FramingEdit;
use crate::ui::state::routes::RouteAction;
use crate::ui::state::views::FramingAction;
use yew::prelude::*;

use crate::camera::view::SensorPoint;
use crate::outing::exposure::Answer;
use crate::outing::plan::Outing;
use crate::outing::plan::pointing::Pointing;
use crate::ui::screens::exposure::held_choice;
use crate::ui::screens::framing::camera_view::camera_view;
use crate::ui::state::State;
use crate::ui::state::derived::selected_night::{MoonSunCrossings, SelectedNight};
use crate::ui::state::routes::Sheet;
use crate::ui::text::exposure as shutter_words;
use crate::ui::text::framing as words;
use crate::ui::text::night;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::element::{all, button, el, nothing, say, text};
use crate::ui::widgets::safety_note::safety_note;
use crate::ui::widgets::toggle_group::{ToggleGroup, toggle_group};

/// The screen.
pub fn framing_screen(
    state: &State,
    answer: &Answer,
    (shown, crossings): (&SelectedNight, Option<&MoonSunCrossings>),
    dispatch: &Dispatch,
) -> Html {
    let outing = state.outing();
    let line = |message: String, sheet: Sheet| {
        let opened = on_click(dispatch, RouteAction::Open(sheet));
        button(
            &[("class", "line")],
            Vec::new(),
            opened,
            vec![text(message)],
        )
    };
    let laid = state.framing.drift_map;
    let drift = ToggleGroup {
        name: "drift map over the view",
        options: &[
            ("sky alone", "", FramingAction::ShowDriftMap(false).into()),
            (
                "with the drift map",
                "",
                FramingAction::ShowDriftMap(true).into(),
            ),
        ],
        chosen: Some(usize::from(laid)),
        tall: false,
    };
    // a drawing that is held must stay in its place while all about it is drawn anew
    let freed = if outing.frame.is_some() {
        button(
            &[("class", "wide")],
            Vec::new(),
            on_click(dispatch, FramingEdit::FollowCore),
            vec![text("Follow the core again")],
        )
    } else {
        nothing()
    };
    let view = vec![
        camera_view(outing, answer, shown, laid, dispatch),
        say(
            "p",
            &[("class", "legend")],
            words::legend(outing, answer, laid),
        ),
        core_here(outing, shown, dispatch),
        held_choice(outing, dispatch),
        toggle_group(&drift, dispatch),
        freed,
    ];
    all(vec![
        line(night::site(&outing.site), Sheet::Site),
        verdict(answer, shown),
        el(
            "section",
            &[
                ("class", "through"),
                ("aria-label", "the view through the lens"),
            ],
            view,
        ),
        say(
            "p",
            &[("class", "others")],
            words::crossings(shown, crossings),
        ),
        line(words::skyline(outing), Sheet::Skyline),
        line(words::panorama_door(), Sheet::Panorama),
        safety_note(),
    ])
}

/// Where the core stands: the largest thing on the screen; beside it what this
/// frame allows.
fn verdict(answer: &Answer, shown: &SelectedNight) -> Html {
    let (bearing, under) = words::core(shown);
    let (mark, unit) = shutter_words::dial(answer.dial());
    let parts = vec![
        say("p", &[("class", "of-night")], words::moment(shown)),
        el(
            "p",
            &[
                ("id", "answer"),
                ("class", "answer"),
                ("aria-live", "polite"),
            ],
            vec![
                say("span", &[("class", "figure hours")], bearing),
                say("span", &[("class", "for")], under),
            ],
        ),
        el(
            "p",
            &[("class", "beside")],
            vec![
                el(
                    "span",
                    &[("class", "figure")],
                    vec![text(mark), say("small", &[], unit)],
                ),
                say("span", &[("class", "for")], "clean time"),
            ],
        ),
    ];
    el(
        "section",
        &[("class", "verdict"), ("aria-labelledby", "answer")],
        vec![
            el("div", &[("class", "figures low")], parts),
            say("p", &[("class", "sentence")], words::sentence(shown)),
        ],
    )
}

/// Puts the core on a third of the frame, or in its middle.
fn core_here(outing: &Outing, shown: &SelectedNight, dispatch: &Dispatch) -> Html {
    let stands = shown.reading.core;
    let looks = shown.night.site_sky.apparent_altitude(stands).0;
    let sensor = outing.view().sensor;
    let put = |across: f64, up: f64| {
        let point = SensorPoint {
            x_mm: across * sensor.width_mm / 6.0,
            y_mm: up * sensor.height_mm / 6.0,
        };
        let frame = Pointing::frame_with(outing, (stands.bearing, looks), point);
        FramingEdit::Point(shown.night.date, shown.minute, frame).into()
    };
    let thirds = ToggleGroup {
        name: "put the core here",
        options: &[
            ("core left", "", put(-1.0, 1.0)),
            ("middle", "", put(0.0, 0.0)),
            ("right", "", put(1.0, 1.0)),
        ],
        chosen: None,
        tall: false,
    };
    toggle_group(&thirds, dispatch)
}
