//! Kits: bodies and lenses, several saved, one in use.

use web_sys::{HtmlInputElement, HtmlSelectElement};
use yew::prelude::*;

use super::choice::{Choice, choice};
use super::field::Field;
use super::sheet::SheetFrame;
use super::state::{Action, Kept, Notice};
use super::words;
use crate::camera::lens::Projection;
use crate::camera::photo::PhotoFacts;
use crate::camera::sensor::{FORMATS, Sensor};
use crate::device::file;
use crate::outing::bounds::{F_NUMBER, FOCAL_MM, MEGAPIXELS, SENSOR_MM, SIDE_PX};
use crate::outing::form::{LONGEST_NAME, plain};
use crate::outing::kit::Kit;

/// Pixel counts this close, relative, are called the same.
const SAME_COUNT: f64 = 0.02;

/// A change to the kit in use.
type Edit = Callback<Kit>;

/// The sheet.
pub fn kit_sheet(kept: &Kept, send: &Callback<Action>) -> Html {
    let onclose = send.reform(|()| Action::SheetClosed);
    let kit = &kept.outing.kit;
    let edit: Edit = send.reform(Action::KitEdited);
    let save = send.reform(|_: MouseEvent| Action::KitSaved);
    let saved = kept.kits.contains(kit);
    html! {
        <SheetFrame title="Kit" {onclose}>
            { saved_kits(kept, send) }
            <h3>{ "In use" }</h3>
            <p class="in-use" role="status">{ words::kit(kit, kit.lens.f_number) }</p>
            { from_photo(kit, send) }
            { body_fields(kit, &edit) }
            { lens_fields(kit, &edit) }
            { name_field(kit, &edit) }
            <button type="button" class="wide" disabled={saved} onclick={save}>
                { if saved { "Saved" } else { "Save this kit" } }
            </button>
        </SheetFrame>
    }
}

fn saved_kits(kept: &Kept, send: &Callback<Action>) -> Html {
    let rows = kept.kits.iter().enumerate().map(|(place, kit)| {
        let take = send.reform(move |_: MouseEvent| Action::KitTaken(place));
        let remove = send.reform(move |_: MouseEvent| Action::KitRemoved(place));
        let line = words::kit(kit, kit.lens.f_number);
        let name = if kit.name.is_empty() {
            line.clone()
        } else {
            kit.name.clone()
        };
        html! {
            <li key={place}>
                <button
                    type="button"
                    class="option"
                    aria-pressed={(*kit == kept.outing.kit).to_string()}
                    onclick={take}
                >
                    <span class="word">{ &name }</span>
                    if name != line { <span class="line">{ line }</span> }
                </button>
                <button type="button" aria-label={format!("remove {name}")} onclick={remove}>
                    { "Remove" }
                </button>
            </li>
        }
    });
    if kept.kits.is_empty() {
        return html! {};
    }
    html! {
        <>
            <h3>{ "Saved" }</h3>
            <ul class="kits">{ for rows }</ul>
        </>
    }
}

fn from_photo(kit: &Kit, send: &Callback<Action>) -> Html {
    let onchange = {
        let (kit, send) = (kit.clone(), send.clone());
        move |event: Event| {
            let input = event.target_dyn_into::<HtmlInputElement>();
            let Some(photo) = input.and_then(|input| input.files()?.get(0)) else {
                return;
            };
            let (kit, send) = (kit.clone(), send.clone());
            file::read(photo, move |bytes| {
                let facts =
                    bytes.and_then(|bytes| PhotoFacts::read(&bytes).map_err(|why| why.to_string()));
                match facts {
                    Ok(facts) => {
                        let (kit, sentence) = words::kit_from_photo(&kit, facts);
                        send.emit(Action::KitEdited(kit));
                        send.emit(Action::Noticed(Notice::Said(sentence)));
                    }
                    Err(why) => send.emit(Action::Noticed(Notice::Said(why))),
                }
            });
        }
    };
    html! {
        <div class="photo">
            <label class="wide" for="photo">{ "Read it from a photo" }</label>
            <input id="photo" type="file" accept="image/*,.dng,.tif,.tiff,.nef,.cr2,.arw,.orf,.pef" {onchange} />
            <p>{ "Open a picture of yours, JPEG or raw. It is read here and goes nowhere." }</p>
        </div>
    }
}

fn body_fields(kit: &Kit, edit: &Edit) -> Html {
    let sensor = kit.sensor;
    let format = sensor.format();
    let place = format.and_then(|found| FORMATS.iter().position(|format| format == found));
    let onformat = changed(kit, edit, move |kit, event: Event| {
        let select = event.target_dyn_into::<HtmlSelectElement>();
        let chosen = select.and_then(|select| select.value().parse::<usize>().ok());
        if let Some(format) = chosen.and_then(|place| FORMATS.get(place)) {
            kit.sensor = format.sensor(sensor.megapixels().round().max(1.0));
        }
    });
    let usual = format.map_or(&[][..], |format| format.usual_megapixels);
    let counts: Vec<String> = usual.iter().map(|count| plain(*count)).collect();
    let options: Vec<_> = counts.iter().map(|count| (count.as_str(), "")).collect();
    let same = |count: &f64| (sensor.megapixels() / count - 1.0).abs() < SAME_COUNT;
    let megapixels = Choice {
        name: "megapixels",
        options: &options,
        chosen: usual.iter().position(same),
        tall: false,
    };
    let onchoose = changed(kit, edit, move |kit, place: usize| {
        if let (Some(format), Some(count)) = (format, usual.get(place)) {
            kit.sensor = format.sensor(*count);
        }
    });
    html! {
        <>
            <div class="field">
                <label for="format">{ "Sensor format" }</label>
                <select id="format" onchange={onformat}>
                    if place.is_none() {
                        <option selected=true value="">{ "other size" }</option>
                    }
                    { for FORMATS.iter().enumerate().map(|(at, format)| html! {
                        <option selected={place == Some(at)} value={at.to_string()}>
                            { format!("{} ({} × {} mm)", format.name, format.width_mm, format.height_mm) }
                        </option>
                    }) }
                </select>
            </div>
            if !options.is_empty() {
                <p class="label">{ "Megapixels" }</p>
                { choice(&megapixels, &onchoose) }
            }
            <details>
                <summary>{ "Exact size and pixels" }</summary>
                { exact_fields(kit, edit) }
            </details>
        </>
    }
}

fn exact_fields(kit: &Kit, edit: &Edit) -> Html {
    let sensor = kit.sensor;
    let size = |id: &'static str, label: &'static str, value: f64, set: fn(&mut Sensor, f64)| {
        let read = typed(kit, edit, move |kit, text| {
            SENSOR_MM.read(text).map(|mm| set(&mut kit.sensor, mm))
        });
        html! { <Field {id} {label} unit="mm" value={plain(value)} {read} /> }
    };
    let count = |id: &'static str, label: &'static str, value: u32, set: fn(&mut Sensor, u32)| {
        let read = typed(kit, edit, move |kit, text| {
            SIDE_PX.read_whole(text).map(|px| set(&mut kit.sensor, px))
        });
        html! { <Field {id} {label} unit="px" keys="numeric" value={value.to_string()} {read} /> }
    };
    let megapixels = typed(kit, edit, |kit, text| {
        MEGAPIXELS.read(text).map(|count| {
            let sensor = &mut kit.sensor;
            let ratio = sensor.width_mm / sensor.height_mm;
            let across = (count * 1e6 * ratio).sqrt();
            sensor.pixels_across = across.round().max(1.0) as u32;
            sensor.pixels_down = (across / ratio).round().max(1.0) as u32;
        })
    });
    html! {
        <>
            <div class="pair">
                { size("width", "Width", sensor.width_mm, |sensor, mm| sensor.width_mm = mm) }
                { size("height", "Height", sensor.height_mm, |sensor, mm| sensor.height_mm = mm) }
            </div>
            <div class="pair">
                { count("across", "Pixels across", sensor.pixels_across, |sensor, px| sensor.pixels_across = px) }
                { count("down", "Pixels down", sensor.pixels_down, |sensor, px| sensor.pixels_down = px) }
            </div>
            <Field
                id="megapixels"
                label="or megapixels"
                unit="MP"
                value={plain((sensor.megapixels() * 10.0).round() / 10.0)}
                read={megapixels}
            />
        </>
    }
}

fn lens_fields(kit: &Kit, edit: &Edit) -> Html {
    let focal = typed(kit, edit, |kit, text| {
        FOCAL_MM
            .read(text)
            .map(|focal_mm| kit.lens.focal_mm = focal_mm)
    });
    let widest = typed(kit, edit, |kit, text| {
        let text = text.trim_start_matches("f/");
        F_NUMBER
            .read(text)
            .map(|f_number| kit.lens.f_number = f_number)
    });
    let onchange = changed(kit, edit, |kit, event: Event| {
        let select = event.target_dyn_into::<HtmlSelectElement>();
        let chosen = select.and_then(|select| select.value().parse::<usize>().ok());
        if let Some(projection) = chosen.and_then(|place| Projection::ALL.get(place)) {
            kit.lens.projection = *projection;
        }
    });
    html! {
        <>
            <div class="pair">
                <Field id="focal" label="Focal length" unit="mm" value={plain(kit.lens.focal_mm)} read={focal} />
                <Field id="widest" label="Widest f-number" value={plain(kit.lens.f_number)} read={widest} />
            </div>
            <div class="field">
                <label for="projection">{ "Lens" }</label>
                <select id="projection" {onchange}>
                    { for Projection::ALL.into_iter().enumerate().map(|(at, projection)| html! {
                        <option selected={projection == kit.lens.projection} value={at.to_string()}>
                            { words::projection(projection) }
                        </option>
                    }) }
                </select>
            </div>
        </>
    }
}

fn name_field(kit: &Kit, edit: &Edit) -> Html {
    let read = typed(kit, edit, |kit, text| {
        kit.name = text.trim().chars().take(LONGEST_NAME).collect();
        Ok(())
    });
    html! {
        <Field id="kit-name" label="Name, if you like" keys="text" value={kit.name.clone()} {read} />
    }
}

/// Reports the kit as it is after a change.
fn changed<Event: 'static>(
    kit: &Kit,
    edit: &Edit,
    change: impl Fn(&mut Kit, Event) + 'static,
) -> Callback<Event> {
    let kit = kit.clone();
    edit.reform(move |event| {
        let mut kit = kit.clone();
        change(&mut kit, event);
        kit
    })
}

/// Reads a typed value into the kit and reports it, or says what is wrong.
fn typed(
    kit: &Kit,
    edit: &Edit,
    read: impl Fn(&mut Kit, &str) -> Result<(), String> + 'static,
) -> Callback<String, Result<(), String>> {
    let (kit, edit) = (kit.clone(), edit.clone());
    Callback::from(move |text: String| {
        let mut kit = kit.clone();
        read(&mut kit, &text)?;
        edit.emit(kit);
        Ok(())
    })
}
