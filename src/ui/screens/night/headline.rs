//! The shot window: the first thing the screen says. Without one, why there is none and what
//! would give one.

use yew::prelude::*;

use crate::ui::layout::{Layout, LayoutKind};
use crate::ui::screens::night::help::help;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::state::routes::{RouteAction, Screen};
use crate::ui::text::night as words;
use crate::ui::text::windows;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::small_frame::small_frame;

/// Ways to a window offered at the most, and on an upright phone, where they stand in one row.
const WAYS: usize = 6;
const PHONE_WAYS: usize = 3;

/// The headline.
pub fn headline(
    state: &State,
    derived: &Derived,
    selected: &SelectedNight,
    dispatch: &Dispatch,
) -> Html {
    let outing = state.outing();
    let Some(window) = selected.night.evening.best() else {
        let most = match state.layout.kind() {
            LayoutKind::Phone => PHONE_WAYS,
            _ => WAYS,
        };
        return html! {
            <section class="greyed" aria-labelledby="answer">
                <p id="answer" class="second" aria-live="polite">
                    { windows::no_window_reason(selected, outing) }
                </p>
                { help(state, derived, most, dispatch) }
            </section>
        };
    };
    let (start, end) = windows::ends(selected, &window);
    let moon = selected.night.moon;
    let moon = moon.map(|verdict| words::moon_verdict(verdict, selected));
    html! {
        <section class="window-now" aria-labelledby="answer">
            <div>
                <p id="answer" aria-live="polite">
                    <span class="figure">{ format!("{start}–{end}") }</span>
                    <span class="second">{ words::length(window.minutes) }</span>
                </p>
                <p class="fact">{ windows::again(selected, &window) }</p>
                if selected.live {
                    <p class="fact">{ words::status(selected, !windows::is_flat(outing)) }</p>
                } else {
                    <p class="fact quiet where">{ windows::clear(outing) }</p>
                }
                <p class="fact quiet">{ moon.unwrap_or_default() }</p>
            </div>
            if !matches!(state.layout.kind(), LayoutKind::Side | LayoutKind::Desk) {
                <button
                    id="to-frame"
                    type="button"
                    class="to-frame"
                    aria-label="the frame at this minute"
                    onclick={on_click(dispatch, RouteAction::Show(Screen::Framing))}
                >
                    { framed_now(state, derived) }
                </button>
            }
        </section>
    }
}

/// The frame at the minute looked at.
fn framed_now(state: &State, derived: &Derived) -> Html {
    let longest_px = longest_px(state.layout);
    let frame = derived.small_frame(state, longest_px);
    small_frame(&frame, longest_px, state.display.theme)
}

/// The frame's border on both sides, px.
const BORDERS_PX: f64 = 5.0;

/// The longer side, px.
fn longest_px(layout: Layout) -> f64 {
    if layout.has_column() {
        layout.column_width() - BORDERS_PX
    } else if layout.stage().height >= 500.0 {
        108.0
    } else {
        84.0
    }
}
