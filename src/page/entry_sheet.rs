//! A focal length or an f-number typed in.

use yew::prelude::*;

use super::field::Field;
use super::sheet::SheetFrame;
use super::state::{Action, Sheet};
use crate::outing::bounds::{F_NUMBER, FOCAL_MM};
use crate::outing::form::plain;
use crate::outing::plan::Outing;

/// A sheet with one box for what `sheet` names.
pub fn entry_sheet(outing: &Outing, sheet: Sheet, send: &Callback<Action>) -> Html {
    let onclose = send.reform(|()| Action::SheetClosed);
    let focal = sheet == Sheet::Focal;
    let read = {
        let send = send.clone();
        Callback::from(move |text: String| {
            let action = if focal {
                FOCAL_MM.read(&text).map(Action::FocalTyped)
            } else {
                F_NUMBER
                    .read(text.trim_start_matches("f/"))
                    .map(Action::FNumberTyped)
            };
            action.map(|action| send.emit(action))
        })
    };
    let (title, label, unit, value) = if focal {
        let focal_mm = outing.kit.lens.focal_mm;
        (
            "Focal length",
            "True focal length, as printed on the lens",
            "mm",
            focal_mm,
        )
    } else {
        ("f-number", "f-number", "", outing.f_number)
    };
    html! {
        <SheetFrame {title} {onclose}>
            <Field id="entry" {label} {unit} value={plain(value)} {read} ready=true />
            if focal {
                <p>{ "Not the full-frame equivalent: the sensor's size is reckoned with by itself." }</p>
            }
        </SheetFrame>
    }
}
