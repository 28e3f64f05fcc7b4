//! Ways to find a site: where the phone is, a town by its name, coordinates pasted.

use yew::prelude::*;

use crate::browser::{gazetteer, geolocation};
use crate::outing::gazetteer::{Town, parse};
use crate::outing::plan::site::{Site, Zone};
use crate::outing::share::query::LONGEST_NAME;
use crate::ui::sheets::site::site_field;
use crate::ui::state::document::site::SiteEdit;
use crate::ui::state::site_sheet::{GazetteerState, SiteAction, SiteSheet};
use crate::ui::text::night;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::text_field::{Read, TextField, text_field};
use crate::ui::widgets::toggle_group::option;

/// Towns offered for a search.
const OFFERED: usize = 6;

/// What is stated before the phone is asked for its place.
const LOCATION_NOTE: &str = "Asked for only on this tap. Your place stays on this phone.";

/// The phone's own place, with the message about the last request.
pub fn location_button(message: Option<&str>, dispatch: &Dispatch) -> Html {
    let dispatch = dispatch.clone();
    let onclick = Callback::from(move |_: MouseEvent| {
        let dispatch = dispatch.clone();
        geolocation::request_position(move |found| {
            dispatch.emit(SiteAction::Located(found).into())
        });
    });
    let message = message.unwrap_or(LOCATION_NOTE).to_owned();
    html! {
        <>
            <button type="button" class="wide" {onclick}>{ "Where this phone is" }</button>
            <p class="after" role="status">{ message }</p>
        </>
    }
}

/// The search for a town, and the towns found. `site` is the one in use.
pub fn towns(sheet: &SiteSheet, site: &Site, dispatch: &Dispatch) -> Html {
    let field = TextField {
        live: true,
        ..TextField::words(("town", "Find a town", ""), sheet.query.clone())
    };
    let read: Read = Callback::from(|text: String| Ok(SiteAction::Search(text).into()));
    let found = gazetteer::with_gazetteer(|places| {
        let found = places.search(&sheet.query, OFFERED);
        let none = found.is_empty() && !sheet.query.trim().is_empty();
        html! {
            <>
                if none {
                    <p>{ "No town of that name in the list; type the place below." }</p>
                }
                { for found.iter().map(|place| town(place, &site.zone, dispatch)) }
            </>
        }
    });
    html! {
        <>
            { text_field(field, read, dispatch) }
            if let GazetteerState::Failed(why) = &sheet.gazetteer {
                <p class="told">{ why.clone() }</p>
            }
            <div class="choice tall">{ found }</div>
        </>
    }
}

/// A town found; one whose zone cannot be read takes the zone in use.
fn town(town: &Town, zone_in_use: &Zone, dispatch: &Dispatch) -> Html {
    let site = Site {
        name: town.name.chars().take(LONGEST_NAME).collect(),
        latitude: town.latitude,
        longitude: town.longitude,
        height_m: 0.0,
        zone: Zone::read(town.zone).unwrap_or_else(|_| zone_in_use.clone()),
        ..Site::default()
    };
    let line = format!("{} · {}", town.country, night::coordinates(&site));
    let choose = on_click(dispatch, SiteAction::ChooseTown(Box::new(site)));
    option(town.name, &line, false, choose)
}

/// Coordinates as another page or message writes them.
pub fn coordinates_field(dispatch: &Dispatch) -> Html {
    let about = (
        "place",
        "Or a place as pasted: 46.52, 9.91 or geo:46.52,9.91",
        "",
    );
    let read = |typed: &str| {
        let place = parse::read(typed).map_err(|why| why.to_string())?;
        Ok(SiteEdit::Pasted(place))
    };
    site_field(about, String::new(), read, dispatch)
}
