//! A focal length or an f-number typed in.

use yew::prelude::*;

use crate::decimal::plain;
use crate::outing::document::Document;
use crate::outing::plan::Outing;
use crate::outing::plan::bounds::{Bounds, F_NUMBER, FOCAL_MM};
use crate::ui::sheets::kit::own_lenses;
use crate::ui::state::document::exposure::ExposureEdit;
use crate::ui::state::document::kit::KitEdit;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::text_field::{About, Read, TextField, text_field};

const NOT_EQUIVALENT: &str = "As printed on the lens, not its full-frame equivalent.";

/// The sheet for the focal length, with the user's own lenses.
pub fn focal_length_sheet(document: &Document, dispatch: &Dispatch) -> Html {
    let focal_mm = document.outing.kit.lens.focal_mm;
    let field = entry_field(("entry", "Focal length", "mm"), focal_mm, FOCAL_MM);
    let read: Read = Callback::from(|text: String| {
        let focal_mm = FOCAL_MM.read(&text)?;
        Ok(KitEdit::FocalLength(focal_mm).into())
    });
    let content = html! {
        <>
            { own_lenses(document, dispatch) }
            { text_field(field, read, dispatch) }
            <p class="legend">{ NOT_EQUIVALENT }</p>
        </>
    };
    dialog("Focal length", vec![content], dispatch)
}

/// The sheet for the f-number.
pub fn f_number_sheet(outing: &Outing, dispatch: &Dispatch) -> Html {
    let field = entry_field(("entry", "f-number", ""), outing.f_number, F_NUMBER);
    let read: Read = Callback::from(|text: String| {
        let number = text.strip_prefix("f/").unwrap_or(&text);
        let f_number = F_NUMBER.read(number)?;
        Ok(ExposureEdit::FNumber(f_number).into())
    });
    let content = text_field(field, read, dispatch);
    dialog("f-number", vec![content], dispatch)
}

/// The only field of a sheet, which has the focus when that opens.
fn entry_field(about: About, value: f64, bounds: Bounds) -> TextField {
    TextField {
        ready: true,
        ..TextField::digits(about, plain(value)).stepped(bounds)
    }
}
