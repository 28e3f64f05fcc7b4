//! When? – the night, its shot window, and the minute looked at.

mod band;
pub mod calendar_button;
pub mod controls;
mod headline;
mod timeline_slider;

use yew::prelude::*;

use crate::outing::plan::Outing;
use crate::ui::screens::link_row::link_row;
use crate::ui::screens::night::band::band;
use crate::ui::screens::night::headline::headline;
use crate::ui::state::derived::night_band::NightBand;
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::state::routes::Sheet;
use crate::ui::text::night as words;
use crate::ui::text::windows;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::safety_note::safety_note;

/// What the lines of the band mean.
const LEGEND: &str = "Height runs to the right, time down. Hatched: light, the closer the lighter. \
                      Heavy line: the core over the ridge. Bar: the shot window.";

/// The screen.
pub fn night_screen(
    outing: &Outing,
    selected: &SelectedNight,
    curves: &NightBand,
    dispatch: &Dispatch,
) -> Html {
    html! {
        <>
            { link_row(words::site(&outing.site), Sheet::Site, dispatch) }
            { headline(outing, selected) }
            { link_row(windows::allowed(outing), Sheet::Night, dispatch) }
            <section class="night" aria-label="the night hour by hour">
                { band(selected, curves, outing, dispatch) }
                <p class="legend">{ LEGEND }</p>
            </section>
            { safety_note() }
        </>
    }
}
