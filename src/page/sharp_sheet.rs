//! What must stay sharp, and how sharp, from what the picture is for.

use yew::prelude::*;

use super::choice::{Choice, choice};
use super::field::Field;
use super::sheet::SheetFrame;
use super::state::Action;
use super::words;
use crate::camera::sharpness::{Seen, Sharpness};
use crate::outing::bounds::{DECLINATION, EYE_CM, PICTURE_CM, TRAIL_PX};
use crate::outing::form::plain;
use crate::outing::plan::{KeepSharp, Outing};
use crate::sky::core::CORE_DECLINATION;

/// The sheet.
pub fn sharp_sheet(outing: &Outing, send: &Callback<Action>) -> Html {
    let onclose = send.reform(|()| Action::SheetClosed);
    html! {
        <SheetFrame title="Sharp" {onclose}>
            { place(outing.keep_sharp, send) }
            { purpose(outing, send) }
        </SheetFrame>
    }
}

fn place(keep: KeepSharp, send: &Callback<Action>) -> Html {
    let options = [
        ("Core", "where the Milky Way is brightest"),
        ("Whole frame", "every star, worst corner included"),
        ("Middle", "the centre of the frame"),
        ("Declination", "a star you name, in the middle"),
    ];
    let chosen = match keep {
        KeepSharp::Core => 0,
        KeepSharp::WholeFrame => 1,
        KeepSharp::Centre => 2,
        KeepSharp::Declination(_) => 3,
    };
    let places = Choice {
        name: "what must stay sharp",
        options: &options,
        chosen: Some(chosen),
        tall: true,
    };
    let onchoose = send.reform(|place| {
        Action::KeepSharpChosen(match place {
            0 => KeepSharp::Core,
            1 => KeepSharp::WholeFrame,
            2 => KeepSharp::Centre,
            _ => KeepSharp::Declination(CORE_DECLINATION),
        })
    });
    let read = {
        let send = send.clone();
        Callback::from(move |text: String| {
            DECLINATION
                .read_angle(&text)
                .map(|angle| send.emit(Action::KeepSharpChosen(KeepSharp::Declination(angle))))
        })
    };
    html! {
        <>
            <h3>{ "What must stay sharp" }</h3>
            { choice(&places, &onchoose) }
            if let KeepSharp::Declination(angle) = keep {
                <Field
                    id="declination"
                    label="Declination, south negative"
                    unit="°"
                    keys="text"
                    value={plain(angle.degrees())}
                    {read}
                />
            }
        </>
    }
}

fn purpose(outing: &Outing, send: &Callback<Action>) -> Html {
    let sensor = outing.kit.sensor;
    let along = sensor.pixels_across.max(sensor.pixels_down);
    let options = [
        ("Every pixel", "1 px"),
        ("A close look", "2 px, at 100 %"),
        ("A print", "of a width, from a distance"),
        ("A screen", "filled by the picture"),
        ("Typed", "pixels"),
    ];
    let chosen = match outing.sharpness {
        Sharpness::EveryPixel => 0,
        Sharpness::CloseLook => 1,
        Sharpness::Print(_) => 2,
        Sharpness::Screen(_) => 3,
        Sharpness::Pixels(_) => 4,
    };
    let purposes = Choice {
        name: "what the picture is for",
        options: &options,
        chosen: Some(chosen),
        tall: true,
    };
    let allowed_px = outing.allowed_px();
    let onchoose = send.reform(move |place| {
        Action::SharpnessChosen(match place {
            0 => Sharpness::EveryPixel,
            1 => Sharpness::CloseLook,
            2 => Sharpness::Print(Seen::USUAL_PRINT),
            3 => Sharpness::Screen(Seen::USUAL_SCREEN),
            _ => Sharpness::Pixels(allowed_px),
        })
    });
    html! {
        <>
            <h3>{ "What the picture is for" }</h3>
            { choice(&purposes, &onchoose) }
            { match outing.sharpness {
                Sharpness::Print(seen) => seen_fields("Print width", seen, Sharpness::Print, send),
                Sharpness::Screen(seen) => seen_fields("Screen width", seen, Sharpness::Screen, send),
                Sharpness::Pixels(pixels) => html! {
                    <Field
                        id="trail"
                        label="Trail allowed"
                        unit="px"
                        value={plain(pixels)}
                        read={reader(send, |text| TRAIL_PX.read(text).map(Sharpness::Pixels))}
                    />
                },
                Sharpness::EveryPixel | Sharpness::CloseLook => html! {},
            } }
            <p role="status">{ words::conversion(outing.sharpness, along) }</p>
        </>
    }
}

/// Boxes for a width and a distance.
fn seen_fields(
    label: &'static str,
    seen: Seen,
    purpose: fn(Seen) -> Sharpness,
    send: &Callback<Action>,
) -> Html {
    let width = reader(send, move |text| {
        let width_cm = PICTURE_CM.read(text)?;
        Ok(purpose(Seen { width_cm, ..seen }))
    });
    let from = reader(send, move |text| {
        let from_cm = EYE_CM.read(text)?;
        Ok(purpose(Seen { from_cm, ..seen }))
    });
    html! {
        <div class="pair">
            <Field id="seen-width" {label} unit="cm" value={plain(seen.width_cm)} read={width} />
            <Field id="seen-from" label="Seen from" unit="cm" value={plain(seen.from_cm)} read={from} />
        </div>
    }
}

fn reader(
    send: &Callback<Action>,
    read: impl Fn(&str) -> Result<Sharpness, String> + 'static,
) -> Callback<String, Result<(), String>> {
    let send = send.clone();
    Callback::from(move |text: String| {
        read(&text).map(|sharpness| send.emit(Action::SharpnessChosen(sharpness)))
    })
}
