//! Latitude, longitude and height of the site, and its name.

use yew::prelude::*;

use crate::decimal::plain;
use crate::outing::plan::bounds::{LATITUDE, LONGITUDE, SITE_HEIGHT_M};
use crate::outing::plan::site::Site;
use crate::ui::sheets::site::site_field;
use crate::ui::state::document::site::SiteEdit;
use crate::ui::text::exposure;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::stepper::{Stepper, stepper};

/// The fields.
pub fn coordinates(site: &Site, dispatch: &Dispatch) -> Html {
    let latitude = site_field(
        ("latitude", "Latitude, south negative or with S", "°"),
        plain(site.latitude.degrees()),
        |typed| LATITUDE.read_angle(typed).map(SiteEdit::Latitude),
        dispatch,
    );
    let whole_degrees = Stepper {
        name: "latitude, whole degrees",
        value: exposure::latitude(site.latitude),
        less: SiteEdit::StepLatitude(false).into(),
        more: SiteEdit::StepLatitude(true).into(),
        caption: "",
        value_tapped: None,
    };
    let longitude = site_field(
        ("longitude", "Longitude, west negative or with W", "°"),
        plain(site.longitude.degrees()),
        |typed| LONGITUDE.read_longitude(typed).map(SiteEdit::Longitude),
        dispatch,
    );
    let height = site_field(
        ("height", "Height above the sea", "m"),
        plain(site.height_m),
        |typed| SITE_HEIGHT_M.read(typed).map(SiteEdit::Elevation),
        dispatch,
    );
    let name = site_field(
        ("site-name", "Name of the site", ""),
        site.name.clone(),
        |typed| Ok(SiteEdit::Name(typed.to_owned())),
        dispatch,
    );
    html! {
        <>
            { latitude }
            { stepper(whole_degrees, dispatch) }
            { longitude }
            { height }
            { name }
        </>
    }
}
