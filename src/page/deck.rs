//! The thumb's row: the inputs one changes in the dark, and the sheets.

use yew::prelude::*;

use super::state::{Action, Sheet};
use super::stepper::{Stepper, stepper};
use super::tap::{Send, tap};
use super::words;
use crate::outing::plan::Outing;

/// The steppers and the way to the sheets.
pub fn deck(outing: &Outing, can_undo: bool, send: &Send) -> Html {
    let focal = Stepper {
        name: "focal length",
        value: words::focal(outing.kit.lens.focal_mm),
        less: Action::FocalStepped(false),
        more: Action::FocalStepped(true),
        value_tapped: Some(Action::SheetOpened(Sheet::Focal)),
    };
    let f_number = Stepper {
        name: "f-number",
        value: words::f_stop(outing.f_number),
        less: Action::FNumberStepped(false),
        more: Action::FNumberStepped(true),
        value_tapped: Some(Action::SheetOpened(Sheet::FNumber)),
    };
    let trail = Stepper {
        name: "trail allowed",
        value: words::trail(outing.allowed_px()),
        less: Action::TrailStepped(false),
        more: Action::TrailStepped(true),
        value_tapped: Some(Action::SheetOpened(Sheet::Sharp)),
    };
    let doors = [
        ("Kit", Action::SheetOpened(Sheet::Kit)),
        ("Site", Action::SheetOpened(Sheet::Site)),
        ("Lamp", Action::SheetOpened(Sheet::Lamp)),
        ("Undo", Action::Undone),
    ];
    let door = |(word, action): (&'static str, Action)| {
        let disabled = action == Action::Undone && !can_undo;
        html! {
            <button type="button" {disabled} onclick={tap(send, action)}>{ word }</button>
        }
    };
    html! {
        <nav class="deck" aria-label="inputs and sheets">
            { stepper(focal, send) }
            { stepper(f_number, send) }
            { stepper(trail, send) }
            <button type="button" class="keep" onclick={tap(send, Action::SheetOpened(Sheet::Sharp))}>
                <span class="line">{ "sharp:" }</span>
                <span class="word">{ words::kept_sharp_short(outing.keep_sharp) }</span>
            </button>
            <div class="doors">{ for doors.into_iter().map(door) }</div>
        </nav>
    }
}
