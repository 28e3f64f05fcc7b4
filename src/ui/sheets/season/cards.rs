//! The best nights to come, each with its frame and what its light is worth.

use chrono::Datelike;
use yew::prelude::*;

use crate::outing::night::season::NightSummary;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::small_frame::SmallFrame;
use crate::ui::state::document::night::NightEdit;
use crate::ui::text::night as words;
use crate::ui::text::season;
use crate::ui::widgets::aria::aria_bool;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::small_frame::small_frame;

/// The longer side of a frame, px: on the sheet, and where three cards with it beside their words would
/// be wider than that or than a column.
const FRAME_PX: f64 = 64.0;
const SMALL_FRAME_PX: f64 = 52.0;

/// Width of a sheet with three cards of the larger frames, px.
const WIDE_PX: f64 = 350.0;

/// The cards, and a line that tells what they have over the night chosen.
pub fn best_nights(state: &State, derived: &Derived, dispatch: &Dispatch) -> Html {
    let best = derived.best_nights(state);
    let chosen = derived.night(state).night.date;
    let season = derived.season(state);
    let Some(best_h) = best.first().map(|night| night.equivalent_h) else {
        return html! { <p class="fact">{ season::no_nights(state.outing(), &season) }</p> };
    };
    let frame_px = if state.layout.has_column() || state.layout.sheet().width < WIDE_PX {
        SMALL_FRAME_PX
    } else {
        FRAME_PX
    };
    let frames = derived.best_frames(state, frame_px);
    let card = |(night, frame): (&NightSummary, &SmallFrame)| {
        let date = night.date;
        html! {
            <button
                type="button"
                class="best-night"
                aria-label={season::best_night(night)}
                aria-pressed={aria_bool(date == chosen)}
                onclick={on_click(dispatch, NightEdit::Date(date))}
            >
                { small_frame(frame, frame_px, state.display.theme) }
                <span class="of">
                    <span class="day">{ format!("{} {}", date.day(), words::month(date)) }</span>
                    if season.night(date).is_none() {
                        <span class="year">{ date.year() }</span>
                    }
                    <span class="worth">{ words::length_short(night.minutes as u32) }</span>
                    <span class="year">
                        { season::share_of_best(night.equivalent_h, best_h) }
                    </span>
                </span>
            </button>
        }
    };
    let cards = best.iter().zip(&*frames).map(card);
    let why = season::against_chosen((&season, best_h), chosen);
    html! {
        <div class="best-nights">
            <div class="row">{ for cards }</div>
            <p class="against quiet">{ why }</p>
        </div>
    }
}
