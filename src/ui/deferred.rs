//! The views that the first answer does not need.
//!
//! The build tool (`tests/tools/split.rs`) moves the functions of this file, with all that only
//! they call, out of the program into a file of its own. They may be called only once that is
//! loaded: `State::deferred_loaded`.

use std::rc::Rc;

use yew::prelude::*;

use crate::browser::theme::Theme;
use crate::outing::sky_picture::SkyTones;
use crate::ui::layout::Size;
use crate::ui::palette::Shading;
use crate::ui::screens::ScreenParts;
use crate::ui::screens::exposure::{ExposureRest, Pictures};
use crate::ui::screens::framing::framing_screen;
use crate::ui::screens::night::night_screen;
use crate::ui::screens::tracking::tracking_screen;
use crate::ui::sheets;
use crate::ui::sheets::field_card::field_card_beside;
use crate::ui::sheets::test_frame::picture::{FramePicture, picture};
use crate::ui::sheets::test_frame::{Message, TestFrameSheet};
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::horizon::Horizon;
use crate::ui::state::routes::Sheet;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::sky_canvas::SkyImage;
use crate::ui::widgets::sky_canvas::paint::{self, Pixels};

/// A sheet, from the state and what is derived from it.
// inlined, it could not be moved
#[inline(never)]
pub fn sheet(sheet: Sheet, state: &State, derived: &Derived, dispatch: &Dispatch) -> Html {
    sheets::view(sheet, state, derived, dispatch)
}

/// The field card beside More.
#[inline(never)]
pub fn card_beside(state: &State, derived: &Derived) -> Html {
    field_card_beside(state, derived)
}

/// The parts of When?.
#[inline(never)]
pub fn night(state: &State, derived: &Derived, dispatch: &Dispatch) -> ScreenParts {
    night_screen(state, derived, dispatch)
}

/// The parts of Where?.
#[inline(never)]
pub fn framing(state: &State, derived: &Derived, dispatch: &Dispatch) -> ScreenParts {
    framing_screen(state, derived, dispatch)
}

/// The parts of Why track?.
#[inline(never)]
pub fn tracking(state: &State, derived: &Derived, dispatch: &Dispatch) -> ScreenParts {
    tracking_screen(state, derived, dispatch)
}

/// What of How long? stands beside headline and loupes.
#[inline(never)]
pub fn exposure_rest(
    state: &State,
    derived: &Derived,
    pictures: &Pictures,
    dispatch: &Dispatch,
) -> ExposureRest {
    ExposureRest::new(state, derived, pictures, dispatch)
}

/// The sky over the horizon strip.
#[inline(never)]
pub fn strip_sky(derived: &Derived, state: &State, horizon: &Horizon, size: Size) -> Rc<SkyImage> {
    derived.strip_sky(state, horizon, size)
}

/// Tones of the sky as pixels.
#[inline(never)]
pub fn painted(tones: &SkyTones, look: (Theme, Shading), size: (usize, usize)) -> Pixels {
    paint::painted(tones, look, size)
}

/// The content of Test frame.
#[inline(never)]
pub fn test_frame(sheet: &TestFrameSheet, context: &Context<TestFrameSheet>) -> Html {
    sheet.content(context)
}

/// What happened to Test frame; whether something else is to be shown.
#[inline(never)]
pub fn test_frame_update(
    sheet: &mut TestFrameSheet,
    context: &Context<TestFrameSheet>,
    message: Message,
) -> bool {
    sheet.take(context, message)
}

/// A test frame with what is drawn over it.
#[inline(never)]
pub fn frame_picture(canvas: &NodeRef, context: &Context<FramePicture>) -> Html {
    picture(canvas, context)
}
