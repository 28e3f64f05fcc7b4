//! The site: how far north or south the outing goes.

use yew::prelude::*;

use super::element::say;
use super::field::{Field, field};
use super::sheet::sheet;
use super::state::Action;
use super::stepper::{Stepper, stepper};
use super::tap::Send;
use super::words;
use crate::angle::Angle;
use crate::decimal::plain;
use crate::outing::bounds::LATITUDE;
use crate::outing::plan::Outing;
use crate::outing::site::Site;

/// The sheet.
pub fn site_sheet(outing: &Outing, send: &Send) -> Html {
    let latitude = outing.site.latitude;
    let site = outing.site.clone();
    let with = move |latitude: Angle| {
        let site = site.clone();
        Action::SiteEdited(Box::new(Site { latitude, ..site }))
    };
    let stepped = {
        let with = with.clone();
        move |whole: f64| {
            with(Angle::from_degrees(
                whole.clamp(LATITUDE.least, LATITUDE.most),
            ))
        }
    };
    let read = Callback::from(move |text: String| LATITUDE.read_angle(&text).map(&with));
    let degrees = Stepper {
        name: "latitude, whole degrees",
        value: words::latitude(latitude),
        less: stepped(latitude.degrees().ceil() - 1.0),
        more: stepped(latitude.degrees().floor() + 1.0),
        value_tapped: None,
    };
    let typed = Field {
        id: "latitude",
        label: "Latitude, south negative or with S",
        unit: "°",
        value: plain(latitude.degrees()),
        digits: false,
        ready: false,
    };
    let aim = format!(
        "The camera is taken to point at {}.",
        words::aim_long(outing)
    );
    let reason = "The shutter time hangs on where the camera points.";
    let parts = vec![
        field(typed, read, send),
        stepper(degrees, send),
        say("p", &[("class", "after"), ("role", "status")], aim),
        say("p", &[], reason),
    ];
    sheet("Site", parts, send)
}
