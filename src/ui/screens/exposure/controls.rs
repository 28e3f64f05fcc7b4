//! The controls of How long?: lens and aperture as keys; place that must stay sharp, sharpness,
//! ISO, frames, focus, foreground, own lenses and a shutter time to try in the drawer.

use yew::prelude::*;

use crate::camera::dial::{next_iso, next_of};
use crate::camera::focus::Focus;
use crate::decimal::plain;
use crate::outing::document::Document;
use crate::outing::exposure::ShutterTrails;
use crate::outing::plan::bounds::WRITE_S;
use crate::outing::plan::{KeepSharp, Outing};
use crate::ui::state::State;
use crate::ui::state::derived::shot_plan::ShotPlan;
use crate::ui::state::document::exposure::ExposureEdit;
use crate::ui::state::document::kit::{BodyEdit, KitEdit};
use crate::ui::state::document::lists::ListsEdit;
use crate::ui::state::ground::GroundAction;
use crate::ui::state::routes::{RouteAction, Sheet};
use crate::ui::state::views::ExposureAction;
use crate::ui::text::units::{GAP, distance, f_stop, focal, shutter};
use crate::ui::text::{exposure, field_card};
use crate::ui::widgets::aria::aria_bool;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::stepper::{Stepper, stepper};

/// Distances the focus steps through below infinity, and of the nearest foreground, m.
const USUAL_M: [f64; 13] = [
    0.5, 0.7, 1.0, 1.5, 2.0, 3.0, 5.0, 7.0, 10.0, 15.0, 20.0, 50.0, 100.0,
];

/// Pauses between frames, s.
const USUAL_PAUSES_S: [f64; 8] = [0.0, 0.5, 1.0, 2.0, 3.0, 5.0, 10.0, 20.0];

/// All inputs but the two keys.
pub fn exposure_drawer(
    state: &State,
    plan: &ShotPlan,
    trial: &ShutterTrails,
    dispatch: &Dispatch,
) -> Html {
    let outing = state.outing();
    let steppers = [
        sharpness(outing),
        iso(plan),
        total_time(outing),
        pause(outing),
        focus(outing),
        foreground(state),
        trial_shutter(trial, state.exposure.tried_thirds),
    ];
    let steppers = steppers.map(|it| stepper(it, dispatch));
    html! {
        <div class="inputs">
            { places(outing, dispatch) }
            <div class="steppers">{ for steppers }</div>
            { lenses(state.document(), dispatch) }
        </div>
    }
}

/// The place in the frame that must stay sharp.
fn places(outing: &Outing, dispatch: &Dispatch) -> Html {
    let keep = outing.keep_sharp;
    // another tap on the one in force does not reset what was typed
    let declination = match keep {
        KeepSharp::Declination(_) => keep,
        _ => KeepSharp::Declination(outing.subject.declination()),
    };
    let places = [
        ("sharp-core", outing.subject.word(), KeepSharp::Core),
        ("sharp-frame", "whole frame", KeepSharp::WholeFrame),
        ("sharp-middle", "middle", KeepSharp::Centre),
        ("sharp-declination", "declination", declination),
    ];
    let key = |(id, word, place): (&'static str, &'static str, KeepSharp)| {
        let onclick = on_click(dispatch, ExposureEdit::KeepSharp(place));
        let chosen = std::mem::discriminant(&place) == std::mem::discriminant(&keep);
        html! {
            <button {id} type="button" aria-pressed={aria_bool(chosen)} {onclick}>{ word }</button>
        }
    };
    html! {
        <div class="places" role="group" aria-labelledby="places-title">
            <p id="places-title" class="quiet">{ "must stay sharp" }</p>
            <div class="place-keys">{ for places.map(key) }</div>
        </div>
    }
}

fn sharpness(outing: &Outing) -> Stepper<'static> {
    Stepper {
        name: "trail allowed",
        value: exposure::whole(outing.allowed_px()),
        caption: "sharpness",
        less: ExposureEdit::StepTrail(false).into(),
        more: ExposureEdit::StepTrail(true).into(),
        value_tapped: Some(RouteAction::Open(Sheet::Sharpness).into()),
    }
}

fn iso(plan: &ShotPlan) -> Stepper<'static> {
    let next = |up| ExposureEdit::Iso(Some(next_iso(plan.iso, up))).into();
    Stepper {
        name: "ISO",
        value: field_card::iso(plan.iso),
        caption: "ISO",
        less: next(false),
        more: next(true),
        value_tapped: Some(RouteAction::Open(Sheet::Frames).into()),
    }
}

fn total_time(outing: &Outing) -> Stepper<'static> {
    Stepper {
        name: "time in all",
        value: plain(outing.stack_min) + GAP + "min",
        caption: "in all",
        less: ExposureEdit::StepTotalTime(false).into(),
        more: ExposureEdit::StepTotalTime(true).into(),
        value_tapped: Some(RouteAction::Open(Sheet::Frames).into()),
    }
}

/// The least time between exposures; the interval is then of whole seconds.
fn pause(outing: &Outing) -> Stepper<'static> {
    let pause_s = outing.kit.body.write_s();
    let next = |up| {
        let next = next_of(&USUAL_PAUSES_S, pause_s, up);
        KitEdit::Body(BodyEdit::WriteTime(Some(next))).into()
    };
    Stepper {
        name: "pause between frames",
        value: plain(pause_s) + GAP + WRITE_S.unit,
        caption: "pause",
        less: next(false),
        more: next(true),
        value_tapped: Some(RouteAction::Open(Sheet::Frames).into()),
    }
}

fn focus(outing: &Outing) -> Stepper<'static> {
    let farthest = USUAL_M[USUAL_M.len() - 1];
    let (value, less, more) = match outing.focus {
        Focus::At(metres) => {
            let farther = next_of(&USUAL_M, metres, true);
            let farther = match farther > metres {
                true => Focus::At(farther),
                false => Focus::Stars,
            };
            let nearer = Focus::At(next_of(&USUAL_M, metres, false));
            (distance(metres), nearer, farther)
        }
        Focus::Stars => ("∞".to_owned(), Focus::At(farthest), Focus::Stars),
        Focus::Hyperfocal => ("hyperfocal".to_owned(), Focus::At(USUAL_M[8]), Focus::Stars),
    };
    Stepper {
        name: "focus",
        value,
        caption: "focus",
        less: ExposureEdit::Focus(less).into(),
        more: ExposureEdit::Focus(more).into(),
        value_tapped: None,
    }
}

/// Distance of the nearest foreground that must be sharp in its own frames.
fn foreground(state: &State) -> Stepper<'static> {
    let metres = state.ground.nearest_m;
    let next = |up| GroundAction::Nearest(next_of(&USUAL_M, metres, up)).into();
    Stepper {
        name: "nearest foreground",
        value: distance(metres),
        caption: "foreground",
        less: next(false),
        more: next(true),
        value_tapped: None,
    }
}

/// The shutter time the pictures show, so many thirds of a stop longer than the answer.
fn trial_shutter(trial: &ShutterTrails, thirds: i32) -> Stepper<'static> {
    // at the end of the dial a press counts for nothing
    let step = |by: i32| {
        let moves = trial.shutter.stepped(by) != trial.shutter;
        ExposureAction::TryShutter(if moves { by } else { 0 }).into()
    };
    Stepper {
        name: "shutter to try",
        value: shutter(trial.shutter),
        caption: if thirds == 0 { "try" } else { "tried" },
        less: step(-1),
        more: step(1),
        // a tap goes back to the answer
        value_tapped: (thirds != 0).then_some(ExposureAction::TryShutter(-thirds).into()),
    }
}

/// The lenses of the saved kits.
fn lenses(document: &Document, dispatch: &Dispatch) -> Html {
    if document.kits.is_empty() {
        return Html::default();
    }
    let in_use = &document.outing.kit;
    let chips = document.kits.iter().enumerate().map(|(place, kit)| {
        let onclick = on_click(dispatch, ListsEdit::UseKit(place));
        let name = match kit.name.as_str() {
            "" => focal(kit.lens.focal_mm),
            name => name.to_owned(),
        };
        html! {
            <button type="button" aria-pressed={aria_bool(kit == in_use)} {onclick}>
                { name }
            </button>
        }
    });
    html! { <div class="lenses" role="group" aria-label="own lenses">{ for chips }</div> }
}

/// The focal length in use.
pub fn focal_length(outing: &Outing, dispatch: &Dispatch) -> Html {
    let stepped = Stepper {
        name: "focal length",
        value: focal(outing.kit.lens.focal_mm),
        caption: "lens",
        less: KitEdit::StepFocalLength(false).into(),
        more: KitEdit::StepFocalLength(true).into(),
        value_tapped: Some(RouteAction::Open(Sheet::FocalLength).into()),
    };
    stepper(stepped, dispatch)
}

/// The f-number in use.
pub fn f_number(outing: &Outing, dispatch: &Dispatch) -> Html {
    let stepped = Stepper {
        name: "f-number",
        value: f_stop(outing.f_number),
        caption: "aperture",
        less: ExposureEdit::StepFNumber(false).into(),
        more: ExposureEdit::StepFNumber(true).into(),
        value_tapped: Some(RouteAction::Open(Sheet::FNumber).into()),
    };
    stepper(stepped, dispatch)
}
