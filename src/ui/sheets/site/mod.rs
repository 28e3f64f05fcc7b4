//! The site: where the outing goes, by which clock, and sites saved before.

mod clock;
mod coordinates;
mod saved;
mod search;

use yew::prelude::*;

use crate::browser::gazetteer;
use crate::outing::plan::site::Site;
use crate::ui::sheets::site::clock::{clock, nearest_clock};
use crate::ui::sheets::site::coordinates::coordinates;
use crate::ui::sheets::site::saved::{save_button, saved_sites};
use crate::ui::sheets::site::search::{coordinates_field, location_button, places};
use crate::ui::state::State;
use crate::ui::state::action::Action;
use crate::ui::state::derived::Derived;
use crate::ui::state::document::site::SiteEdit;
use crate::ui::text::night;
use crate::ui::widgets::dialog::keyed_dialog;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::text_field::{About, Read, TextField, text_field};

/// The sheet.
pub fn site_sheet(state: &State, derived: &Derived, dispatch: &Dispatch) -> Html {
    let (document, site) = (state.document(), &state.outing().site);
    let found = derived.places_found(state);
    let content = html! {
        <>
            { site_in_use(site, dispatch) }
            { nearest_clock(site, dispatch) }
            { location_button(site, state.site.location.as_deref(), dispatch) }
            { places(&state.site, &found, dispatch) }
            { coordinates_field(dispatch) }
            { saved_sites(document, dispatch) }
            <details>
                <summary>{ "Coordinates and elevation" }</summary>
                { coordinates(site, dispatch) }
            </details>
            { clock(state, dispatch) }
            { source() }
        </>
    };
    let keys = save_button(document.sites.contains(site), site.is_set(), dispatch);
    keyed_dialog("Site", content, keys, dispatch)
}

/// The site with its name to be given, or that there is none yet.
fn site_in_use(site: &Site, dispatch: &Dispatch) -> Html {
    if !site.is_set() {
        return html! { <p class="unset" role="status">{ night::no_site(site) }</p> };
    }
    let name = site_field(
        ("site-name", "Name", ""),
        site.name.clone(),
        |typed| Ok(SiteEdit::Name(typed.to_owned())),
        dispatch,
    );
    html! {
        <>
            <p class="in-use" role="status">{ night::site(site) }</p>
            { name }
        </>
    }
}

/// Where the list of places comes from.
fn source() -> Html {
    let source = gazetteer::with_gazetteer(|places| places.source().to_owned());
    html! {
        <details>
            <summary>{ "Source of the places" }</summary>
            <p class="legend">{ source.unwrap_or_default() }</p>
        </details>
    }
}

/// A field for one part of the site.
fn site_field(
    about: About,
    value: String,
    read: fn(&str) -> Result<SiteEdit, String>,
    dispatch: &Dispatch,
) -> Html {
    let read: Read = Callback::from(move |typed: String| read(&typed).map(Action::from));
    text_field(TextField::words(about, value), read, dispatch)
}
