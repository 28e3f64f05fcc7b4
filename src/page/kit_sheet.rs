//! Kits: bodies and lenses, several saved, one in use.

use yew::prelude::*;

use super::body_fields::body_fields;
use super::choice::option;
use super::lens_fields::{lens_fields, name_field};
use super::photo_button::photo_button;
use super::sheet::SheetFrame;
use super::state::{Action, Kept};
use super::tap::{Send, tap};
use super::words;
use crate::outing::kit::Kit;

/// The sheet.
pub fn kit_sheet(kept: &Kept, photo_told: Option<&str>, send: &Send) -> Html {
    let kit = &kept.outing.kit;
    let saved = kept.kits.contains(kit);
    html! {
        <SheetFrame title="Kit" send={send.clone()}>
            { saved_kits(kept, send) }
            <h3>{ "In use" }</h3>
            <p class="in-use" role="status">{ words::kit(kit, kit.lens.f_number) }</p>
            { photo_button(kit, photo_told, send) }
            { body_fields(kit, send) }
            { lens_fields(kit, send) }
            { name_field(kit, send) }
            <button type="button" class="wide" disabled={saved} onclick={tap(send, Action::KitSaved)}>
                { if saved { "Saved" } else { "Save this kit" } }
            </button>
        </SheetFrame>
    }
}

fn saved_kits(kept: &Kept, send: &Send) -> Html {
    if kept.kits.is_empty() {
        return html! {};
    }
    let row = |(place, kit): (usize, &Kit)| {
        let line = words::kit(kit, kit.lens.f_number);
        let (name, line) = match kit.name.as_str() {
            "" => (line.as_str(), ""),
            name => (name, line.as_str()),
        };
        let used = *kit == kept.outing.kit;
        html! {
            <li key={place}>
                { option(name, line, used, tap(send, Action::KitTaken(place))) }
                <button
                    type="button"
                    aria-label={format!("remove {name}")}
                    onclick={tap(send, Action::KitRemoved(place))}
                >
                    { "Remove" }
                </button>
            </li>
        }
    };
    html! {
        <>
            <h3>{ "Saved" }</h3>
            <ul class="kits">{ for kept.kits.iter().enumerate().map(row) }</ul>
        </>
    }
}
