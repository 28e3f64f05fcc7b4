//! What must stay sharp, and how sharp, from what the picture is for.

use crate::ui::state::document::exposure::ExposureEdit;
use yew::prelude::*;

use crate::camera::sharpness::{Sharpness, Viewing};
use crate::decimal::plain;
use crate::outing::plan::bounds::{DECLINATION, EYE_CM, PICTURE_CM, TRAIL_PX};
use crate::outing::plan::{KeepSharp, Outing};
use crate::sky::galactic_core::CORE_DECLINATION;
use crate::ui::text::exposure;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::element::{all, el, nothing, say};
use crate::ui::widgets::text_field::{Read, TextField, text_field};
use crate::ui::widgets::toggle_group::{ToggleGroup, toggle_group};

/// The sheet.
pub fn sharpness_sheet(outing: &Outing, dispatch: &Dispatch) -> Html {
    let parts = vec![
        say("h3", &[], "What must stay sharp"),
        place(outing.keep_sharp, dispatch),
        say("h3", &[], "What the picture is for"),
        purpose(outing, dispatch),
    ];
    dialog("Sharp", parts, dispatch)
}

fn place(keep: KeepSharp, dispatch: &Dispatch) -> Html {
    let chosen = match keep {
        KeepSharp::Core => 0,
        KeepSharp::WholeFrame => 1,
        KeepSharp::Centre => 2,
        KeepSharp::Declination(_) => 3,
    };
    let option = |word, line, keep| (word, line, ExposureEdit::KeepSharp(keep).into());
    // tapped again, an option in force keeps what was typed
    let declination = match keep {
        KeepSharp::Declination(_) => keep,
        _ => KeepSharp::Declination(CORE_DECLINATION),
    };
    let places = ToggleGroup {
        name: "what must stay sharp",
        options: &[
            option("Core", "where the Milky Way is brightest", KeepSharp::Core),
            option(
                "Whole frame",
                "every star, worst corner included",
                KeepSharp::WholeFrame,
            ),
            option("Middle", "the centre of the frame", KeepSharp::Centre),
            option("Declination", "a star you name, in the middle", declination),
        ],
        chosen: Some(chosen),
        tall: true,
    };
    let typed = match keep {
        KeepSharp::Declination(angle) => {
            let read = Callback::from(|text: String| {
                let angle = DECLINATION.read_angle(&text)?;
                Ok(ExposureEdit::KeepSharp(KeepSharp::Declination(angle)).into())
            });
            let declination = TextField::words(
                ("declination", "Declination, south negative", "°"),
                plain(angle.degrees()),
            );
            text_field(declination, read, dispatch)
        }
        _ => nothing(),
    };
    all(vec![toggle_group(&places, dispatch), typed])
}

fn purpose(outing: &Outing, dispatch: &Dispatch) -> Html {
    let sensor = outing.kit.sensor;
    let along = sensor.pixels_across.max(sensor.pixels_down);
    let chosen = match outing.sharpness {
        Sharpness::EveryPixel => 0,
        Sharpness::CloseLook => 1,
        Sharpness::Print(_) => 2,
        Sharpness::Screen(_) => 3,
        Sharpness::Pixels(_) => 4,
    };
    let option = |word, line, sharpness| (word, line, ExposureEdit::Sharpness(sharpness).into());
    let typed = Sharpness::Pixels(outing.allowed_px());
    let print = match outing.sharpness {
        Sharpness::Print(_) => outing.sharpness,
        _ => Sharpness::Print(Viewing::USUAL_PRINT),
    };
    let screen = match outing.sharpness {
        Sharpness::Screen(_) => outing.sharpness,
        _ => Sharpness::Screen(Viewing::USUAL_SCREEN),
    };
    let purposes = ToggleGroup {
        name: "what the picture is for",
        options: &[
            option("Every pixel", "1 px", Sharpness::EveryPixel),
            option("A close look", "2 px, at 100 %", Sharpness::CloseLook),
            option("A print", "of a width, from a distance", print),
            option("A screen", "filled by the picture", screen),
            option("Typed", "pixels", typed),
        ],
        chosen: Some(chosen),
        tall: true,
    };
    let fields = match outing.sharpness {
        Sharpness::Print(seen) => seen_fields("Print width", seen, Sharpness::Print, dispatch),
        Sharpness::Screen(seen) => seen_fields("Screen width", seen, Sharpness::Screen, dispatch),
        Sharpness::Pixels(pixels) => {
            let read = reader(|text| TRAIL_PX.read(text).map(Sharpness::Pixels));
            text_field(
                number("trail", "Trail allowed", "px", pixels),
                read,
                dispatch,
            )
        }
        Sharpness::EveryPixel | Sharpness::CloseLook => nothing(),
    };
    let conversion = exposure::conversion(outing.sharpness, along);
    all(vec![
        toggle_group(&purposes, dispatch),
        fields,
        say("p", &[("role", "status")], conversion),
    ])
}

/// Boxes for a width and a distance.
fn seen_fields(
    label: &'static str,
    seen: Viewing,
    purpose: fn(Viewing) -> Sharpness,
    dispatch: &Dispatch,
) -> Html {
    let width = reader(move |text| {
        let width_cm = PICTURE_CM.read(text)?;
        Ok(purpose(Viewing { width_cm, ..seen }))
    });
    let from = reader(move |text| {
        let distance_cm = EYE_CM.read(text)?;
        Ok(purpose(Viewing {
            distance_cm,
            ..seen
        }))
    });
    let boxes = vec![
        text_field(
            number("seen-width", label, "cm", seen.width_cm),
            width,
            dispatch,
        ),
        text_field(
            number("seen-from", "Seen from", "cm", seen.distance_cm),
            from,
            dispatch,
        ),
    ];
    el("div", &[("class", "pair")], boxes)
}

fn number(id: &'static str, label: &'static str, unit: &'static str, value: f64) -> TextField {
    TextField::digits((id, label, unit), plain(value))
}

fn reader(read: impl Fn(&str) -> Result<Sharpness, String> + 'static) -> Read {
    Callback::from(move |text: String| {
        read(&text).map(|value| ExposureEdit::Sharpness(value).into())
    })
}
