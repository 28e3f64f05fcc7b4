//! A focal length or an f-number typed in.

use yew::prelude::*;

use super::field::Field;
use super::sheet::SheetFrame;
use super::state::{Action, Sheet};
use super::tap::Send;
use crate::decimal::plain;
use crate::outing::bounds::{F_NUMBER, FOCAL_MM};
use crate::outing::plan::Outing;

/// A sheet with one box for what `sheet` names.
pub fn entry_sheet(outing: &Outing, sheet: Sheet, send: &Send) -> Html {
    let focal = sheet == Sheet::Focal;
    let read = Callback::from(move |text: String| {
        if focal {
            FOCAL_MM.read(&text).map(Action::FocalTyped)
        } else {
            let text = text.trim_start_matches("f/");
            F_NUMBER.read(text).map(Action::FNumberTyped)
        }
    });
    let (title, label, unit, value) = if focal {
        let focal_mm = outing.kit.lens.focal_mm;
        (
            "Focal length",
            "True focal length, as printed on the lens",
            "mm",
            focal_mm,
        )
    } else {
        ("f-number", "f-number in use", "", outing.f_number)
    };
    html! {
        <SheetFrame {title} send={send.clone()}>
            <Field id="entry" {label} {unit} value={plain(value)} {read} send={send.clone()} ready=true />
            if focal {
                <p>{ "Not the full-frame equivalent: the sensor's size is reckoned with by itself." }</p>
            }
        </SheetFrame>
    }
}
