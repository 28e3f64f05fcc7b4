//! Kits: bodies and lenses, several saved, one in use.

use yew::prelude::*;

use super::body_fields::body_fields;
use super::choice::option;
use super::element::{all, button, el, nothing, say, text};
use super::lens_fields::{lens_fields, name_field};
use super::photo_button::photo_button;
use super::sheet::sheet;
use super::state::{Action, Kept};
use super::tap::{Send, tap};
use super::words;
use crate::outing::kit::Kit;

/// The sheet.
pub fn kit_sheet(kept: &Kept, photo_told: Option<&str>, send: &Send) -> Html {
    let kit = &kept.outing.kit;
    let saved = kept.kits.contains(kit);
    let (word, state) = if saved {
        ("Saved", vec![("disabled", String::new())])
    } else {
        ("Save this kit", Vec::new())
    };
    let parts = vec![
        saved_kits(kept, send),
        say("h3", &[], "In use"),
        say(
            "p",
            &[("class", "in-use"), ("role", "status")],
            words::kit(kit, kept.outing.f_number),
        ),
        photo_button(photo_told, send),
        body_fields(kit, send),
        lens_fields(kit, send),
        name_field(kit, send),
        button(
            &[("class", "wide")],
            state,
            tap(send, Action::KitSaved),
            vec![text(word)],
        ),
    ];
    sheet("Kit", parts, send)
}

fn saved_kits(kept: &Kept, send: &Send) -> Html {
    if kept.kits.is_empty() {
        return nothing();
    }
    let row = |(place, kit): (usize, &Kit)| {
        let line = words::kit(kit, kit.lens.f_number);
        let (name, line) = match kit.name.as_str() {
            "" => (line.as_str(), ""),
            name => (name, line.as_str()),
        };
        let used = *kit == kept.outing.kit;
        let remove = button(
            &[],
            vec![("aria-label", format!("remove {name}"))],
            tap(send, Action::KitRemoved(place)),
            vec![text("Remove")],
        );
        let take = option(name, line, used, tap(send, Action::KitTaken(place)));
        el("li", &[], vec![take, remove])
    };
    let rows = kept.kits.iter().enumerate().map(row).collect();
    all(vec![
        say("h3", &[], "Saved"),
        el("ul", &[("class", "kits")], rows),
    ])
}
