//! The same place through three lenses: frame and longest shutter side by side.

use yew::prelude::*;

use crate::outing::plan::Outing;
use crate::outing::plan::kit::Kit;
use crate::ui::layout::Size;
use crate::ui::screens::framing::picture::framed;
use crate::ui::state::State;
use crate::ui::state::action::Action;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::compare_lenses::{ComparedLens, LensPicture};
use crate::ui::state::document::kit::KitEdit;
use crate::ui::state::routes::{RouteAction, Sheet};
use crate::ui::text::exposure::dial;
use crate::ui::text::units::GAP;
use crate::ui::text::units::focal;
use crate::ui::widgets::aria::aria_bool;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::{Dispatch, on_click};

/// Room under an upright picture, and under all of them, for words and keys, px.
const WORDS_PX: f64 = 96.0;

/// Room between pictures, px, with what a key adds around one.
const APART_PX: f64 = 19.0;

/// Most lenses beside or under one another.
const MOST: f64 = 3.0;

/// The sheet.
pub fn compare_lenses_sheet(state: &State, derived: &Derived, dispatch: &Dispatch) -> Html {
    let sheet = state.layout.sheet();
    let upright = upright(state.outing());
    let (width, height) = (sheet.width - 32.0, sheet.height);
    let room = if upright || width > height {
        Size {
            width: width / MOST - APART_PX,
            height: (height - WORDS_PX).max(80.0),
        }
    } else {
        Size {
            width: width - 148.0,
            height: height / MOST - APART_PX,
        }
    };
    let content = html! {
        <div class={if upright || width > height { "compared-lenses" } else { "compared-lenses under" }}>
            { lens_keys_in(state, derived, dispatch, room) }
        </div>
    };
    let to_kit = on_click(dispatch, RouteAction::Open(Sheet::Kit));
    let keep = html! {
        <button id="open-kit" class="wide after" type="button" onclick={to_kit}>
            { "Save your own lenses" }
        </button>
    };
    dialog("Compare lenses", vec![content, keep], dispatch)
}

fn upright(outing: &Outing) -> bool {
    let sensor = outing.held_sensor();
    sensor.height_mm > sensor.width_mm
}

/// The same beside the picture of Where?, in a row of this size; nothing where one has one lens.
pub fn lens_keys(state: &State, derived: &Derived, dispatch: &Dispatch, row: Size) -> Html {
    let room = Size {
        width: row.width / MOST - APART_PX,
        ..row
    };
    let shown = derived.lens_pictures(state, room);
    let own = shown.pictures.iter().filter(|picture| picture.compared.own);
    if own.count() < 2 {
        return Html::default();
    }
    html! {
        <div class="compared-lenses small">{ lens_keys_in(state, derived, dispatch, room) }</div>
    }
}

/// A key a lens, each with a picture that fits into `room`.
fn lens_keys_in(state: &State, derived: &Derived, dispatch: &Dispatch, room: Size) -> Html {
    let shown = derived.lens_pictures(state, room);
    let lens = |picture: &LensPicture| {
        let LensPicture {
            compared,
            scene,
            image,
        } = picture;
        let onclick = on_click(dispatch, use_lens(state, compared));
        let (mark, unit) = dial(compared.core_dial);
        let (whole, whole_unit) = dial(compared.frame_dial);
        let focal = focal(compared.lens.focal_mm);
        html! {
            <button class={classes!("lens-key", (!compared.own).then_some("to-try"))} type="button" aria-pressed={aria_bool(compared.in_use)} {onclick}>
                { framed(scene, image.clone(), shown.size, state, focal.clone()) }
                <span class="lens-words">
                    <span class="step-word">{ focal }</span>
                    if !compared.own {
                        <span class="step-caption">{ "to try" }</span>
                    }
                    <span class="step-word">{ [&mark, GAP, unit].concat() }</span>
                    <span class="step-caption">
                        { ["whole frame ", &whole, GAP, whole_unit].concat() }
                    </span>
                </span>
            </button>
        }
    };
    html! { <>{ for shown.pictures.iter().map(lens) }</> }
}

/// Puts a lens on the body in use, under the name of the kit it was saved with.
fn use_lens(state: &State, compared: &ComparedLens) -> Action {
    if compared.in_use {
        return RouteAction::Close.into();
    }
    let document = state.document();
    let body = &document.outing.kit;
    let saved = document
        .kits
        .iter()
        .find(|kit| kit.with_sensor(body.sensor).lens == compared.lens);
    let kit = Kit {
        name: saved.map_or_else(String::new, |kit| kit.name.clone()),
        lens: compared.lens,
        ..body.clone()
    };
    KitEdit::Use(Box::new(kit)).into()
}
