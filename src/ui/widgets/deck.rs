//! The thumb's row: the inputs one changes in the dark, and the sheets.

use yew::prelude::*;

use crate::outing::plan::Outing;
use crate::ui::state::action::Action;
use crate::ui::state::routes::{Screen, Sheet};
use crate::ui::text::exposure;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::element::{button, el, say, text};
use crate::ui::widgets::stepper::{Stepper, stepper};

/// What the screen needs under the thumb, the sheets, and the questions.
pub fn deck(inputs: Vec<Html>, screen: Screen, can_undo: bool, dispatch: &Dispatch) -> Html {
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
        button(&[], state, on_click(dispatch, action), vec![text(word)])
    };
    let question = |(word, of): (&'static str, Screen)| {
        let current = if of == screen { "page" } else { "false" };
        button(
            &[],
            vec![("aria-current", current.to_owned())],
            on_click(dispatch, Action::ScreenChosen(of)),
            vec![text(word)],
        )
    };
    let questions = [
        ("How long?", Screen::Exposure),
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
pub fn exposure_controls(outing: &Outing, dispatch: &Dispatch) -> Vec<Html> {
    let focal = Stepper {
        name: "focal length",
        value: exposure::focal(outing.kit.lens.focal_mm),
        less: Action::FocalStepped(false),
        more: Action::FocalStepped(true),
        value_tapped: Some(Action::SheetOpened(Sheet::Focal)),
    };
    let trail = Stepper {
        name: "trail allowed",
        value: exposure::trail(outing.allowed_px()),
        less: Action::TrailStepped(false),
        more: Action::TrailStepped(true),
        value_tapped: Some(Action::SheetOpened(Sheet::Sharp)),
    };
    let keep = button(
        &[("class", "keep")],
        Vec::new(),
        on_click(dispatch, Action::SheetOpened(Sheet::Sharp)),
        vec![
            say("span", &[("class", "line")], "sharp:"),
            say(
                "span",
                &[("class", "word")],
                exposure::kept_sharp_short(outing.keep_sharp),
            ),
        ],
    );
    vec![
        stepper(focal, dispatch),
        f_number(outing, dispatch),
        stepper(trail, dispatch),
        keep,
    ]
}

/// The f-number in use.
pub fn f_number(outing: &Outing, dispatch: &Dispatch) -> Html {
    let f_number = Stepper {
        name: "f-number",
        value: exposure::f_stop(outing.f_number),
        less: Action::FNumberStepped(false),
        more: Action::FNumberStepped(true),
        value_tapped: Some(Action::SheetOpened(Sheet::FNumber)),
    };
    stepper(f_number, dispatch)
}
