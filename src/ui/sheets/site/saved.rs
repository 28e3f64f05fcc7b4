//! Sites saved before, and the button that saves the one in use.

use yew::prelude::*;

use crate::outing::document::Document;
use crate::outing::plan::site::Site;
use crate::ui::state::document::lists::ListsEdit;
use crate::ui::text::night;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::toggle_group::option;

/// The sites saved, each with a button that removes it.
pub fn saved_sites(document: &Document, dispatch: &Dispatch) -> Html {
    let row = |(place, site): (usize, &Site)| {
        let name = if site.name.is_empty() {
            night::site(site)
        } else {
            site.name.clone()
        };
        let in_use = *site == document.outing.site;
        let select = on_click(dispatch, ListsEdit::UseSite(place));
        let onclick = on_click(dispatch, ListsEdit::RemoveSite(place));
        html! {
            <li>
                { option(&name, &site.zone.written(), in_use, select) }
                <button type="button" aria-label={format!("remove {name}")} {onclick}>
                    { "Remove" }
                </button>
            </li>
        }
    };
    html! {
        if !document.sites.is_empty() {
            <h3>{ "Saved" }</h3>
            <ul class="kits">{ for document.sites.iter().enumerate().map(row) }</ul>
        }
    }
}

/// Saves the site in use; inactive where it is saved already, or none is set.
pub fn save_button(saved: bool, possible: bool, dispatch: &Dispatch) -> Html {
    let onclick = on_click(dispatch, ListsEdit::SaveSite);
    html! {
        <button type="button" class="wide" disabled={saved || !possible} {onclick}>
            { if saved { "Saved" } else { "Save this site" } }
        </button>
    }
}
