//! The lens of the kit in use, and the kit's name.

use crate::ui::state::document::kit::KitEdit;
use yew::prelude::*;

use crate::camera::lens::Projection;
use crate::decimal::plain;
use crate::outing::plan::bounds::{F_NUMBER, FOCAL_MM};
use crate::outing::plan::kit::Kit;
use crate::ui::sheets::kit::real_lens_fields::real_lens_fields;
use crate::ui::text::exposure;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::element::{all, el};
use crate::ui::widgets::select::{Select, select};
use crate::ui::widgets::text_field::{TextField, text_field};

/// Focal length, widest aperture, projection, and what is known of it besides.
pub fn lens_fields(kit: &Kit, dispatch: &Dispatch) -> Html {
    let focal = Callback::from(|text: String| {
        FOCAL_MM
            .read(&text)
            .map(|focal_mm| KitEdit::FocalLength(focal_mm).into())
    });
    let widest = Callback::from(|text: String| {
        let number = text.strip_prefix("f/").unwrap_or(&text);
        F_NUMBER
            .read(number)
            .map(|f_number| KitEdit::WidestAperture(f_number).into())
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
        let word = exposure::projection(projection).to_owned();
        (word, Some(KitEdit::Projection(projection).into()))
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
    let read = Callback::from(|text: String| Ok(KitEdit::Name(text).into()));
    let name = TextField::words(("kit-name", "Name, if you like", ""), kit.name.clone());
    text_field(name, read, dispatch)
}
