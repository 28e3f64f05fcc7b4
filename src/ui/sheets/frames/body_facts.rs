//! What is known of the body; what is not is taken to be typical.

use yew::prelude::*;

use crate::decimal::plain;
use crate::outing::plan::Outing;
use crate::outing::plan::bounds::{
    Bounds, CHARGE_MIN, DARK_E_S, FILE_MB, FULL_WELL_E, QUANTUM, READ_NOISE_E, TRANSMITTED, WRITE_S,
};
use crate::outing::plan::camera_body::CameraBody;
use crate::ui::state::document::kit::{BodyEdit, KitEdit};
use crate::ui::text::field_card as words;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::text_field::{Read, TextField, optional_text_field};

/// A share as percent.
const PERCENT: f64 = 100.0;

/// One number that may be known of a body.
struct BodyFact {
    id: &'static str,
    label: &'static str,
    bounds: Bounds,
    /// As it is typed, where it is known.
    value: Option<f64>,
    /// What applies where it is not.
    typical: f64,
    /// The edit that sets it, at an ISO.
    edit: fn(f64, Option<f64>) -> BodyEdit,
}

/// The fields; read noise is that at this ISO.
pub fn body_facts(outing: &Outing, iso: f64, dispatch: &Dispatch) -> Html {
    let fields = |facts: [BodyFact; 4]| {
        let fields = facts.map(|fact| body_fact(fact, iso, dispatch));
        html! { <div class="pair">{ for fields }</div> }
    };
    html! {
        <>
            <h3>{ "Known of the body" }</h3>
            <p>{ words::TYPICAL }</p>
            { fields(storage_and_light(outing)) }
            <details>
                <summary>{ "The sensor" }</summary>
                { fields(sensor(outing, iso)) }
            </details>
        </>
    }
}

/// What decides the number of frames, and the light that arrives.
fn storage_and_light(outing: &Outing) -> [BodyFact; 4] {
    let (body, typical) = (&outing.kit.body, CameraBody::default());
    [
        BodyFact {
            id: "write",
            label: "Frame gap",
            bounds: WRITE_S,
            value: body.write_s,
            typical: typical.write_s(),
            edit: |_, value| BodyEdit::WriteTime(value),
        },
        BodyFact {
            id: "file",
            label: "File size",
            bounds: FILE_MB,
            value: body.file_mb,
            typical: typical.file_mb(outing.kit.sensor),
            edit: |_, value| BodyEdit::FileSize(value),
        },
        BodyFact {
            id: "charge",
            label: "A charge lasts",
            bounds: CHARGE_MIN,
            value: body.charge_min,
            typical: typical.charge_min(),
            edit: |_, value| BodyEdit::Charge(value),
        },
        BodyFact {
            id: "glass",
            label: "Light let through",
            bounds: TRANSMITTED,
            value: body.transmitted.map(percent),
            typical: percent(typical.transmitted()),
            edit: |_, value| BodyEdit::Transmission(value.map(share)),
        },
    ]
}

/// What decides noise and the room above the sky.
fn sensor(outing: &Outing, iso: f64) -> [BodyFact; 4] {
    let (body, typical) = (&outing.kit.body, CameraBody::default());
    let noise = body.read_noise.iter().find(|(known, _)| *known == iso);
    // without the entry at this ISO, those beside it decide
    let mut others = body.clone();
    others.read_noise.retain(|(known, _)| *known != iso);
    [
        BodyFact {
            id: "noise",
            label: "Read noise",
            bounds: READ_NOISE_E,
            value: noise.map(|(_, electrons)| *electrons),
            typical: others.read_noise_e(iso),
            edit: BodyEdit::ReadNoise,
        },
        BodyFact {
            id: "quantum",
            label: "Quantum efficiency",
            bounds: QUANTUM,
            value: body.quantum.map(percent),
            typical: percent(typical.quantum()),
            edit: |_, value| BodyEdit::QuantumEfficiency(value.map(share)),
        },
        BodyFact {
            id: "warm",
            label: "Dark current",
            bounds: DARK_E_S,
            value: body.dark_e_s,
            typical: typical.dark_e_s(),
            edit: |_, value| BodyEdit::DarkCurrent(value),
        },
        BodyFact {
            id: "well",
            label: "Full well",
            bounds: FULL_WELL_E,
            value: body.full_well_e,
            typical: typical.full_well_e(outing.kit.sensor),
            edit: |_, value| BodyEdit::FullWell(value),
        },
    ]
}

fn percent(share: f64) -> f64 {
    PERCENT * share
}

fn share(percent: f64) -> f64 {
    percent / PERCENT
}

fn body_fact(fact: BodyFact, iso: f64, dispatch: &Dispatch) -> Html {
    let BodyFact {
        id,
        label,
        bounds,
        value,
        typical,
        edit,
    } = fact;
    let value = value.map(plain).unwrap_or_default();
    let field = TextField::digits((id, label, bounds.unit), value);
    let read: Read = Callback::from(move |text: String| {
        let value = bounds.read_if_any(&text)?;
        Ok(KitEdit::Body(edit(iso, value)).into())
    });
    optional_text_field(field, words::if_empty(typical, bounds.unit), read, dispatch)
}
