//! The tracker: how well it is aligned, how evenly it runs, at which rate.

use yew::prelude::*;

use super::choice::{Choice, choice};
use super::element::say;
use super::field::{Field, Read, field};
use super::sheet::sheet;
use super::state::Action;
use super::tap::Send;
use crate::angle::Angle;
use crate::decimal::plain;
use crate::light::tracking::{Mount, Rate};
use crate::outing::bounds::{Bounds, PERIOD_S, PERIODIC, POLAR_ERROR};
use crate::outing::plan::Outing;

/// Arcminutes in a degree.
const ARCMIN: f64 = 60.0;

/// Arcseconds in a degree.
const ARCSEC: f64 = 3600.0;

/// The sheet.
pub fn tracker_sheet(outing: &Outing, send: &Send) -> Html {
    let mount = outing.mount;
    let rate = |rate| Action::MountTyped(Mount { rate, ..mount });
    let rates = Choice {
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
        let about = Field::words((id, label, unit), plain(value));
        let read: Read = Callback::from(move |typed: String| {
            let mut mount = mount;
            take(&mut mount, bounds.read(&typed)?);
            Ok(Action::MountTyped(mount))
        });
        field(about, read, send)
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
        choice(&rates, send),
    ];
    sheet("Tracker", parts, send)
}
