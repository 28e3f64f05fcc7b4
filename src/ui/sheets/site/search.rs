//! Ways to find a site: where the phone is, a place by its name, coordinates pasted.

use yew::prelude::*;

use crate::browser::geolocation;
use crate::outing::gazetteer::parse;
use crate::outing::plan::site::Site;
use crate::ui::sheets::site::site_field;
use crate::ui::state::derived::places_found::FoundPlace;
use crate::ui::state::document::site::SiteEdit;
use crate::ui::state::site_sheet::{GazetteerState, SiteAction, SiteSheet};
use crate::ui::text::night;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::text_field::{Read, TextField, text_field};
use crate::ui::widgets::toggle_group::option;

/// What is stated before the phone is asked for its place.
const LOCATION_NOTE: &str = "Your place stays on this phone.";

/// The phone's own place, with the message about the last request; what to do first while there is
/// no site.
pub fn location_button(site: &Site, message: Option<&str>, dispatch: &Dispatch) -> Html {
    let dispatch = dispatch.clone();
    let onclick = Callback::from(move |_: MouseEvent| {
        let dispatch = dispatch.clone();
        geolocation::request_position(move |found| {
            dispatch.emit(SiteAction::Located(found).into())
        });
    });
    let message = message.unwrap_or(LOCATION_NOTE).to_owned();
    let chief = (!site.is_set()).then_some("chief");
    html! {
        <>
            <button id="locate" type="button" class={classes!("wide", chief)} {onclick}>
                { "Use my location" }
            </button>
            <p class="legend" role="status">{ message }</p>
        </>
    }
}

/// The search for a place, and the places found.
pub fn places(sheet: &SiteSheet, found: &[FoundPlace], dispatch: &Dispatch) -> Html {
    let about = ("town", "Find a place", "");
    let field = TextField {
        live: true,
        ..TextField::words(about, sheet.query.clone())
    };
    let read: Read = Callback::from(|text: String| Ok(SiteAction::Search(text).into()));
    let none = found.is_empty()
        && sheet.gazetteer == GazetteerState::Loaded
        && !sheet.query.trim().is_empty();
    let place = |found: &FoundPlace| {
        let line = format!("{} · {}", found.country, night::coordinates(&found.site));
        let choose = SiteAction::ChooseTown(Box::new(found.site.clone()));
        option(&found.site.name, &line, false, on_click(dispatch, choose))
    };
    html! {
        <>
            { text_field(field, read, dispatch) }
            if let GazetteerState::Failed(why) = &sheet.gazetteer {
                <p class="told">{ why.clone() }</p>
            }
            if none {
                <p class="told">{ "Not in the list. Try a larger place nearby, or paste coordinates." }</p>
            }
            <div class="choice tall">{ for found.iter().map(place) }</div>
        </>
    }
}

/// Coordinates as another page or message writes them.
pub fn coordinates_field(dispatch: &Dispatch) -> Html {
    let about = ("place", "Paste coordinates, such as 46.52, 9.91", "");
    let read = |typed: &str| {
        let place = parse::read(typed).map_err(|why| why.to_string())?;
        Ok(SiteEdit::Pasted(place))
    };
    site_field(about, String::new(), read, dispatch)
}
