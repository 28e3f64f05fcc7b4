//! What must stay sharp, and how sharp, from what the picture is for.

use yew::prelude::*;

use crate::angle::Angle;
use crate::camera::sharpness::{Sharpness, Viewing};
use crate::decimal::plain;
use crate::outing::plan::bounds::{DECLINATION, EYE_CM, PICTURE_CM, TRAIL_PX};
use crate::outing::plan::{KeepSharp, Outing};
use crate::ui::state::document::exposure::ExposureEdit;
use crate::ui::text::exposure;
use crate::ui::text::subject::{capitalised, note};
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::text_field::{About, Read, TextField, number_field, text_field};
use crate::ui::widgets::toggle_group::{ToggleGroup, toggle_group};

/// The sheet.
pub fn sharpness_sheet(outing: &Outing, dispatch: &Dispatch) -> Html {
    let sensor = outing.kit.sensor;
    let pixels_along = sensor.pixels_across.max(sensor.pixels_down);
    let content = html! {
        <>
            <h3>{ "What must stay sharp" }</h3>
            { places(outing, dispatch) }
            if let KeepSharp::Declination(angle) = outing.keep_sharp {
                { declination_field(angle, dispatch) }
            }
            <h3>{ "What the picture is for" }</h3>
            { purposes(outing, dispatch) }
            { purpose_fields(outing.sharpness, dispatch) }
            <p role="status">{ exposure::conversion(outing.sharpness, pixels_along) }</p>
        </>
    };
    dialog("Sharpness", vec![content], dispatch)
}

/// The place in the frame that must stay sharp.
fn places(outing: &Outing, dispatch: &Dispatch) -> Html {
    let (keep, subject) = (outing.keep_sharp, outing.subject);
    let name = capitalised(subject);
    let chosen = match keep {
        KeepSharp::Core => 0,
        KeepSharp::WholeFrame => 1,
        KeepSharp::Centre => 2,
        KeepSharp::Declination(_) => 3,
    };
    let option = |word, line, keep| (word, line, ExposureEdit::KeepSharp(keep).into());
    // another tap on the option in force does not reset what was typed
    let declination = match keep {
        KeepSharp::Declination(_) => keep,
        _ => KeepSharp::Declination(subject.declination()),
    };
    let places = ToggleGroup {
        name: "what must stay sharp",
        options: &[
            option(name.as_str(), note(subject), KeepSharp::Core),
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
    toggle_group(&places, dispatch)
}

fn declination_field(angle: Angle, dispatch: &Dispatch) -> Html {
    number_field(
        ("declination", "Declination, south negative", "°"),
        angle.degrees(),
        DECLINATION,
        |degrees| ExposureEdit::KeepSharp(KeepSharp::Declination(Angle::from_degrees(degrees))),
        dispatch,
    )
}

/// What the picture is for.
fn purposes(outing: &Outing, dispatch: &Dispatch) -> Html {
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
    toggle_group(&purposes, dispatch)
}

/// The numbers that the purpose asks for, if any.
fn purpose_fields(sharpness: Sharpness, dispatch: &Dispatch) -> Html {
    match sharpness {
        Sharpness::Print(seen) => seen_fields("Print width", seen, Sharpness::Print, dispatch),
        Sharpness::Screen(seen) => seen_fields("Screen width", seen, Sharpness::Screen, dispatch),
        Sharpness::Pixels(pixels) => {
            let read = reader(|text| TRAIL_PX.read(text).map(Sharpness::Pixels));
            digits_field(("trail", "Trail allowed", "px"), pixels, read, dispatch)
        }
        Sharpness::EveryPixel | Sharpness::CloseLook => Html::default(),
    }
}

/// The picture's width and the distance it is seen from.
fn seen_fields(
    width_label: &'static str,
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
    let (width_about, from_about) = (
        ("seen-width", width_label, "cm"),
        ("seen-from", "Seen from", "cm"),
    );
    html! {
        <div class="pair">
            { digits_field(width_about, seen.width_cm, width, dispatch) }
            { digits_field(from_about, seen.distance_cm, from, dispatch) }
        </div>
    }
}

fn digits_field(about: About, value: f64, read: Read, dispatch: &Dispatch) -> Html {
    text_field(TextField::digits(about, plain(value)), read, dispatch)
}

fn reader(read: impl Fn(&str) -> Result<Sharpness, String> + 'static) -> Read {
    Callback::from(move |text: String| {
        read(&text).map(|value| ExposureEdit::Sharpness(value).into())
    })
}
