//! The controls of Why track?: the lens looked at, the f-number, the time, and what the camera
//! stands on.

use yew::prelude::*;

use crate::outing::plan::kit::next_focal_mm;
use crate::outing::plan::{Outing, Support};
use crate::ui::screens::exposure::controls::f_number;
use crate::ui::state::document::exposure::ExposureEdit;
use crate::ui::state::routes::{RouteAction, Sheet};
use crate::ui::state::views::TrackingAction;
use crate::ui::text::tracking::lens;
use crate::ui::text::units;
use crate::ui::widgets::aria::aria_bool;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::row::{key, row};
use crate::ui::widgets::stepper::{Stepper, stepper};

/// The lens looked at.
pub fn lens_stepper(outing: &Outing, tried_mm: f64, dispatch: &Dispatch) -> Html {
    let own_mm = outing.kit.lens.focal_mm;
    let tried = |up| TrackingAction::TryLens(Some(next_focal_mm(tried_mm, up))).into();
    let lens = Stepper {
        name: "lens looked at",
        value: lens(tried_mm),
        caption: "lens",
        less: tried(false),
        more: tried(true),
        // a tap goes back to the lens in use, and from there to typing another
        value_tapped: Some(if tried_mm == own_mm {
            RouteAction::Open(Sheet::FocalLength).into()
        } else {
            TrackingAction::TryLens(None).into()
        }),
    };
    stepper(lens, dispatch)
}

/// Total time on the sky.
pub fn total_stepper(outing: &Outing, dispatch: &Dispatch) -> Html {
    let time = Stepper {
        name: "time in all",
        value: units::up_to(outing.stack_min * 60.0),
        caption: "in all",
        less: ExposureEdit::StepTotalTime(false).into(),
        more: ExposureEdit::StepTotalTime(true).into(),
        value_tapped: Some(RouteAction::Open(Sheet::Frames).into()),
    };
    stepper(time, dispatch)
}

/// The rest of the inputs.
pub fn tracking_drawer(outing: &Outing, dispatch: &Dispatch) -> Html {
    let support = |(id, word): (&'static str, &'static str), support| {
        let onclick = on_click(dispatch, ExposureEdit::Support(support));
        let pressed = aria_bool(outing.support == support);
        html! { <button {id} type="button" aria-pressed={pressed} {onclick}>{ word }</button> }
    };
    let sheet = |id, word, sheet| key(id, word, RouteAction::Open(sheet), dispatch);
    html! {
        <div class="tracking-drawer">
            { f_number(outing, dispatch) }
            <div class="row" role="group" aria-label="what the camera stands on">
                { support(("on-tripod", "tripod"), Support::Tripod) }
                { support(("on-tracker", "tracker"), Support::Tracker) }
            </div>
            { row([
                sheet("tracker-sheet", "Alignment", Sheet::Tracker),
                sheet("frames-sheet", "ISO, pause", Sheet::Frames),
            ]) }
        </div>
    }
}
