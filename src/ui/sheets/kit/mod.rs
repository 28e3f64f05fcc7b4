//! Kits: bodies and lenses, several saved, one in use.

mod body_fields;
mod lens_fields;
mod photo_button;
mod real_lens_fields;

use crate::ui::state::State;
use crate::ui::state::document::lists::ListsEdit;
use yew::prelude::*;

use crate::outing::document::Document;
use crate::outing::plan::kit::Kit;
use crate::ui::sheets::kit::body_fields::body_fields;
use crate::ui::sheets::kit::lens_fields::{lens_fields, name_field};
use crate::ui::sheets::kit::photo_button::photo_button;
use crate::ui::text::exposure;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::element::{all, button, el, nothing, say, text};
use crate::ui::widgets::toggle_group::option;

/// The sheet.
pub fn kit_sheet(state: &State, dispatch: &Dispatch) -> Html {
    let kept = state.document();
    let kit = &kept.outing.kit;
    let saved = kept.kits.contains(kit);
    let (word, disabled) = if saved {
        ("Saved", vec![("disabled", String::new())])
    } else {
        ("Save this kit", Vec::new())
    };
    let parts = vec![
        saved_kits(kept, dispatch),
        say("h3", &[], "In use"),
        say(
            "p",
            &[("class", "in-use"), ("role", "status")],
            exposure::kit(kit, kept.outing.f_number),
        ),
        photo_button(state.photo.as_deref(), dispatch),
        body_fields(kit, dispatch),
        lens_fields(kit, dispatch),
        name_field(kit, dispatch),
        button(
            &[("class", "wide")],
            disabled,
            on_click(dispatch, ListsEdit::SaveKit),
            vec![text(word)],
        ),
    ];
    dialog("Kit", parts, dispatch)
}

fn saved_kits(kept: &Document, dispatch: &Dispatch) -> Html {
    if kept.kits.is_empty() {
        return nothing();
    }
    let row = |(place, kit): (usize, &Kit)| {
        let line = exposure::kit(kit, kit.lens.f_number);
        let (name, line) = match kit.name.as_str() {
            "" => (line.as_str(), ""),
            name => (name, line.as_str()),
        };
        let used = *kit == kept.outing.kit;
        let remove = button(
            &[],
            vec![("aria-label", format!("remove {name}"))],
            on_click(dispatch, ListsEdit::RemoveKit(place)),
            vec![text("Remove")],
        );
        let take = option(
            name,
            line,
            used,
            on_click(dispatch, ListsEdit::UseKit(place)),
        );
        el("li", &[], vec![take, remove])
    };
    let rows = kept.kits.iter().enumerate().map(row).collect();
    all(vec![
        say("h3", &[], "Saved"),
        el("ul", &[("class", "kits")], rows),
    ])
}
