//! Latitude, longitude and elevation of the site.

use yew::prelude::*;

use crate::decimal::plain;
use crate::outing::plan::bounds::{LATITUDE, LONGITUDE, SITE_HEIGHT_M};
use crate::outing::plan::site::Site;
use crate::ui::state::action::Action;
use crate::ui::state::document::site::SiteEdit;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::text_field::{About, Read, TextField, text_field};

/// The fields.
pub fn coordinates(site: &Site, dispatch: &Dispatch) -> Html {
    let number = |about: About, value: f64, bounds, read: fn(&str) -> Result<SiteEdit, String>| {
        let read: Read = Callback::from(move |typed: String| read(&typed).map(Action::from));
        let field = TextField::words(about, plain(value)).stepped(bounds);
        text_field(field, read, dispatch)
    };
    html! {
        <>
            { number(
                ("latitude", "Latitude, south negative or with S", "°"),
                site.latitude.degrees(),
                LATITUDE,
                |typed| LATITUDE.read_angle(typed).map(SiteEdit::Latitude),
            ) }
            { number(
                ("longitude", "Longitude, west negative or with W", "°"),
                site.longitude.degrees(),
                LONGITUDE,
                |typed| LONGITUDE.read_longitude(typed).map(SiteEdit::Longitude),
            ) }
            { number(
                ("height", "Elevation", "m"),
                site.height_m,
                SITE_HEIGHT_M,
                |typed| SITE_HEIGHT_M.read(typed).map(SiteEdit::Elevation),
            ) }
        </>
    }
}
