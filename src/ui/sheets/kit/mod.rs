//! Kits: bodies and lenses, several saved, one in use.

mod body_fields;
mod lens_fields;
mod photo_button;
mod real_lens_fields;

use yew::prelude::*;

use crate::outing::document::Document;
use crate::outing::plan::kit::Kit;
use crate::ui::sheets::kit::body_fields::body_fields;
use crate::ui::sheets::kit::lens_fields::{lens_fields, name_field};
use crate::ui::sheets::kit::photo_button::photo_button;
use crate::ui::state::State;
use crate::ui::state::document::lists::ListsEdit;
use crate::ui::text::exposure;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::toggle_group::option;

/// The sheet.
pub fn kit_sheet(state: &State, dispatch: &Dispatch) -> Html {
    let document = state.document();
    let kit = &document.outing.kit;
    let content = html! {
        <>
            { saved_kits(document, dispatch) }
            <h3>{ "In use" }</h3>
            <p class="in-use" role="status">{ exposure::kit(kit, document.outing.f_number) }</p>
            { photo_button(state.photo.as_deref(), dispatch) }
            { body_fields(kit, dispatch) }
            { lens_fields(kit, dispatch) }
            { name_field(kit, dispatch) }
            { save_button(document.kits.contains(kit), dispatch) }
        </>
    };
    dialog("Kit", vec![content], dispatch)
}

fn save_button(saved: bool, dispatch: &Dispatch) -> Html {
    let onclick = on_click(dispatch, ListsEdit::SaveKit);
    html! {
        <button type="button" class="wide" disabled={saved} {onclick}>
            { if saved { "Saved" } else { "Save this kit" } }
        </button>
    }
}

fn saved_kits(document: &Document, dispatch: &Dispatch) -> Html {
    let row = |(place, kit): (usize, &Kit)| {
        let line = exposure::kit(kit, kit.lens.f_number);
        let (name, line) = match kit.name.as_str() {
            "" => (line.as_str(), ""),
            name => (name, line.as_str()),
        };
        let in_use = *kit == document.outing.kit;
        let select = on_click(dispatch, ListsEdit::UseKit(place));
        let onclick = on_click(dispatch, ListsEdit::RemoveKit(place));
        html! {
            <li>
                { option(name, line, in_use, select) }
                <button type="button" aria-label={format!("remove {name}")} {onclick}>
                    { "Remove" }
                </button>
            </li>
        }
    };
    html! {
        if !document.kits.is_empty() {
            <h3>{ "Saved" }</h3>
            <ul class="kits">{ for document.kits.iter().enumerate().map(row) }</ul>
        }
    }
}
