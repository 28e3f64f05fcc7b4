//! The site: where the outing goes, by which clock, and sites saved before.

mod clock;
mod coordinates;
mod saved;
mod search;

use yew::prelude::*;

use crate::browser::gazetteer;
use crate::ui::sheets::site::clock::clock;
use crate::ui::sheets::site::coordinates::coordinates;
use crate::ui::sheets::site::saved::{save_button, saved_sites};
use crate::ui::sheets::site::search::{coordinates_field, location_button, towns};
use crate::ui::state::State;
use crate::ui::state::action::Action;
use crate::ui::state::document::site::SiteEdit;
use crate::ui::text::aim;
use crate::ui::text::night;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::text_field::{About, Read, TextField, text_field};

/// The sheet.
pub fn site_sheet(state: &State, dispatch: &Dispatch) -> Html {
    let (document, outing) = (state.document(), state.outing());
    let site = &outing.site;
    let source = gazetteer::with_gazetteer(|places| places.source().to_owned());
    let content = html! {
        <>
            { saved_sites(document, dispatch) }
            <h3>{ "In use" }</h3>
            <p class="in-use" role="status">{ night::site(site) }</p>
            <p>{ format!("The camera is taken to point at {}.", aim::aim_long(outing)) }</p>
            { location_button(state.site.location.as_deref(), dispatch) }
            { towns(&state.site, site, dispatch) }
            { coordinates_field(dispatch) }
            { coordinates(site, dispatch) }
            { clock(site, state.now, dispatch) }
            { save_button(document.sites.contains(site), dispatch) }
            <p class="legend">{ source.unwrap_or_default() }</p>
        </>
    };
    dialog("Site", vec![content], dispatch)
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
