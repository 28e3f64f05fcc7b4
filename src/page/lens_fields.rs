//! The lens of the kit in use, and the kit's name.

use yew::prelude::*;

use super::element::{all, el};
use super::field::{Field, Read, field};
use super::real_lens_fields::real_lens_fields;
use super::select::{Select, select};
use super::state::Action;
use super::tap::Send;
use super::words;
use crate::camera::lens::Projection;
use crate::decimal::plain;
use crate::outing::bounds::{F_NUMBER, FOCAL_MM};
use crate::outing::form::LONGEST_NAME;
use crate::outing::kit::Kit;

/// Focal length, widest aperture, projection, and what is known of it besides.
pub fn lens_fields(kit: &Kit, send: &Send) -> Html {
    let focal = reader(kit, |kit, text| {
        kit.lens.focal_mm = FOCAL_MM.read(text)?;
        Ok(())
    });
    let widest = reader(kit, |kit, text| {
        kit.lens.f_number = F_NUMBER.read(text.strip_prefix("f/").unwrap_or(text))?;
        Ok(())
    });
    let number = |id, label, unit, value| Field::digits((id, label, unit), plain(value));
    let lens = kit.lens;
    let numbers = vec![
        field(
            number("focal", "Focal length", "mm", lens.focal_mm),
            focal,
            send,
        ),
        field(
            number("widest", "Widest f/", "", lens.f_number),
            widest,
            send,
        ),
    ];
    let option = |projection: Projection| {
        let mut kit = kit.clone();
        kit.lens.projection = projection;
        let word = words::projection(projection).to_owned();
        (word, Some(Action::KitEdited(Box::new(kit))))
    };
    let same = |projection: &Projection| *projection == lens.projection;
    let projections = Select {
        id: "projection",
        label: "Lens",
        options: Projection::ALL.into_iter().map(option).collect(),
        chosen: Projection::ALL.iter().position(same).unwrap_or(0),
    };
    all(vec![
        el("div", &[("class", "pair")], numbers),
        select(projections, send),
        real_lens_fields(kit, send),
    ])
}

/// What the owner calls the kit.
pub fn name_field(kit: &Kit, send: &Send) -> Html {
    let read = reader(kit, |kit, text| {
        kit.name = text.trim().chars().take(LONGEST_NAME).collect();
        Ok(())
    });
    let name = Field::words(("kit-name", "Name, if you like", ""), kit.name.clone());
    field(name, read, send)
}

/// Reads a typed value into the kit, or says what is wrong.
pub fn reader(kit: &Kit, read: fn(&mut Kit, &str) -> Result<(), String>) -> Read {
    let kit = kit.clone();
    Callback::from(move |text: String| {
        let mut kit = kit.clone();
        read(&mut kit, &text)?;
        Ok(Action::KitEdited(Box::new(kit)))
    })
}
