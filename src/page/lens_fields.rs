//! The lens of the kit in use, and the kit's name.

use web_sys::HtmlSelectElement;
use yew::prelude::*;

use super::field::Field;
use super::state::Action;
use super::tap::Send;
use super::words;
use crate::camera::lens::Projection;
use crate::decimal::plain;
use crate::outing::bounds::{F_NUMBER, FOCAL_MM};
use crate::outing::form::LONGEST_NAME;
use crate::outing::kit::Kit;

/// Focal length, widest aperture, projection.
pub fn lens_fields(kit: &Kit, send: &Send) -> Html {
    let focal = reader(kit, |kit, text| {
        kit.lens.focal_mm = FOCAL_MM.read(text)?;
        Ok(())
    });
    let widest = reader(kit, |kit, text| {
        kit.lens.f_number = F_NUMBER.read(text.trim_start_matches("f/"))?;
        Ok(())
    });
    let onchange = {
        let (kit, send) = (kit.clone(), send.clone());
        Callback::from(move |event: Event| {
            let select = event.target_dyn_into::<HtmlSelectElement>();
            let chosen = select.and_then(|select| usize::try_from(select.selected_index()).ok());
            if let Some(projection) = chosen.and_then(|place| Projection::ALL.get(place)) {
                let mut kit = kit.clone();
                kit.lens.projection = *projection;
                send.emit(Action::KitEdited(kit));
            }
        })
    };
    let option = |projection: Projection| {
        let selected = projection == kit.lens.projection;
        html! { <option {selected}>{ words::projection(projection) }</option> }
    };
    html! {
        <>
            <div class="pair">
                <Field
                    id="focal"
                    label="Focal length"
                    unit="mm"
                    value={plain(kit.lens.focal_mm)}
                    read={focal}
                    send={send.clone()}
                />
                <Field
                    id="widest"
                    label="Widest f/"
                    value={plain(kit.lens.f_number)}
                    read={widest}
                    send={send.clone()}
                />
            </div>
            <div class="field">
                <label for="projection">{ "Lens" }</label>
                <select id="projection" {onchange}>
                    { for Projection::ALL.into_iter().map(option) }
                </select>
            </div>
        </>
    }
}

/// What the owner calls the kit.
pub fn name_field(kit: &Kit, send: &Send) -> Html {
    let read = reader(kit, |kit, text| {
        kit.name = text.trim().chars().take(LONGEST_NAME).collect();
        Ok(())
    });
    html! {
        <Field
            id="kit-name"
            label="Name, if you like"
            keys="text"
            value={kit.name.clone()}
            {read}
            send={send.clone()}
        />
    }
}

/// Reads a typed value into the kit, or says what is wrong.
fn reader(
    kit: &Kit,
    read: fn(&mut Kit, &str) -> Result<(), String>,
) -> Callback<String, Result<Action, String>> {
    let kit = kit.clone();
    Callback::from(move |text: String| {
        let mut kit = kit.clone();
        read(&mut kit, &text)?;
        Ok(Action::KitEdited(kit))
    })
}
