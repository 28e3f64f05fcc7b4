//! Frames and ISO: how many frames fit the time, how the light is set down, and what
//! is known of body, sky and subject.

use crate::ui::state::document::exposure::ExposureEdit;
use crate::ui::state::document::kit::{BodyEdit, KitEdit};
use crate::ui::state::document::site::SiteEdit;
use yew::prelude::*;

use crate::camera::dial::next_iso;
use crate::decimal::plain;
use crate::light::air::extinction;
use crate::light::bortle::{brightness_of_class, class_of};
use crate::outing::exposure::corner::Corner;
use crate::outing::exposure::settings::Settings;
use crate::outing::field::card::Camera;
use crate::outing::plan::Outing;
use crate::outing::plan::bounds::{
    Bounds, CHARGE_MIN, DARK_E_S, EXTINCTION, FILE_MB, FULL_WELL_E, QUANTUM, READ_NOISE_E,
    SKY_BRIGHTNESS, STACK_MIN, SUBJECT_BRIGHTNESS, TRANSMITTED, WRITE_S,
};
use crate::outing::plan::camera_body::CameraBody;
use crate::ui::state::derived::selected_night::{SelectedNight, days_of};
use crate::ui::text::corner;
use crate::ui::text::field_card as words;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::element::{all, el, say};
use crate::ui::widgets::select::{Select, select};
use crate::ui::widgets::stepper::{Stepper, stepper};
use crate::ui::widgets::text_field::{Read, TextField, optional_text_field, text_field};
use crate::ui::widgets::toggle_group::option;

/// A share as percent.
const PERCENT: f64 = 100.0;

/// The sheet.
pub fn frames_sheet(outing: &Outing, shown: &SelectedNight, dispatch: &Dispatch) -> Html {
    let at = days_of(shown.minute);
    let settings = Camera::new(outing, (&shown.night.site_sky, &shown.night.evening), at).settings;
    let parts = vec![
        say(
            "p",
            &[("class", "in-use"), ("role", "status")],
            words::frames(&settings),
        ),
        time(outing, dispatch),
        iso(outing, &settings, dispatch),
        known(outing, settings.iso, dispatch),
        sky(outing, dispatch),
    ];
    dialog("Frames and ISO", parts, dispatch)
}

/// Time in all.
fn time(outing: &Outing, dispatch: &Dispatch) -> Html {
    let minutes = plain(outing.stack_min);
    let steps = Stepper {
        name: "time in all",
        value: [minutes.as_str(), " min in all"].concat(),
        less: ExposureEdit::StepTotalTime(false).into(),
        more: ExposureEdit::StepTotalTime(true).into(),
        value_tapped: None,
    };
    let typed = number("stack", "or any time", minutes, STACK_MIN);
    let read: Read = Callback::from(|text: String| {
        STACK_MIN
            .read(&text)
            .map(|value| ExposureEdit::TotalTime(value).into())
    });
    all(vec![
        stepper(steps, dispatch),
        el(
            "div",
            &[("class", "after")],
            vec![text_field(typed, read, dispatch)],
        ),
    ])
}

fn iso(outing: &Outing, settings: &Settings, dispatch: &Dispatch) -> Html {
    let to = |up| ExposureEdit::Iso(Some(next_iso(settings.iso, up))).into();
    let steps = Stepper {
        name: "ISO",
        value: "ISO ".to_owned() + &words::iso(settings.iso),
        less: to(false),
        more: to(true),
        value_tapped: None,
    };
    let free = outing.iso.is_none();
    let suggested = option(
        "as suggested",
        "",
        free,
        on_click(dispatch, ExposureEdit::Iso(None)),
    );
    let mut parts = vec![
        say("h3", &[], "ISO"),
        stepper(steps, dispatch),
        el("div", &[("class", "choice after")], vec![suggested]),
        say("p", &[("role", "status")], words::sky_placed(settings)),
    ];
    if let Some(corner) = Corner::new(outing, settings) {
        let light = corner::corners(&corner, settings, None);
        let advice = corner::advice(&corner, outing, settings);
        let message = std::iter::once(light).chain(advice);
        parts.extend(message.map(|message| say("p", &[], message)));
    }
    parts.push(say("p", &[], words::LIGHT));
    all(parts)
}

fn number(id: &'static str, label: &'static str, value: String, bounds: Bounds) -> TextField {
    TextField::digits((id, label, bounds.unit), value)
}

/// One thing that may be known of a body.
struct Known {
    id: &'static str,
    label: &'static str,
    bounds: Bounds,
    /// As it is typed.
    value: Option<f64>,
    typical: f64,
    edit: fn(f64, Option<f64>) -> BodyEdit,
}

/// What is known of the body, at an ISO; what is not is typical.
fn known(outing: &Outing, iso: f64, dispatch: &Dispatch) -> Html {
    let (body, sensor) = (&outing.kit.body, outing.kit.sensor);
    let usual = CameraBody::default();
    let mut without = body.clone();
    without.read_noise.retain(|(held, _)| *held != iso);
    let noise = body.read_noise.iter().find(|(held, _)| *held == iso);
    let percent = |share: f64| PERCENT * share;
    let frames = [
        Known {
            id: "write",
            label: "Frame gap",
            bounds: WRITE_S,
            value: body.write_s,
            typical: usual.write_s(),
            edit: |_, value| BodyEdit::WriteTime(value),
        },
        Known {
            id: "file",
            label: "File size",
            bounds: FILE_MB,
            value: body.file_mb,
            typical: usual.file_mb(sensor),
            edit: |_, value| BodyEdit::FileSize(value),
        },
        Known {
            id: "charge",
            label: "A charge lasts",
            bounds: CHARGE_MIN,
            value: body.charge_min,
            typical: usual.charge_min(),
            edit: |_, value| BodyEdit::Charge(value),
        },
        Known {
            id: "glass",
            label: "Light let through",
            bounds: TRANSMITTED,
            value: body.transmitted.map(percent),
            typical: percent(usual.transmitted()),
            edit: |_, value| BodyEdit::Transmission(value.map(share)),
        },
    ];
    let sensor = [
        Known {
            id: "noise",
            label: "Read noise",
            bounds: READ_NOISE_E,
            value: noise.map(|(_, electrons)| *electrons),
            typical: without.read_noise_e(iso),
            edit: BodyEdit::ReadNoise,
        },
        Known {
            id: "quantum",
            label: "Quantum efficiency",
            bounds: QUANTUM,
            value: body.quantum.map(percent),
            typical: percent(usual.quantum()),
            edit: |_, value| BodyEdit::QuantumEfficiency(value.map(share)),
        },
        Known {
            id: "warm",
            label: "Dark current",
            bounds: DARK_E_S,
            value: body.dark_e_s,
            typical: usual.dark_e_s(),
            edit: |_, value| BodyEdit::DarkCurrent(value),
        },
        Known {
            id: "well",
            label: "Full well",
            bounds: FULL_WELL_E,
            value: body.full_well_e,
            typical: usual.full_well_e(sensor),
            edit: |_, value| BodyEdit::FullWell(value),
        },
    ];
    let boxes = |known: [Known; 4]| {
        let boxes = known.map(|known| known_field(known, iso, dispatch));
        el("div", &[("class", "pair")], boxes.into())
    };
    all(vec![
        say("h3", &[], "Known of the body"),
        say("p", &[], words::TYPICAL),
        boxes(frames),
        el(
            "details",
            &[],
            vec![say("summary", &[], "The sensor"), boxes(sensor)],
        ),
    ])
}

/// A share from a percentage.
fn share(percent: f64) -> f64 {
    percent / PERCENT
}

fn known_field(known: Known, iso: f64, dispatch: &Dispatch) -> Html {
    let Known {
        id,
        label,
        bounds,
        value,
        typical,
        edit,
    } = known;
    let shown = number(id, label, value.map(plain).unwrap_or_default(), bounds);
    let read: Read = Callback::from(move |text: String| {
        let value = bounds.read_if_any(&text)?;
        Ok(KitEdit::Body(edit(iso, value)).into())
    });
    optional_text_field(shown, words::if_empty(typical, bounds.unit), read, dispatch)
}

/// How dark the sky is, and how bright what is photographed.
fn sky(outing: &Outing, dispatch: &Dispatch) -> Html {
    let sky_brightness = outing.site.sky_brightness;
    let dark = number(
        "dark",
        "Sky overhead, mag per square arcsecond",
        plain(sky_brightness),
        SKY_BRIGHTNESS,
    );
    let read: Read = Callback::from(|text: String| {
        SKY_BRIGHTNESS
            .read(&text)
            .map(|value| SiteEdit::SkyBrightness(value).into())
    });
    let nearest = class_of(sky_brightness);
    let mut options = Vec::with_capacity(10);
    let mut chosen = 0;
    for class in 1..=9 {
        let v = brightness_of_class(class).unwrap_or(sky_brightness);
        if v == sky_brightness {
            chosen = class as usize;
        }
        let word = ["Bortle class ", &class.to_string(), ", about ", &plain(v)].concat();
        options.push((word, Some(SiteEdit::SkyBrightness(v).into())));
    }
    options.insert(
        0,
        ("nearest to class ".to_owned() + &nearest.to_string(), None),
    );
    let classes = Select {
        id: "class",
        label: "or its class, loosely",
        options,
        chosen,
    };
    let glow = number(
        "glow",
        "Subject, mag per square arcsecond",
        plain(outing.subject_brightness),
        SUBJECT_BRIGHTNESS,
    );
    let read_glow: Read = Callback::from(|text: String| {
        SUBJECT_BRIGHTNESS
            .read(&text)
            .map(|value| ExposureEdit::SubjectBrightness(value).into())
    });
    let site = &outing.site;
    let typed = site.extinction_mag.map(plain).unwrap_or_default();
    let haze = number("haze", "Extinction, mag per air mass", typed, EXTINCTION);
    let usual = words::if_empty(extinction(site.height_m), EXTINCTION.unit);
    let read_haze: Read = Callback::from(|text: String| {
        EXTINCTION
            .read_if_any(&text)
            .map(|value| SiteEdit::Extinction(value).into())
    });
    all(vec![
        say("h3", &[], "Sky and subject"),
        text_field(dark, read, dispatch),
        select(classes, dispatch),
        say("p", &[], words::LOOSE),
        text_field(glow, read_glow, dispatch),
        optional_text_field(haze, usual, read_haze, dispatch),
        say("p", &[], words::SUBJECT),
    ])
}
