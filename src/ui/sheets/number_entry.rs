//! A focal length or an f-number typed in.

use yew::prelude::*;

use crate::decimal::plain;
use crate::outing::plan::Outing;
use crate::outing::plan::bounds::{F_NUMBER, FOCAL_MM};
use crate::ui::state::document::exposure::ExposureEdit;
use crate::ui::state::document::kit::KitEdit;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::text_field::{Read, TextField, text_field};

const NOT_EQUIVALENT: &str =
    "Not the full-frame equivalent: the sensor's size is reckoned with by itself.";

/// The sheet for the focal length.
pub fn focal_length_sheet(outing: &Outing, dispatch: &Dispatch) -> Html {
    let field = entry_field(
        "Focal length, as printed on the lens",
        "mm",
        outing.kit.lens.focal_mm,
    );
    let read: Read = Callback::from(|text: String| {
        let focal_mm = FOCAL_MM.read(&text)?;
        Ok(KitEdit::FocalLength(focal_mm).into())
    });
    let content = html! {
        <>
            { text_field(field, read, dispatch) }
            <p>{ NOT_EQUIVALENT }</p>
        </>
    };
    dialog("Focal length", vec![content], dispatch)
}

/// The sheet for the f-number.
pub fn f_number_sheet(outing: &Outing, dispatch: &Dispatch) -> Html {
    let field = entry_field("f-number in use", "", outing.f_number);
    let read: Read = Callback::from(|text: String| {
        let number = text.strip_prefix("f/").unwrap_or(&text);
        let f_number = F_NUMBER.read(number)?;
        Ok(ExposureEdit::FNumber(f_number).into())
    });
    let content = text_field(field, read, dispatch);
    dialog("f-number", vec![content], dispatch)
}

/// The only field of a sheet, which has the focus when that opens.
fn entry_field(label: &'static str, unit: &'static str, value: f64) -> TextField {
    TextField {
        ready: true,
        ..TextField::digits(("entry", label, unit), plain(value))
    }
}
