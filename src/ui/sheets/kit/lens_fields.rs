//! The lens of the kit in use, and the kit's name.

use yew::prelude::*;

use crate::camera::lens::Projection;
use crate::decimal::plain;
use crate::outing::plan::bounds::{F_NUMBER, FOCAL_MM};
use crate::outing::plan::kit::Kit;
use crate::ui::sheets::kit::real_lens_fields::real_lens_fields;
use crate::ui::state::document::kit::KitEdit;
use crate::ui::text::kit;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::select::{Select, select};
use crate::ui::widgets::text_field::{TextField, text_field};

/// Focal length and widest aperture.
pub fn lens_fields(kit: &Kit, dispatch: &Dispatch) -> Html {
    html! {
        <div class="pair">
            { focal_length_field(kit, dispatch) }
            { widest_aperture_field(kit, dispatch) }
        </div>
    }
}

/// Projection, and what is known of the lens besides.
pub fn more_of_lens(kit: &Kit, dispatch: &Dispatch) -> Html {
    html! {
        <>
            { real_lens_fields(kit, dispatch) }
            { projection_select(kit, dispatch) }
        </>
    }
}

fn focal_length_field(kit: &Kit, dispatch: &Dispatch) -> Html {
    let focal_mm = plain(kit.lens.focal_mm);
    let field = TextField::digits(("focal", "Focal length", "mm"), focal_mm).stepped(FOCAL_MM);
    let read = Callback::from(|text: String| {
        FOCAL_MM
            .read(&text)
            .map(|focal_mm| KitEdit::FocalLength(focal_mm).into())
    });
    text_field(field, read, dispatch)
}

fn widest_aperture_field(kit: &Kit, dispatch: &Dispatch) -> Html {
    let f_number = plain(kit.lens.f_number);
    let field = TextField::digits(("widest", "f-number, widest", ""), f_number).stepped(F_NUMBER);
    let read = Callback::from(|text: String| {
        let number = text.strip_prefix("f/").unwrap_or(&text);
        F_NUMBER
            .read(number)
            .map(|f_number| KitEdit::WidestAperture(f_number).into())
    });
    text_field(field, read, dispatch)
}

fn projection_select(kit: &Kit, dispatch: &Dispatch) -> Html {
    let option = |projection: Projection| {
        let word = kit::projection(projection).to_owned();
        (word, Some(KitEdit::Projection(projection).into()))
    };
    let in_use = |projection: &Projection| *projection == kit.lens.projection;
    let projections = Select {
        id: "projection",
        label: "Kind of lens",
        options: Projection::ALL.into_iter().map(option).collect(),
        chosen: Projection::ALL.iter().position(in_use).unwrap_or(0),
    };
    select(projections, dispatch)
}

/// What the owner calls the kit.
pub fn name_field(kit: &Kit, dispatch: &Dispatch) -> Html {
    let read = Callback::from(|text: String| Ok(KitEdit::Name(text).into()));
    let name = TextField::words(("kit-name", "Name, if you like", ""), kit.name.clone());
    text_field(name, read, dispatch)
}
