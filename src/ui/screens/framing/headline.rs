//! Where the camera points and what it is set to: on a phone they stand on the picture.

use yew::prelude::*;

use crate::outing::exposure::Answer;
use crate::ui::state::State;
use crate::ui::state::derived::scene::FramedSky;
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::text::exposure;
use crate::ui::text::framing as words;
use crate::ui::text::units;

/// The headline; the core is in the frame or not.
pub fn headline(
    state: &State,
    answer: &Answer,
    selected: &SelectedNight,
    (sky, in_frame): (&FramedSky, bool),
) -> Html {
    let outing = state.outing();
    let frame = outing.pointing().frame;
    let (mark, unit) = exposure::dial(answer.dial());
    let without = selected.night.evening.usable.no_window_reason;
    let by_compass = words::compass_beside(frame.bearing, state.skyline.known_declination());
    let trouble = words::trouble(outing, (sky.core_is_clear, in_frame), without);
    html! {
        <>
            <div class="aim" aria-live="polite">
                <p id="answer" class="figure">{ words::towards(frame.bearing) }</p>
                <p class="second">{ words::up(outing) }</p>
                if let Some(compass) = by_compass {
                    <p class="fact quiet">{ compass }</p>
                }
                <p class="fact">{ trouble }</p>
            </div>
            <div class={classes!("set", without.is_some().then_some("greyed"))}>
                <p class="figure">{ mark }<small>{ unit }</small></p>
                <p class="second">{ units::focal(outing.kit.lens.focal_mm) }</p>
                if state.layout.has_column() {
                    <p class="fact quiet">{ units::f_stop(outing.f_number) }</p>
                }
            </div>
        </>
    }
}
