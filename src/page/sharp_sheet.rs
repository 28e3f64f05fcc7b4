//! What must stay sharp, and how sharp, from what the picture is for.

use yew::prelude::*;

use super::choice::{Choice, choice};
use super::field::Field;
use super::sheet::SheetFrame;
use super::state::Action;
use super::tap::Send;
use super::words;
use crate::camera::sharpness::{Seen, Sharpness};
use crate::decimal::plain;
use crate::outing::bounds::{DECLINATION, EYE_CM, PICTURE_CM, TRAIL_PX};
use crate::outing::plan::{KeepSharp, Outing};
use crate::sky::core::CORE_DECLINATION;

/// The sheet.
pub fn sharp_sheet(outing: &Outing, send: &Send) -> Html {
    html! {
        <SheetFrame title="Sharp" send={send.clone()}>
            <h3>{ "What must stay sharp" }</h3>
            { place(outing.keep_sharp, send) }
            <h3>{ "What the picture is for" }</h3>
            { purpose(outing, send) }
        </SheetFrame>
    }
}

fn place(keep: KeepSharp, send: &Send) -> Html {
    let chosen = match keep {
        KeepSharp::Core => 0,
        KeepSharp::WholeFrame => 1,
        KeepSharp::Centre => 2,
        KeepSharp::Declination(_) => 3,
    };
    let option = |word, line, keep| (word, line, Action::KeepSharpChosen(keep));
    let declination = KeepSharp::Declination(CORE_DECLINATION);
    let places = Choice {
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
                Ok(Action::KeepSharpChosen(KeepSharp::Declination(angle)))
            });
            html! {
                <Field
                    id="declination"
                    label="Declination, south negative"
                    unit="°"
                    keys="text"
                    value={plain(angle.degrees())}
                    {read}
                    send={send.clone()}
                />
            }
        }
        _ => html! {},
    };
    html! { <>{ choice(&places, send) }{ typed }</> }
}

fn purpose(outing: &Outing, send: &Send) -> Html {
    let sensor = outing.kit.sensor;
    let along = sensor.pixels_across.max(sensor.pixels_down);
    let chosen = match outing.sharpness {
        Sharpness::EveryPixel => 0,
        Sharpness::CloseLook => 1,
        Sharpness::Print(_) => 2,
        Sharpness::Screen(_) => 3,
        Sharpness::Pixels(_) => 4,
    };
    let option = |word, line, sharpness| (word, line, Action::SharpnessChosen(sharpness));
    let typed = Sharpness::Pixels(outing.allowed_px());
    let purposes = Choice {
        name: "what the picture is for",
        options: &[
            option("Every pixel", "1 px", Sharpness::EveryPixel),
            option("A close look", "2 px, at 100 %", Sharpness::CloseLook),
            option(
                "A print",
                "of a width, from a distance",
                Sharpness::Print(Seen::USUAL_PRINT),
            ),
            option(
                "A screen",
                "filled by the picture",
                Sharpness::Screen(Seen::USUAL_SCREEN),
            ),
            option("Typed", "pixels", typed),
        ],
        chosen: Some(chosen),
        tall: true,
    };
    let fields = match outing.sharpness {
        Sharpness::Print(seen) => seen_fields("Print width", seen, Sharpness::Print, send),
        Sharpness::Screen(seen) => seen_fields("Screen width", seen, Sharpness::Screen, send),
        Sharpness::Pixels(pixels) => {
            let read = reader(|text| TRAIL_PX.read(text).map(Sharpness::Pixels));
            html! {
                <Field
                    id="trail"
                    label="Trail allowed"
                    unit="px"
                    value={plain(pixels)}
                    {read}
                    send={send.clone()}
                />
            }
        }
        Sharpness::EveryPixel | Sharpness::CloseLook => html! {},
    };
    html! {
        <>
            { choice(&purposes, send) }
            { fields }
            <p role="status">{ words::conversion(outing.sharpness, along) }</p>
        </>
    }
}

/// Boxes for a width and a distance.
fn seen_fields(
    label: &'static str,
    seen: Seen,
    purpose: fn(Seen) -> Sharpness,
    send: &Send,
) -> Html {
    let width = reader(move |text| {
        let width_cm = PICTURE_CM.read(text)?;
        Ok(purpose(Seen { width_cm, ..seen }))
    });
    let from = reader(move |text| {
        let from_cm = EYE_CM.read(text)?;
        Ok(purpose(Seen { from_cm, ..seen }))
    });
    html! {
        <div class="pair">
            <Field
                id="seen-width"
                {label}
                unit="cm"
                value={plain(seen.width_cm)}
                read={width}
                send={send.clone()}
            />
            <Field
                id="seen-from"
                label="Seen from"
                unit="cm"
                value={plain(seen.from_cm)}
                read={from}
                send={send.clone()}
            />
        </div>
    }
}

fn reader(
    read: impl Fn(&str) -> Result<Sharpness, String> + 'static,
) -> Callback<String, Result<Action, String>> {
    Callback::from(move |text: String| read(&text).map(Action::SharpnessChosen))
}
