//! The lens of the kit in use, and the kit's name.

use yew::prelude::*;

use crate::camera::lens::Projection;
use crate::decimal::plain;
use crate::outing::plan::bounds::{F_NUMBER, FOCAL_MM};
use crate::outing::plan::kit::Kit;
use crate::outing::share::query::LONGEST_NAME;
use crate::ui::sheets::kit::real_lens_fields::real_lens_fields;
use crate::ui::state::action::Action;
use crate::ui::text::exposure;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::element::{all, el};
use crate::ui::widgets::select::{Select, select};
use crate::ui::widgets::text_field::{Read, TextField, text_field};

/// Focal length, widest aperture, projection, and what is known of it besides.
pub fn lens_fields(kit: &Kit, dispatch: &Dispatch) -> Html {
    let focal = reader(kit, |kit, text| {
        kit.lens.focal_mm = FOCAL_MM.read(text)?;
        Ok(())
    });
    let widest = reader(kit, |kit, text| {
        kit.lens.f_number = F_NUMBER.read(text.strip_prefix("f/").unwrap_or(text))?;
        Ok(())
    });
    let number = |id, label, unit, value| TextField::digits((id, label, unit), plain(value));
    let lens = kit.lens;
    let numbers = vec![
        text_field(
            number("focal", "Focal length", "mm", lens.focal_mm),
            focal,
            dispatch,
        ),
        text_field(
            number("widest", "Widest f/", "", lens.f_number),
            widest,
            dispatch,
        ),
    ];
    let option = |projection: Projection| {
        let mut kit = kit.clone();
        kit.lens.projection = projection;
        let word = exposure::projection(projection).to_owned();
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
        select(projections, dispatch),
        real_lens_fields(kit, dispatch),
    ])
}

/// What the owner calls the kit.
pub fn name_field(kit: &Kit, dispatch: &Dispatch) -> Html {
    let read = reader(kit, |kit, text| {
        kit.name = text.trim().chars().take(LONGEST_NAME).collect();
        Ok(())
    });
    let name = TextField::words(("kit-name", "Name, if you like", ""), kit.name.clone());
    text_field(name, read, dispatch)
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
