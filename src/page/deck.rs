//! The thumb's row: the inputs one changes in the dark, and the sheets.

use yew::prelude::*;

use super::element::{button, el, say, text};
use super::state::{Action, Screen, Sheet};
use super::stepper::{Stepper, stepper};
use super::tap::{Send, tap};
use super::words;
use crate::outing::plan::Outing;

/// What the screen needs under the thumb, the sheets, and the questions.
pub fn deck(inputs: Vec<Html>, screen: Screen, can_undo: bool, send: &Send) -> Html {
    let doors = [
        ("Kit", Action::SheetOpened(Sheet::Kit)),
        ("Site", Action::SheetOpened(Sheet::Site)),
        ("Card", Action::SheetOpened(Sheet::Card)),
        ("Lamp", Action::SheetOpened(Sheet::Lamp)),
        ("Undo", Action::Undone),
    ];
    let door = |(word, action): (&'static str, Action)| {
        let disabled = matches!(action, Action::Undone) && !can_undo;
        let state = if disabled {
            vec![("disabled", String::new())]
        } else {
            Vec::new()
        };
        button(&[], state, tap(send, action), vec![text(word)])
    };
    let question = |(word, of): (&'static str, Screen)| {
        let current = if of == screen { "page" } else { "false" };
        button(
            &[],
            vec![("aria-current", current.to_owned())],
            tap(send, Action::ScreenChosen(of)),
            vec![text(word)],
        )
    };
    let questions = [
        ("How long?", Screen::HowLong),
        ("When?", Screen::When),
        ("Where?", Screen::Where),
        ("Why track?", Screen::Why),
    ];
    let mut rows = inputs;
    rows.push(el(
        "div",
        &[("class", "doors")],
        doors.into_iter().map(door).collect(),
    ));
    rows.push(el(
        "div",
        &[("class", "questions")],
        questions.into_iter().map(question).collect(),
    ));
    el(
        "nav",
        &[
            ("class", "deck"),
            ("aria-label", "inputs, sheets and questions"),
        ],
        rows,
    )
}

/// The inputs of How long?.
pub fn how_long_inputs(outing: &Outing, send: &Send) -> Vec<Html> {
    let focal = Stepper {
        name: "focal length",
        value: words::focal(outing.kit.lens.focal_mm),
        less: Action::FocalStepped(false),
        more: Action::FocalStepped(true),
        value_tapped: Some(Action::SheetOpened(Sheet::Focal)),
    };
    let trail = Stepper {
        name: "trail allowed",
        value: words::trail(outing.allowed_px()),
        less: Action::TrailStepped(false),
        more: Action::TrailStepped(true),
        value_tapped: Some(Action::SheetOpened(Sheet::Sharp)),
    };
    let keep = button(
        &[("class", "keep")],
        Vec::new(),
        tap(send, Action::SheetOpened(Sheet::Sharp)),
        vec![
            say("span", &[("class", "line")], "sharp:"),
            say(
                "span",
                &[("class", "word")],
                words::kept_sharp_short(outing.keep_sharp),
            ),
        ],
    );
    vec![
        stepper(focal, send),
        f_number(outing, send),
        stepper(trail, send),
        keep,
    ]
}

/// The f-number in use.
pub fn f_number(outing: &Outing, send: &Send) -> Html {
    let f_number = Stepper {
        name: "f-number",
        value: words::f_stop(outing.f_number),
        less: Action::FNumberStepped(false),
        more: Action::FNumberStepped(true),
        value_tapped: Some(Action::SheetOpened(Sheet::FNumber)),
    };
    stepper(f_number, send)
}
