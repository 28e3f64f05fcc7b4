//! The body of the kit in use: format, pixels, exact sizes.

use crate::ui::state::document::kit::KitEdit;
use yew::prelude::*;

use crate::camera::sensor::{FORMATS, Sensor};
use crate::decimal::{fixed, plain};
use crate::outing::plan::bounds::{Bounds, MEGAPIXELS, SENSOR_MM, SIDE_PX};
use crate::outing::plan::kit::Kit;
use crate::ui::state::action::Action;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::element::{all, el, nothing, say};
use crate::ui::widgets::select::{Select, select};
use crate::ui::widgets::text_field::{TextField, text_field};
use crate::ui::widgets::toggle_group::{ToggleGroup, toggle_group};

/// Pixel counts this close, relative, are called the same.
const SAME_COUNT: f64 = 0.02;

/// Everything about the body.
pub fn body_fields(kit: &Kit, dispatch: &Dispatch) -> Html {
    let exact = vec![
        say("summary", &[], "Exact size and pixels"),
        exact_fields(kit, dispatch),
    ];
    all(vec![
        format_select(kit, dispatch),
        usual_counts(kit, dispatch),
        el("details", &[], exact),
    ])
}

fn sensor_edit(sensor: Sensor) -> Action {
    KitEdit::Sensor(sensor).into()
}

fn format_select(kit: &Kit, dispatch: &Dispatch) -> Html {
    let found = kit.sensor.format();
    let place = found.and_then(|found| FORMATS.iter().position(|format| format == found));
    let megapixels = kit.sensor.megapixels().round().max(1.0);
    let mut options: Vec<_> = FORMATS
        .iter()
        .map(|format| {
            let size = format!(
                "{} × {} mm",
                plain(format.width_mm),
                plain(format.height_mm)
            );
            let action = sensor_edit(format.sensor(megapixels));
            (format!("{}, {size}", format.name), Some(action))
        })
        .collect();
    if place.is_none() {
        options.push(("other size".to_owned(), None));
    }
    let formats = Select {
        id: "format",
        label: "Sensor format",
        chosen: place.unwrap_or(FORMATS.len()),
        options,
    };
    select(formats, dispatch)
}

fn usual_counts(kit: &Kit, dispatch: &Dispatch) -> Html {
    let Some(format) = kit.sensor.format() else {
        return nothing();
    };
    let usual = format.usual_megapixels;
    let words: Vec<String> = usual.iter().map(|count| plain(*count)).collect();
    let options: Vec<_> = usual
        .iter()
        .zip(&words)
        .map(|(count, word)| (word.as_str(), "", sensor_edit(format.sensor(*count))))
        .collect();
    let megapixels = kit.sensor.megapixels();
    let same = |count: &f64| (megapixels / count - 1.0).abs() < SAME_COUNT;
    let counts = ToggleGroup {
        name: "megapixels",
        options: &options,
        chosen: usual.iter().position(same),
        tall: false,
    };
    all(vec![
        say("p", &[("class", "label")], "Megapixels"),
        toggle_group(&counts, dispatch),
    ])
}

/// One exact number of the sensor.
struct Exact {
    id: &'static str,
    label: &'static str,
    bounds: Bounds,
    shown: String,
    set: fn(&mut Sensor, f64),
}

fn exact_fields(kit: &Kit, dispatch: &Dispatch) -> Html {
    let sensor = kit.sensor;
    let exact = [
        Exact {
            id: "width",
            label: "Width",
            bounds: SENSOR_MM,
            shown: plain(sensor.width_mm),
            set: |sensor, mm| sensor.width_mm = mm,
        },
        Exact {
            id: "height",
            label: "Height",
            bounds: SENSOR_MM,
            shown: plain(sensor.height_mm),
            set: |sensor, mm| sensor.height_mm = mm,
        },
        Exact {
            id: "across",
            label: "Pixels across",
            bounds: SIDE_PX,
            shown: sensor.pixels_across.to_string(),
            set: |sensor, pixels| sensor.pixels_across = pixels as u32,
        },
        Exact {
            id: "down",
            label: "Pixels down",
            bounds: SIDE_PX,
            shown: sensor.pixels_down.to_string(),
            set: |sensor, pixels| sensor.pixels_down = pixels as u32,
        },
        Exact {
            id: "megapixels",
            label: "or megapixels",
            bounds: MEGAPIXELS,
            shown: fixed(sensor.megapixels(), 1),
            set: set_megapixels,
        },
    ];
    let number = |exact: Exact| {
        let Exact {
            id,
            label,
            bounds,
            shown,
            set,
        } = exact;
        let whole = bounds == SIDE_PX;
        let read = Callback::from(move |text: String| {
            let value = if whole {
                bounds.read_whole(&text).map(f64::from)
            } else {
                bounds.read(&text)
            }?;
            let mut sensor = sensor;
            set(&mut sensor, value);
            Ok(sensor_edit(sensor))
        });
        let typed = TextField::digits((id, label, bounds.unit), shown);
        text_field(typed, read, dispatch)
    };
    let fields = exact.into_iter().map(number).collect();
    el("div", &[("class", "pair")], fields)
}

/// So many millions of square pixels on the sensor as it is.
fn set_megapixels(sensor: &mut Sensor, megapixels: f64) {
    let ratio = sensor.width_mm / sensor.height_mm;
    let across = (megapixels * 1e6 * ratio).sqrt();
    sensor.pixels_across = across.round().clamp(SIDE_PX.least, SIDE_PX.most) as u32;
    sensor.pixels_down = (across / ratio).round().clamp(SIDE_PX.least, SIDE_PX.most) as u32;
}
