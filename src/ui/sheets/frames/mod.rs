//! Frames and ISO: how many frames fit the time, how the light is placed in the histogram,
//! and what is known of body, sky and subject.

mod body_facts;
mod sky_and_subject;

use yew::prelude::*;

use crate::camera::dial::next_iso;
use crate::decimal::plain;
use crate::outing::exposure::corner::Corner;
use crate::outing::exposure::settings::Settings;
use crate::outing::plan::Outing;
use crate::outing::plan::bounds::STACK_MIN;
use crate::ui::sheets::frames::body_facts::body_facts;
use crate::ui::sheets::frames::sky_and_subject::sky_and_subject;
use crate::ui::state::derived::field_card::FieldAnalysis;
use crate::ui::state::document::exposure::ExposureEdit;
use crate::ui::text::corner;
use crate::ui::text::field_card as words;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::stepper::{Stepper, stepper};
use crate::ui::widgets::text_field::{Read, TextField, text_field};
use crate::ui::widgets::toggle_group::option;

/// The sheet, with the settings of the field card.
pub fn frames_sheet(outing: &Outing, field: &FieldAnalysis, dispatch: &Dispatch) -> Html {
    let settings = &field.card.camera.settings;
    let content = html! {
        <>
            <p class="in-use" role="status">{ words::frames(settings) }</p>
            { total_time(outing, dispatch) }
            { iso(outing, (settings, field.corner.as_ref()), dispatch) }
            { body_facts(outing, settings.iso, dispatch) }
            { sky_and_subject(outing, dispatch) }
        </>
    };
    dialog("Frames and ISO", vec![content], dispatch)
}

/// Time of all frames together.
fn total_time(outing: &Outing, dispatch: &Dispatch) -> Html {
    let minutes = plain(outing.stack_min);
    let steps = Stepper {
        name: "time in all",
        value: [minutes.as_str(), " min in all"].concat(),
        less: ExposureEdit::StepTotalTime(false).into(),
        more: ExposureEdit::StepTotalTime(true).into(),
        caption: "",
        value_tapped: None,
    };
    let field = TextField::digits(("stack", "or any time", STACK_MIN.unit), minutes);
    let read: Read = Callback::from(|text: String| {
        STACK_MIN
            .read(&text)
            .map(|minutes| ExposureEdit::TotalTime(minutes).into())
    });
    html! {
        <>
            { stepper(steps, dispatch) }
            <div class="after">{ text_field(field, read, dispatch) }</div>
        </>
    }
}

/// The ISO, and what it makes of sky and corners.
fn iso(
    outing: &Outing,
    (settings, corner): (&Settings, Option<&Corner>),
    dispatch: &Dispatch,
) -> Html {
    let next = |up| ExposureEdit::Iso(Some(next_iso(settings.iso, up))).into();
    let steps = Stepper {
        name: "ISO",
        value: "ISO ".to_owned() + &words::iso(settings.iso),
        less: next(false),
        more: next(true),
        caption: "",
        value_tapped: None,
    };
    let suggest = on_click(dispatch, ExposureEdit::Iso(None));
    html! {
        <>
            <h3>{ "ISO" }</h3>
            { stepper(steps, dispatch) }
            <div class="choice after">
                { option("as suggested", "", outing.iso.is_none(), suggest) }
            </div>
            <p role="status">{ words::sky_placed(settings) }</p>
            if let Some(corner) = corner {
                <p>{ corner::corners(corner, settings, None) }</p>
                if let Some(advice) = corner::advice(corner, outing, settings) {
                    <p>{ advice }</p>
                }
            }
            <p>{ words::LIGHT }</p>
        </>
    }
}
