//! The field card: the outing on one page, the frame beside the settings.
//!
//! On the screen it is read at arm's length; printed, it stands alone, black on white, on one page
//! (see the style sheet).

mod details;
mod timeline;

use yew::prelude::*;

use crate::browser::print;
use crate::outing::field::card::{Camera, FieldCard};
use crate::outing::plan::{Orientation, Outing};
use crate::ui::layout::{Layout, LayoutKind, Size};
use crate::ui::screens::framing::picture::framed;
use crate::ui::sheets::field_card::details::details;
use crate::ui::sheets::field_card::timeline::timeline;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::state::derived::sky_images::Grain;
use crate::ui::state::routes::{RouteAction, Sheet};
use crate::ui::text::field_card as words;
use crate::ui::text::framing;
use crate::ui::text::units::f_stop;
use crate::ui::text::windows;
use crate::ui::widgets::dialog::keyed_dialog;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::notices::notices;
use crate::ui::widgets::row::{key, row};
use crate::ui::widgets::safety_note::{CAUTIONS, SENSE};

/// A shutter mark of more bytes than this is drawn smaller.
const LONG: usize = 3;

/// Space beside the card's content, px.
const MARGINS_PX: f64 = 32.0;

/// Share of the width that the frame may take, and its greatest height, px: on a phone, and where
/// there is more room.
const SKETCH_SHARE: f64 = 0.52;
const WIDE_SKETCH_SHARE: f64 = 0.42;
const SKETCH_PX: f64 = 250.0;
const WIDE_SKETCH_PX: f64 = 480.0;

/// On a phone on its side, where the night stands under what is set: the share of the width that the
/// frame may take, the space under it and beside it, px.
const SIDE_SKETCH_SHARE: f64 = 0.3;
const SIDE_BELOW_PX: f64 = 24.0;

/// Height of the words that lead a card without a window, px.
const NO_WINDOW_PX: f64 = 76.0;
const SIDE_GAP_PX: f64 = 20.0;

/// The night as a line under it, px.
const TIMELINE_PX: f64 = 140.0;

/// The sheet.
pub fn field_card_sheet(state: &State, derived: &Derived, dispatch: &Dispatch) -> Html {
    let (selected, field) = (derived.night(state), derived.field(state));
    let layout = state.layout;
    let body = html! {
        <article class="field-card">
            { notices(&state.notices, dispatch) }
            { first_page(state, derived, layout.sheet().height) }
            <p class="care">
                <strong>{ "Care. " }</strong>
                { CAUTIONS.join(" ") }
                { " " }
                { SENSE }
            </p>
            { details(state, derived, &field, &selected) }
        </article>
    };
    keyed_dialog("Field card", body, keys(dispatch), dispatch)
}

/// The card as it stands beside More, where there is room: what is set, where to, and when.
pub fn field_card_beside(state: &State, derived: &Derived) -> Html {
    html! {
        <article class="field-card beside" aria-label="Field card">
            { first_page(state, derived, state.layout.stage().height) }
        </article>
    }
}

/// What the frame may take of a card of this height.
fn sketch_room(layout: Layout, height_px: f64) -> Size {
    let width = layout.sheet().width - MARGINS_PX;
    let (share, height) = match layout.kind() {
        LayoutKind::Tablet | LayoutKind::Desk => {
            let height = (height_px - TIMELINE_PX).clamp(SKETCH_PX, WIDE_SKETCH_PX);
            (WIDE_SKETCH_SHARE, height)
        }
        LayoutKind::Side => (SIDE_SKETCH_SHARE, (height_px - SIDE_BELOW_PX).max(100.0)),
        LayoutKind::Phone => (SKETCH_SHARE, SKETCH_PX),
    };
    Size {
        width: (share * width).floor(),
        height,
    }
}

/// What is read first, in so much height: the frame, what to set, where to point it, and the night as
/// a line.
fn first_page(state: &State, derived: &Derived, height_px: f64) -> Html {
    let outing = state.outing();
    let (selected, field) = (derived.night(state), derived.field(state));
    let card = &field.card;
    let sensor = derived.answer(state).view.sensor;
    let words_px = if card.window.is_none() {
        NO_WINDOW_PX
    } else {
        0.0
    };
    let room = sketch_room(state.layout, height_px - words_px);
    let sketch_size = room.fitted(sensor.width_mm / sensor.height_mm);
    let mut width = state.layout.sheet().width - MARGINS_PX;
    if state.layout.kind() == LayoutKind::Side {
        width -= sketch_size.width + SIDE_GAP_PX;
    }
    let greyed = card.window.is_none().then_some("greyed");
    let upright = (outing.orientation == Orientation::Portrait).then_some("upright");
    html! {
        <div class="first-page">
            { no_window(outing, card, &selected) }
            <div class={classes!("set", greyed, upright)}>
                { sketch(state, derived, sketch_size) }
                { settings(outing, card) }
                { aim(outing, card) }
            </div>
            { timeline(outing, card, &selected, width) }
        </div>
    }
}

/// The frame at the minute looked at.
fn sketch(state: &State, derived: &Derived, size: Size) -> Html {
    let view = derived.answer(state).view;
    let scene = derived.scene(state, view);
    let image = derived.frame_sky(state, view, size, Grain::Small);
    let label = framing::view(state.outing(), &derived.night(state), scene.sky.core);
    html! { <div class="sketch">{ framed(&scene, image, size, state, label) }</div> }
}

/// Why there is no window, where there is none.
fn no_window(outing: &Outing, card: &FieldCard, selected: &SelectedNight) -> Html {
    html! {
        if card.window.is_none() {
            <p class="second no-window">
                { ["No shot window. ", &windows::no_window(selected, outing)].concat() }
            </p>
        }
    }
}

/// What to set on the camera, the shutter far larger than anything else.
fn settings(outing: &Outing, card: &FieldCard) -> Html {
    let Camera {
        settings, answer, ..
    } = &card.camera;
    let series = &settings.series;
    let mark = series.shutter.mark();
    let long = (mark.len() > LONG).then_some("long");
    html! {
        <section aria-label="what to set">
            <p class={classes!("figure", "dial", long)}>
                { mark }
                <small>{ "s" }</small>
            </p>
            <p class="second">{ f_stop(settings.f_number) }</p>
            <p class="second">{ ["ISO ", &words::iso(settings.iso)].concat() }</p>
            <p class="second">{ words::frame_count(series) }</p>
            <p class="fact quiet">{ words::in_all(series) }</p>
            if let Some(whole) = words::whole_frame(outing, answer, series) {
                <p class="fact quiet">{ whole }</p>
            }
        </section>
    }
}

/// Where to point it, and where to focus.
fn aim(outing: &Outing, card: &FieldCard) -> Html {
    let towards = card.camera.towards;
    html! {
        <section class="aim" aria-label="where to point">
            <p class="fact">{ words::bearing_of(towards) }</p>
            <p class="fact">{ words::up_and_held(towards, outing) }</p>
            <p class="fact">{ words::focus_on(outing) }</p>
        </section>
    }
}

/// Print, and the sheets that belong to the card.
fn keys(dispatch: &Dispatch) -> Html {
    let print = Callback::from(|_: MouseEvent| print::print());
    let sheet = |id, word, sheet| key(id, word, RouteAction::Open(sheet), dispatch);
    row([
        html! { <button id="print" type="button" onclick={print}>{ "Print" }</button> },
        sheet("card-share", "Share", Sheet::Share),
        sheet("card-lists", "Lists", Sheet::Checklists),
    ])
}
