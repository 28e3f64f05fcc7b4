//! The controls of Where?: bearing, tilt, focal length and minute in the row under the thumb, and
//! the choices under the view.

use yew::prelude::*;

use crate::decimal::fixed;
use crate::outing::plan::{Orientation, Outing};
use crate::ui::screens::exposure::controls::focal_length;
use crate::ui::screens::framing::draggable::DragTarget;
use crate::ui::screens::night::controls::time_stepper;
use crate::ui::state::State;
use crate::ui::state::derived::core_frames::CoreFrames;
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::state::document::framing::FramingEdit;
use crate::ui::state::routes::{RouteAction, Sheet};
use crate::ui::state::views::FramingAction;
use crate::ui::text::framing as words;
use crate::ui::widgets::aria::aria_bool;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::row::{key, row};
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
        caption: "tilt",
        less: target.turned(0.0, -1.0),
        more: target.turned(0.0, 1.0),
        value_tapped: None,
    };
    stepper(tilt, dispatch)
}

/// Keys that lie on the frame's foreground.
pub fn ground_keys(selected: &SelectedNight, frames: &CoreFrames, dispatch: &Dispatch) -> Html {
    let on_a_third = words::on_a_third(selected.night.subject);
    let third = FramingEdit::Point(selected.night.date, selected.minute, frames.third);
    let open = |id, word, sheet| key(id, word, RouteAction::Open(sheet), dispatch);
    row([
        key("core-third", on_a_third, third, dispatch),
        open("open-lenses", "Compare lenses", Sheet::CompareLenses),
        open("open-panorama", "Panorama", Sheet::Panorama),
        open("open-skyline", "Skyline", Sheet::Skyline),
    ])
}

/// The rest of the inputs.
pub fn framing_drawer(
    state: &State,
    selected: &SelectedNight,
    frames: &CoreFrames,
    dispatch: &Dispatch,
) -> Html {
    let outing = state.outing();
    let trails = state.framing.drift_map;
    let onclick = on_click(dispatch, FramingAction::ShowDriftMap(!trails));
    let follow = on_click(dispatch, FramingEdit::FollowCore);
    html! {
        <>
            <div class="pair">
                { focal_length(outing, dispatch) }
                { time_stepper(selected, dispatch) }
            </div>
            { orientation_toggle(outing, dispatch) }
            { core_placement(selected, frames, dispatch) }
            <div class="row">
                { key("open-ground", "The ground", RouteAction::Open(Sheet::Ground), dispatch) }
                <button id="trails" type="button" aria-pressed={aria_bool(trails)} {onclick}>
                    { "Trails" }
                </button>
                <button
                    id="follow-core"
                    type="button"
                    disabled={outing.frame.is_none()}
                    onclick={follow}
                >
                    { words::follow(outing.subject) }
                </button>
            </div>
        </>
    }
}

/// Puts the core on a third of the frame, or in its middle.
pub fn core_placement(selected: &SelectedNight, frames: &CoreFrames, dispatch: &Dispatch) -> Html {
    let point = |frame| FramingEdit::Point(selected.night.date, selected.minute, frame).into();
    // at the height of the third that suits the ground
    let lower = frames.third == frames.lower_left || frames.third == frames.lower_right;
    let (left, right) = if lower {
        (frames.lower_left, frames.lower_right)
    } else {
        (frames.left, frames.right)
    };
    let placement = ToggleGroup {
        name: "put the core here",
        options: &[
            ("left", "", point(left)),
            ("middle", "", point(frames.middle)),
            ("right", "", point(right)),
        ],
        chosen: None,
        tall: false,
    };
    toggle_group(&placement, dispatch)
}

/// Portrait or landscape.
pub fn orientation_toggle(outing: &Outing, dispatch: &Dispatch) -> Html {
    let turn = |orientation| FramingEdit::Orientation(orientation).into();
    let orientation = ToggleGroup {
        name: "camera held",
        options: &[
            ("landscape", "", turn(Orientation::Landscape)),
            ("portrait", "", turn(Orientation::Portrait)),
        ],
        chosen: Some(usize::from(outing.orientation == Orientation::Portrait)),
        tall: false,
    };
    toggle_group(&orientation, dispatch)
}
