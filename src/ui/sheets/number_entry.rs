//! A focal length or an f-number typed in.

use yew::prelude::*;

use crate::decimal::plain;
use crate::outing::plan::Outing;
use crate::outing::plan::bounds::{F_NUMBER, FOCAL_MM};
use crate::ui::state::action::Action;
use crate::ui::state::routes::Sheet;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::element::{nothing, say};
use crate::ui::widgets::text_field::{TextField, text_field};

/// A sheet with one box for what `typed` names.
pub fn number_entry_sheet(outing: &Outing, typed: Sheet, dispatch: &Dispatch) -> Html {
    let focal = typed == Sheet::Focal;
    let read = Callback::from(move |text: String| {
        if focal {
            FOCAL_MM.read(&text).map(Action::FocalTyped)
        } else {
            let text = text.strip_prefix("f/").unwrap_or(&text);
            F_NUMBER.read(text).map(Action::FNumberTyped)
        }
    });
    let (title, label, unit, value) = if focal {
        let focal_mm = outing.kit.lens.focal_mm;
        (
            "Focal length",
            "Focal length, as printed on the lens",
            "mm",
            focal_mm,
        )
    } else {
        ("f-number", "f-number in use", "", outing.f_number)
    };
    let entry = TextField {
        id: "entry",
        label,
        unit,
        value: plain(value),
        digits: true,
        ready: true,
        live: false,
    };
    let advice = if focal {
        let true_length =
            "Not the full-frame equivalent: the sensor's size is reckoned with by itself.";
        say("p", &[], true_length)
    } else {
        nothing()
    };
    dialog(
        title,
        vec![text_field(entry, read, dispatch), advice],
        dispatch,
    )
}
