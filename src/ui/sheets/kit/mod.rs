//! Kits: bodies and lenses, several saved, one in use.

mod body_fields;
mod lens_fields;
mod photo_button;
mod real_lens_fields;

use yew::prelude::*;

use crate::outing::document::Document;
use crate::outing::plan::kit::Kit;
use crate::ui::sheets::kit::body_fields::{exact_body, formats};
use crate::ui::sheets::kit::lens_fields::{lens_fields, more_of_lens, name_field};
use crate::ui::sheets::kit::photo_button::photo_button;
use crate::ui::state::State;
use crate::ui::state::document::lists::ListsEdit;
use crate::ui::text::kit;
use crate::ui::text::units;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::toggle_group::{ToggleGroup, chips, option};

/// The sheet.
pub fn kit_sheet(state: &State, dispatch: &Dispatch) -> Html {
    let document = state.document();
    let kit = &document.outing.kit;
    let content = html! {
        <>
            { formats(kit, dispatch) }
            { own_lenses(document, dispatch) }
            { lens_fields(kit, dispatch) }
            <p class="in-use" role="status">{ kit::summary(kit, document.outing.f_number) }</p>
            { photo_button(state.photo.as_deref(), dispatch) }
            { name_field(kit, dispatch) }
            { save_button(document.kits.contains(kit), dispatch) }
            { exact_body(kit, dispatch) }
            { more_of_lens(kit, dispatch) }
            { saved_kits(document, dispatch) }
        </>
    };
    dialog("Kit", vec![content], dispatch)
}

/// What a kit is called: by its name, or its lens.
pub fn kit_word(kit: &Kit) -> String {
    match kit.name.as_str() {
        "" => units::focal(kit.lens.focal_mm) + " " + &units::f_stop(kit.lens.f_number),
        name => name.to_owned(),
    }
}

/// The saved kits as chips, each with its lens.
pub fn own_lenses(document: &Document, dispatch: &Dispatch) -> Html {
    if document.kits.is_empty() {
        return Html::default();
    }
    let words: Vec<String> = document.kits.iter().map(kit_word).collect();
    let options: Vec<_> = words
        .iter()
        .enumerate()
        .map(|(place, word)| (word.as_str(), "", ListsEdit::UseKit(place).into()))
        .collect();
    let in_use = |kit: &Kit| *kit == document.outing.kit;
    let group = ToggleGroup {
        name: "your lenses",
        options: &options,
        chosen: document.kits.iter().position(in_use),
        tall: false,
    };
    chips(&group, dispatch)
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
        let line = kit::summary(kit, kit.lens.f_number);
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
            <details>
                <summary>{ "Saved kits" }</summary>
                <ul class="kits">{ for document.kits.iter().enumerate().map(row) }</ul>
            </details>
        }
    }
}
