//! How dark the sky is, and how bright what is photographed.

use yew::prelude::*;

use crate::decimal::plain;
use crate::light::air::extinction;
use crate::light::bortle::{brightness_of_class, class_of};
use crate::outing::plan::Outing;
use crate::outing::plan::bounds::{Bounds, EXTINCTION, SKY_BRIGHTNESS, SUBJECT_BRIGHTNESS};
use crate::outing::plan::site::Site;
use crate::ui::state::action::Action;
use crate::ui::state::document::exposure::ExposureEdit;
use crate::ui::state::document::site::SiteEdit;
use crate::ui::text::field_card as words;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::select::{Select, select};
use crate::ui::widgets::text_field::{Read, TextField, optional_text_field, text_field};

/// The fields.
pub fn sky_and_subject(outing: &Outing, dispatch: &Dispatch) -> Html {
    let sky = brightness_field(
        ("dark", "Sky overhead, mag per square arcsecond"),
        outing.site.sky_brightness,
        (SKY_BRIGHTNESS, |value| {
            SiteEdit::SkyBrightness(value).into()
        }),
        dispatch,
    );
    let subject = brightness_field(
        ("glow", "Subject, mag per square arcsecond"),
        outing.subject_brightness,
        (SUBJECT_BRIGHTNESS, |value| {
            ExposureEdit::SubjectBrightness(value).into()
        }),
        dispatch,
    );
    html! {
        <>
            <h3>{ "Sky and subject" }</h3>
            { sky }
            { bortle_select(outing.site.sky_brightness, dispatch) }
            <p>{ words::LOOSE }</p>
            { subject }
            { extinction_field(&outing.site, dispatch) }
            <p>{ words::SUBJECT }</p>
        </>
    }
}

/// A surface brightness, mag/arcsec².
fn brightness_field(
    (id, label): (&'static str, &'static str),
    value: f64,
    (bounds, edit): (Bounds, fn(f64) -> Action),
    dispatch: &Dispatch,
) -> Html {
    let field = TextField::digits((id, label, bounds.unit), plain(value));
    let read: Read = Callback::from(move |text: String| bounds.read(&text).map(edit));
    text_field(field, read, dispatch)
}

/// The classes, each with its brightness; the first option names the nearest class and
/// changes nothing.
fn bortle_select(sky_brightness: f64, dispatch: &Dispatch) -> Html {
    let nearest = ["nearest to class ", &class_of(sky_brightness).to_string()].concat();
    let mut options = vec![(nearest, None)];
    let mut chosen = 0;
    for class in 1..=9 {
        let brightness = brightness_of_class(class).unwrap_or(sky_brightness);
        if brightness == sky_brightness {
            chosen = options.len();
        }
        let class = class.to_string();
        let word = ["Bortle class ", &class, ", about ", &plain(brightness)].concat();
        options.push((word, Some(SiteEdit::SkyBrightness(brightness).into())));
    }
    let classes = Select {
        id: "class",
        label: "or its class, loosely",
        options,
        chosen,
    };
    select(classes, dispatch)
}

/// The extinction; if empty, what is usual at the site's height.
fn extinction_field(site: &Site, dispatch: &Dispatch) -> Html {
    let about = ("haze", "Extinction, mag per air mass", EXTINCTION.unit);
    let value = site.extinction_mag.map(plain).unwrap_or_default();
    let usual = words::if_empty(extinction(site.height_m), EXTINCTION.unit);
    let read: Read = Callback::from(|text: String| {
        EXTINCTION
            .read_if_any(&text)
            .map(|value| SiteEdit::Extinction(value).into())
    });
    optional_text_field(TextField::digits(about, value), usual, read, dispatch)
}
