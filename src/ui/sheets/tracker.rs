//! The tracker: how well it is aligned, how evenly it runs, at which rate.

use crate::ui::state::document::mount::MountEdit;
use yew::prelude::*;

use crate::angle::Angle;
use crate::decimal::plain;
use crate::light::tracking::TrackingRate;
use crate::outing::plan::Outing;
use crate::outing::plan::bounds::{Bounds, PERIOD_S, PERIODIC, POLAR_ERROR};
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::element::say;
use crate::ui::widgets::text_field::{Read, TextField, text_field};
use crate::ui::widgets::toggle_group::{ToggleGroup, toggle_group};

/// Arcminutes in a degree.
const ARCMIN: f64 = 60.0;

/// Arcseconds in a degree.
const ARCSEC: f64 = 3600.0;

/// The sheet.
pub fn tracker_sheet(outing: &Outing, dispatch: &Dispatch) -> Html {
    let mount = outing.mount;
    let rate = |rate| MountEdit::Rate(rate).into();
    let rates = ToggleGroup {
        name: "rate",
        options: &[
            (
                "with the stars",
                "sky sharp, ground smeared",
                rate(TrackingRate::Sidereal),
            ),
            ("half rate", "both smear alike", rate(TrackingRate::Half)),
        ],
        chosen: Some(usize::from(mount.rate == TrackingRate::Half)),
        tall: true,
    };
    let number = |about: (&'static str, &'static str, &'static str),
                  value: f64,
                  bounds: Bounds,
                  edit: fn(f64) -> MountEdit| {
        let (id, label, unit) = about;
        let about = TextField::words((id, label, unit), plain(value));
        let read: Read = Callback::from(move |typed: String| {
            bounds.read(&typed).map(|value| edit(value).into())
        });
        text_field(about, read, dispatch)
    };
    let parts = vec![
        say(
            "p",
            &[],
            "Aligned with a polar scope a tracker is off by some ten arcminutes in all; without \
             one, by a degree and more. Makers seldom tell the periodic error: 25″ either way is \
             usual for a light one.",
        ),
        number(
            ("polar-across", "Off the pole, to the side (azimuth)", "′"),
            mount.azimuth_error.degrees() * ARCMIN,
            POLAR_ERROR,
            |value| MountEdit::AzimuthError(Angle::from_degrees(value / ARCMIN)),
        ),
        number(
            ("polar-up", "Off the pole, in height", "′"),
            mount.altitude_error.degrees() * ARCMIN,
            POLAR_ERROR,
            |value| MountEdit::AltitudeError(Angle::from_degrees(value / ARCMIN)),
        ),
        number(
            ("periodic", "Periodic error, either way", "″"),
            mount.periodic.degrees() * ARCSEC,
            PERIODIC,
            |value| MountEdit::PeriodicError(Angle::from_degrees(value / ARCSEC)),
        ),
        number(
            ("period", "Its period", "s"),
            mount.period_s,
            PERIOD_S,
            MountEdit::Period,
        ),
        toggle_group(&rates, dispatch),
    ];
    dialog("Tracker", parts, dispatch)
}
