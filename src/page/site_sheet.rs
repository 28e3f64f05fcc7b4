//! The site: how far north or south the outing goes.

use yew::prelude::*;

use super::field::Field;
use super::sheet::SheetFrame;
use super::state::Action;
use super::stepper::stepper;
use super::words;
use crate::angle::Angle;
use crate::outing::bounds::LATITUDE;
use crate::outing::form::plain;
use crate::outing::plan::Outing;

/// The sheet.
pub fn site_sheet(outing: &Outing, send: &Callback<Action>) -> Html {
    let onclose = send.reform(|()| Action::SheetClosed);
    let latitude = outing.latitude;
    let read = {
        let send = send.clone();
        Callback::from(move |text: String| {
            LATITUDE
                .read_angle(&text)
                .map(|angle| send.emit(Action::LatitudeTyped(angle)))
        })
    };
    let onstep = send.reform(move |up: bool| {
        let whole = latitude.degrees().round() + if up { 1.0 } else { -1.0 };
        Action::LatitudeTyped(Angle::from_degrees(
            whole.clamp(LATITUDE.least, LATITUDE.most),
        ))
    });
    html! {
        <SheetFrame title="Site" {onclose}>
            <Field
                id="latitude"
                label="Latitude, south negative or with S"
                unit="°"
                keys="text"
                value={plain(latitude.degrees())}
                {read}
            />
            { stepper("latitude, whole degrees", &words::latitude(latitude), &onstep, None) }
            <p role="status">{ format!("The camera is taken to point at {}.", words::aim_long(outing)) }</p>
            <p>{ "The shutter time hangs on where the camera points, and the core's height on the \
                  latitude. Only the latitude counts; what is typed stays on this phone." }</p>
        </SheetFrame>
    }
}
