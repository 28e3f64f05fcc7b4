//! The controls of Where?: bearing, tilt, focal length and minute in the row under the thumb, and
//! the choices under the view.

use yew::prelude::*;

use crate::decimal::fixed;
use crate::outing::plan::{Orientation, Outing};
use crate::ui::screens::exposure::controls::focal_length;
use crate::ui::screens::framing::draggable::DragTarget;
use crate::ui::screens::night::controls::time_stepper;
use crate::ui::state::derived::core_frames::CoreFrames;
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::state::document::framing::FramingEdit;
use crate::ui::state::views::FramingAction;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::stepper::{Stepper, stepper};
use crate::ui::widgets::toggle_group::{ToggleGroup, toggle_group};

fn target(outing: &Outing, selected: &SelectedNight) -> DragTarget {
    DragTarget {
        at: (selected.night.date, selected.minute),
        frame: outing.pointing().frame,
        across_deg: 0.0,
    }
}

fn whole(degrees: f64) -> String {
    fixed(degrees.round(), 0) + "°"
}

/// Bearing of the camera.
pub fn bearing_stepper(outing: &Outing, selected: &SelectedNight, dispatch: &Dispatch) -> Html {
    let target = target(outing, selected);
    let bearing = Stepper {
        name: "bearing of the camera",
        value: whole(target.frame.bearing.degrees().round() % 360.0),
        caption: "aim",
        less: target.turned(-1.0, 0.0),
        more: target.turned(1.0, 0.0),
        value_tapped: None,
    };
    stepper(bearing, dispatch)
}

/// Altitude of the middle of the frame.
pub fn tilt_stepper(outing: &Outing, selected: &SelectedNight, dispatch: &Dispatch) -> Html {
    let target = target(outing, selected);
    let tilt = Stepper {
        name: "tilt of the camera",
        value: whole(target.frame.tilt.degrees()),
        caption: "up",
        less: target.turned(0.0, -1.0),
        more: target.turned(0.0, 1.0),
        value_tapped: None,
    };
    stepper(tilt, dispatch)
}

/// The rest of the inputs.
pub fn framing_drawer(outing: &Outing, selected: &SelectedNight, dispatch: &Dispatch) -> Html {
    html! {
        <>
            { focal_length(outing, dispatch) }
            { time_stepper(selected, dispatch) }
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
