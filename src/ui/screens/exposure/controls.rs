//! The controls of How long?: focal length, f-number, trail allowed, place that must stay sharp,
//! and beside the loupes the shutter time to try.

use yew::prelude::*;

use crate::outing::exposure::ShutterTrails;
use crate::outing::plan::Outing;
use crate::ui::state::document::exposure::ExposureEdit;
use crate::ui::state::document::kit::KitEdit;
use crate::ui::state::routes::{RouteAction, Sheet};
use crate::ui::state::views::ExposureAction;
use crate::ui::text::exposure;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::stepper::{Stepper, stepper};

/// The rest of the inputs.
pub fn exposure_drawer(outing: &Outing, dispatch: &Dispatch) -> Html {
    let trail = Stepper {
        name: "trail allowed",
        value: exposure::trail(outing.allowed_px()),
        caption: "sharpness",
        less: ExposureEdit::StepTrail(false).into(),
        more: ExposureEdit::StepTrail(true).into(),
        value_tapped: Some(RouteAction::Open(Sheet::Sharpness).into()),
    };
    let onclick = on_click(dispatch, RouteAction::Open(Sheet::Sharpness));
    html! {
        <>
            { stepper(trail, dispatch) }
            <button class="keep" type="button" {onclick}>
                <span class="line">{ "sharp:" }</span>
                <span class="word">{ exposure::kept_sharp_short(outing.keep_sharp, outing.subject) }</span>
            </button>
        </>
    }
}

/// The focal length in use.
pub fn focal_length(outing: &Outing, dispatch: &Dispatch) -> Html {
    let focal = Stepper {
        name: "focal length",
        value: exposure::focal(outing.kit.lens.focal_mm),
        caption: "lens",
        less: KitEdit::StepFocalLength(false).into(),
        more: KitEdit::StepFocalLength(true).into(),
        value_tapped: Some(RouteAction::Open(Sheet::FocalLength).into()),
    };
    stepper(focal, dispatch)
}

/// The f-number in use.
pub fn f_number(outing: &Outing, dispatch: &Dispatch) -> Html {
    let f_number = Stepper {
        name: "f-number",
        value: exposure::f_stop(outing.f_number),
        caption: "aperture",
        less: ExposureEdit::StepFNumber(false).into(),
        more: ExposureEdit::StepFNumber(true).into(),
        value_tapped: Some(RouteAction::Open(Sheet::FNumber).into()),
    };
    stepper(f_number, dispatch)
}

/// The shutter time to try, so many thirds of a stop longer than the answer.
pub fn trial_stepper(trial: &ShutterTrails, thirds: i32, dispatch: &Dispatch) -> Html {
    // at the end of the dial a press counts for nothing
    let step = |by: i32| {
        let moves = trial.shutter.stepped(by) != trial.shutter;
        ExposureAction::TryShutter(if moves { by } else { 0 }).into()
    };
    let tried = Stepper {
        name: "shutter to try",
        value: exposure::shutter(trial.shutter),
        caption: "try",
        less: step(-1),
        more: step(1),
        // a tap goes back to the answer
        value_tapped: (thirds != 0).then_some(ExposureAction::TryShutter(-thirds).into()),
    };
    html! { <div class="try">{ stepper(tried, dispatch) }</div> }
}
