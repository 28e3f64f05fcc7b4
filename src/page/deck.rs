//! The thumb's row: the inputs one changes in the dark, and the sheets.

use yew::prelude::*;

use super::state::{Action, Sheet};
use super::stepper::stepper;
use super::words;
use crate::outing::plan::Outing;

/// The steppers and the way to the sheets.
pub fn deck(outing: &Outing, can_undo: bool, send: &Callback<Action>) -> Html {
    let open = |sheet: Sheet| send.reform(move |()| Action::SheetOpened(sheet));
    let tap = |sheet: Sheet| send.reform(move |_: MouseEvent| Action::SheetOpened(sheet));
    let keep = words::kept_sharp_short(outing.keep_sharp);
    html! {
        <nav class="deck" aria-label="inputs and sheets">
            { stepper(
                "focal length",
                &words::focal(outing.kit.lens.focal_mm),
                &send.reform(Action::FocalStepped),
                Some(&open(Sheet::Focal)),
            ) }
            { stepper(
                "f-number",
                &words::f_stop(outing.f_number),
                &send.reform(Action::FNumberStepped),
                Some(&open(Sheet::FNumber)),
            ) }
            { stepper(
                "trail allowed",
                &words::trail(outing.allowed_px()),
                &send.reform(Action::TrailStepped),
                Some(&open(Sheet::Sharp)),
            ) }
            <button type="button" class="keep" onclick={tap(Sheet::Sharp)}>
                <span class="line">{ "sharp:" }</span>
                <span class="word">{ keep }</span>
            </button>
            <div class="doors">
                <button type="button" onclick={tap(Sheet::Kit)}>{ "Kit" }</button>
                <button type="button" onclick={tap(Sheet::Site)}>{ "Site" }</button>
                <button type="button" onclick={tap(Sheet::Lamp)}>{ "Lamp" }</button>
                <button type="button" disabled={!can_undo} onclick={send.reform(|_: MouseEvent| Action::Undone)}>
                    { "Undo" }
                </button>
            </div>
        </nav>
    }
}
