//! The tracker: how well it is aligned, how evenly it runs, at which rate.

use yew::prelude::*;

use crate::angle::Angle;
use crate::decimal::plain;
use crate::light::tracking::{Mount, Rate};
use crate::outing::plan::Outing;
use crate::outing::plan::bounds::{Bounds, PERIOD_S, PERIODIC, POLAR_ERROR};
use crate::ui::state::action::Action;
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
    let rate = |rate| Action::MountTyped(Mount { rate, ..mount });
    let rates = ToggleGroup {
        name: "rate",
        options: &[
            (
                "with the stars",
                "sky sharp, ground smeared",
                rate(Rate::Sidereal),
            ),
            ("half rate", "both smear alike", rate(Rate::Half)),
        ],
        chosen: Some(usize::from(mount.rate == Rate::Half)),
        tall: true,
    };
    let number = |about: (&'static str, &'static str, &'static str),
                  value: f64,
                  bounds: Bounds,
                  take: fn(&mut Mount, f64)| {
        let (id, label, unit) = about;
        let about = TextField::words((id, label, unit), plain(value));
        let read: Read = Callback::from(move |typed: String| {
            let mut mount = mount;
            take(&mut mount, bounds.read(&typed)?);
            Ok(Action::MountTyped(mount))
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
            |mount, value| mount.azimuth_error = Angle::from_degrees(value / ARCMIN),
        ),
        number(
            ("polar-up", "Off the pole, in height", "′"),
            mount.altitude_error.degrees() * ARCMIN,
            POLAR_ERROR,
            |mount, value| mount.altitude_error = Angle::from_degrees(value / ARCMIN),
        ),
        number(
            ("periodic", "Periodic error, either way", "″"),
            mount.periodic.degrees() * ARCSEC,
            PERIODIC,
            |mount, value| mount.periodic = Angle::from_degrees(value / ARCSEC),
        ),
        number(
            ("period", "Its period", "s"),
            mount.period_s,
            PERIOD_S,
            |mount, value| mount.period_s = value,
        ),
        toggle_group(&rates, dispatch),
    ];
    dialog("Tracker", parts, dispatch)
}
