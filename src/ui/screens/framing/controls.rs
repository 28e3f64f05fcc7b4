//! The controls of Where?: bearing, tilt, focal length and minute in the row under the thumb, and
//! the choices under the view.

use yew::prelude::*;

use crate::decimal::fixed;
use crate::outing::plan::{NIGHT_MIN, Orientation, Outing};
use crate::ui::screens::exposure::controls::focal_length;
use crate::ui::screens::framing::draggable::DragTarget;
use crate::ui::state::action::Action;
use crate::ui::state::derived::core_frames::CoreFrames;
use crate::ui::state::derived::selected_night::{SelectedNight, days_of};
use crate::ui::state::document::framing::FramingEdit;
use crate::ui::state::document::night::NightEdit;
use crate::ui::state::views::FramingAction;
use crate::ui::text::night;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::stepper::{Stepper, stepper};
use crate::ui::widgets::toggle_group::{ToggleGroup, toggle_group};

/// Steppers for where the camera points, its lens and the minute.
pub fn framing_controls(outing: &Outing, selected: &SelectedNight, dispatch: &Dispatch) -> Html {
    let frame = outing.pointing().frame;
    let target = DragTarget {
        at: (selected.night.date, selected.minute),
        frame,
        across_deg: 0.0,
    };
    let whole = |degrees: f64| fixed(degrees.round(), 0) + "°";
    let bearing = Stepper {
        name: "bearing of the camera",
        value: whole(frame.bearing.degrees().round() % 360.0),
        less: target.turned(-1.0, 0.0),
        more: target.turned(1.0, 0.0),
        value_tapped: None,
    };
    let tilt = Stepper {
        name: "tilt of the camera",
        value: whole(frame.tilt.degrees()) + " up",
        less: target.turned(0.0, -1.0),
        more: target.turned(0.0, 1.0),
        value_tapped: None,
    };
    let after = |minutes: i32| {
        let minute = i32::from(selected.minute) + minutes;
        let minute = minute.clamp(0, i32::from(NIGHT_MIN) - 1) as u16;
        NightEdit::Minute(selected.night.date, minute).into()
    };
    let minute = Stepper {
        name: "ten minutes",
        value: night::time(selected.local(days_of(selected.minute))),
        less: after(-10),
        more: after(10),
        value_tapped: Some(Action::LookAtNow),
    };
    html! {
        <>
            { stepper(bearing, dispatch) }
            { stepper(tilt, dispatch) }
            { focal_length(outing, dispatch) }
            { stepper(minute, dispatch) }
        </>
    }
}

/// Puts the core on a third of the frame, or in its middle.
pub fn core_placement(selected: &SelectedNight, frames: &CoreFrames, dispatch: &Dispatch) -> Html {
    let point = |frame| FramingEdit::Point(selected.night.date, selected.minute, frame).into();
    let placement = ToggleGroup {
        name: "put the core here",
        options: &[
            ("core left", "", point(frames.left)),
            ("middle", "", point(frames.middle)),
            ("right", "", point(frames.right)),
        ],
        chosen: None,
        tall: false,
    };
    toggle_group(&placement, dispatch)
}

/// Long side level or upright.
pub fn orientation_toggle(outing: &Outing, dispatch: &Dispatch) -> Html {
    let turn = |orientation| FramingEdit::Orientation(orientation).into();
    let orientation = ToggleGroup {
        name: "camera held",
        options: &[
            ("level", "", turn(Orientation::Landscape)),
            ("upright", "", turn(Orientation::Portrait)),
        ],
        chosen: Some(usize::from(outing.orientation == Orientation::Portrait)),
        tall: false,
    };
    toggle_group(&orientation, dispatch)
}

/// Whether the drift map lies over the view.
pub fn drift_map_toggle(with_drift_map: bool, dispatch: &Dispatch) -> Html {
    let show = |with_drift_map| FramingAction::ShowDriftMap(with_drift_map).into();
    let drift_map = ToggleGroup {
        name: "drift map over the view",
        options: &[
            ("sky alone", "", show(false)),
            ("with the drift map", "", show(true)),
        ],
        chosen: Some(usize::from(with_drift_map)),
        tall: false,
    };
    toggle_group(&drift_map, dispatch)
}
