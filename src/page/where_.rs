//! Where? – the view through the lens, and where the core clears the ridge.

use yew::prelude::*;

use super::care::care;
use super::choice::{Choice, choice};
use super::element::{all, button, el, nothing, say, text};
use super::how_long::held_choice;
use super::lens_view::lens_view;
use super::night_words;
use super::shown::{Others, Shown};
use super::state::{Action, Sheet, State};
use super::tap::{Send, tap};
use super::where_words as words;
use super::words as shutter_words;
use crate::camera::view::SensorPoint;
use crate::outing::aim::Aim;
use crate::outing::answer::Answer;
use crate::outing::plan::Outing;

/// The screen.
pub fn where_(
    state: &State,
    answer: &Answer,
    (shown, others): (&Shown, Option<&Others>),
    send: &Send,
) -> Html {
    let outing = &state.kept.outing;
    let line = |said: String, sheet: Sheet| {
        let opened = tap(send, Action::SheetOpened(sheet));
        button(&[("class", "line")], Vec::new(), opened, vec![text(said)])
    };
    let laid = state.drift_laid;
    let drift = Choice {
        name: "drift map over the view",
        options: &[
            ("sky alone", "", Action::DriftLaid(false)),
            ("with the drift map", "", Action::DriftLaid(true)),
        ],
        chosen: Some(usize::from(laid)),
        tall: false,
    };
    // a drawing that is held must stay in its place while all about it is drawn anew
    let freed = if outing.frame.is_some() {
        button(
            &[("class", "wide")],
            Vec::new(),
            tap(send, Action::FrameFreed),
            vec![text("Follow the core again")],
        )
    } else {
        nothing()
    };
    let view = vec![
        lens_view(outing, answer, shown, laid, send),
        say(
            "p",
            &[("class", "legend")],
            words::legend(outing, answer, laid),
        ),
        core_here(outing, shown, send),
        held_choice(outing, send),
        choice(&drift, send),
        freed,
    ];
    all(vec![
        line(night_words::site(&outing.site), Sheet::Site),
        verdict(answer, shown),
        el(
            "section",
            &[
                ("class", "through"),
                ("aria-label", "the view through the lens"),
            ],
            view,
        ),
        say("p", &[("class", "others")], words::others(shown, others)),
        line(words::skyline(outing), Sheet::Skyline),
        line(words::panorama_door(), Sheet::Panorama),
        care(),
    ])
}

/// Where the core stands: the largest thing on the screen; beside it what this
/// frame allows.
fn verdict(answer: &Answer, shown: &Shown) -> Html {
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
fn core_here(outing: &Outing, shown: &Shown, send: &Send) -> Html {
    let stands = shown.reading.core;
    let looks = shown.watch.apparent(stands).0;
    let sensor = outing.view().sensor;
    let put = |across: f64, up: f64| {
        let point = SensorPoint {
            x_mm: across * sensor.width_mm / 6.0,
            y_mm: up * sensor.height_mm / 6.0,
        };
        let frame = Aim::frame_with(outing, (stands.bearing, looks), point);
        Action::Framed(shown.date, shown.minute, frame)
    };
    let thirds = Choice {
        name: "put the core here",
        options: &[
            ("core left", "", put(-1.0, 1.0)),
            ("middle", "", put(0.0, 0.0)),
            ("right", "", put(1.0, 1.0)),
        ],
        chosen: None,
        tall: false,
    };
    choice(&thirds, send)
}
