//! The tracker: how well it is aligned, how evenly it runs, at which rate.

use yew::prelude::*;

use crate::angle::Angle;
use crate::light::tracking::{Mount, TrackingRate};
use crate::outing::plan::Outing;
use crate::outing::plan::bounds::{PERIOD_S, PERIODIC, POLAR_ERROR};
use crate::ui::state::document::mount::MountEdit;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::text_field::number_field;
use crate::ui::widgets::toggle_group::{ToggleGroup, toggle_group};

/// Arcminutes in a degree.
const ARCMIN: f64 = 60.0;

/// Arcseconds in a degree.
const ARCSEC: f64 = 3600.0;

const USUAL_ERRORS: &str = "Aligned with a polar scope a tracker is off by some ten arcminutes in \
                            all; without one, by a degree and more. Makers seldom publish the \
                            periodic error: 25″ either way is usual for a light one.";

/// The sheet.
pub fn tracker_sheet(outing: &Outing, dispatch: &Dispatch) -> Html {
    let content = html! {
        <>
            <p>{ USUAL_ERRORS }</p>
            { alignment(&outing.mount, dispatch) }
            { periodic_error(&outing.mount, dispatch) }
            { rate(outing.mount.rate, dispatch) }
        </>
    };
    dialog("Tracker", vec![content], dispatch)
}

/// How far the tracker's axis is off the pole.
fn alignment(mount: &Mount, dispatch: &Dispatch) -> Html {
    let across = number_field(
        ("polar-across", "Azimuth error", "′"),
        mount.azimuth_error.degrees() * ARCMIN,
        POLAR_ERROR,
        |value| MountEdit::AzimuthError(Angle::from_degrees(value / ARCMIN)),
        dispatch,
    );
    let up = number_field(
        ("polar-up", "Altitude error", "′"),
        mount.altitude_error.degrees() * ARCMIN,
        POLAR_ERROR,
        |value| MountEdit::AltitudeError(Angle::from_degrees(value / ARCMIN)),
        dispatch,
    );
    html! { <>{ across }{ up }</> }
}

/// The error of the gears, which repeats.
fn periodic_error(mount: &Mount, dispatch: &Dispatch) -> Html {
    let error = number_field(
        ("periodic", "Periodic error, either way", "″"),
        mount.periodic.degrees() * ARCSEC,
        PERIODIC,
        |value| MountEdit::PeriodicError(Angle::from_degrees(value / ARCSEC)),
        dispatch,
    );
    let period = number_field(
        ("period", "Its period", "s"),
        mount.period_s,
        PERIOD_S,
        MountEdit::Period,
        dispatch,
    );
    html! { <>{ error }{ period }</> }
}

/// Whether the tracker follows the stars or runs at half their speed.
fn rate(rate: TrackingRate, dispatch: &Dispatch) -> Html {
    let option = |word, line, rate| (word, line, MountEdit::Rate(rate).into());
    let rates = ToggleGroup {
        name: "rate",
        options: &[
            option(
                "sidereal",
                "sky sharp, ground smeared",
                TrackingRate::Sidereal,
            ),
            option("half rate", "both smear alike", TrackingRate::Half),
        ],
        chosen: Some(usize::from(rate == TrackingRate::Half)),
        tall: true,
    };
    toggle_group(&rates, dispatch)
}
