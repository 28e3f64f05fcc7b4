//! The controls of How long?: focal length, f-number, trail allowed, place kept sharp.

use yew::prelude::*;

use crate::outing::plan::Outing;
use crate::ui::state::document::exposure::ExposureEdit;
use crate::ui::state::document::kit::KitEdit;
use crate::ui::state::routes::{RouteAction, Sheet};
use crate::ui::text::exposure;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::stepper::{Stepper, stepper};

/// The controls.
pub fn exposure_controls(outing: &Outing, dispatch: &Dispatch) -> Html {
    let trail = Stepper {
        name: "trail allowed",
        value: exposure::trail(outing.allowed_px()),
        less: ExposureEdit::StepTrail(false).into(),
        more: ExposureEdit::StepTrail(true).into(),
        value_tapped: Some(RouteAction::Open(Sheet::Sharpness).into()),
    };
    let onclick = on_click(dispatch, RouteAction::Open(Sheet::Sharpness));
    html! {
        <>
            { focal_length(outing, dispatch) }
            { f_number(outing, dispatch) }
            { stepper(trail, dispatch) }
            <button class="keep" type="button" {onclick}>
                <span class="line">{ "sharp:" }</span>
                <span class="word">{ exposure::kept_sharp_short(outing.keep_sharp) }</span>
            </button>
        </>
    }
}

/// The focal length in use.
pub fn focal_length(outing: &Outing, dispatch: &Dispatch) -> Html {
    let focal = Stepper {
        name: "focal length",
        value: exposure::focal(outing.kit.lens.focal_mm),
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
        less: ExposureEdit::StepFNumber(false).into(),
        more: ExposureEdit::StepFNumber(true).into(),
        value_tapped: Some(RouteAction::Open(Sheet::FNumber).into()),
    };
    stepper(f_number, dispatch)
}
