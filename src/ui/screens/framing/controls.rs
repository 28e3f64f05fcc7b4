//! The thumb's row under Where?: bearing, tilt, focal length and the minute.

use crate::ui::state::document::kit::KitEdit;
use crate::ui::state::document::night::NightEdit;
use crate::ui::state::routes::RouteAction;
use yew::prelude::*;

use crate::decimal::fixed;
use crate::outing::plan::{NIGHT_MIN, Outing};
use crate::ui::screens::framing::draggable::DragTarget;
use crate::ui::state::action::Action;
use crate::ui::state::derived::selected_night::{SelectedNight, days_of};
use crate::ui::state::routes::Sheet;
use crate::ui::text::exposure;
use crate::ui::text::night;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::stepper::{Stepper, stepper};

/// Steppers for where the camera points, its lens and the minute.
pub fn framing_controls(outing: &Outing, shown: &SelectedNight, dispatch: &Dispatch) -> Html {
    let frame = outing.pointing().frame;
    let pointed = DragTarget {
        at: (shown.night.date, shown.minute),
        frame,
        across_deg: 0.0,
    };
    let whole = |degrees: f64| fixed(degrees.round(), 0) + "°";
    let bearing = Stepper {
        name: "bearing of the camera",
        value: whole(frame.bearing.degrees().round() % 360.0),
        less: pointed.turned(-1.0, 0.0),
        more: pointed.turned(1.0, 0.0),
        value_tapped: None,
    };
    let tilt = Stepper {
        name: "tilt of the camera",
        value: whole(frame.tilt.degrees()) + " up",
        less: pointed.turned(0.0, -1.0),
        more: pointed.turned(0.0, 1.0),
        value_tapped: None,
    };
    let focal = Stepper {
        name: "focal length",
        value: exposure::focal(outing.kit.lens.focal_mm),
        less: KitEdit::StepFocalLength(false).into(),
        more: KitEdit::StepFocalLength(true).into(),
        value_tapped: Some(RouteAction::Open(Sheet::FocalLength).into()),
    };
    let to = |minutes: i32| {
        let minute = i32::from(shown.minute) + minutes;
        NightEdit::Minute(
            shown.night.date,
            minute.max(0).min(i32::from(NIGHT_MIN) - 1) as u16,
        )
        .into()
    };
    let minute = Stepper {
        name: "ten minutes",
        value: night::time(shown.local(days_of(shown.minute))),
        less: to(-10),
        more: to(10),
        value_tapped: Some(Action::LookAtNow),
    };
    [bearing, tilt, focal, minute]
        .into_iter()
        .map(|held| stepper(held, dispatch))
        .collect()
}
