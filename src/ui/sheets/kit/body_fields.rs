//! The body of the kit in use: format, pixels, exact sizes.

use yew::prelude::*;

use crate::camera::sensor::{FORMATS, Format, Sensor};
use crate::decimal::{fixed, plain};
use crate::outing::plan::bounds::{Bounds, MEGAPIXELS, SENSOR_MM, SIDE_PX};
use crate::outing::plan::kit::Kit;
use crate::ui::state::action::Action;
use crate::ui::state::document::kit::KitEdit;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::text_field::{TextField, text_field};
use crate::ui::widgets::toggle_group::{ToggleGroup, chips};

/// Pixel counts this close, relative, are called the same.
const SAME_COUNT: f64 = 0.02;

/// The formats on chips, in the order of [`FORMATS`].
const CHIPS: [&str; FORMATS.len()] = [
    "44 × 33",
    "Full frame",
    "APS-C 1.5×",
    "APS-C 1.6×",
    "Four Thirds",
    "1 inch",
    "Phone",
];

/// Format and usual pixel counts.
pub fn formats(kit: &Kit, dispatch: &Dispatch) -> Html {
    html! {
        <>
            { format_chips(kit, dispatch) }
            { usual_counts(kit, dispatch) }
        </>
    }
}

/// Exact size and pixels, folded.
pub fn exact_body(kit: &Kit, dispatch: &Dispatch) -> Html {
    html! {
        <details>
            <summary>{ "Exact sensor" }</summary>
            { exact_fields(kit.sensor, dispatch) }
        </details>
    }
}

fn sensor_edit(sensor: Sensor) -> Action {
    KitEdit::Sensor(sensor).into()
}

fn format_chips(kit: &Kit, dispatch: &Dispatch) -> Html {
    let found = kit.sensor.format();
    let megapixels = kit.sensor.megapixels();
    let chip = |(format, word): (&Format, &'static str)| {
        // the count of the body before where this format has it too, else its own usual one
        let near = |count: &f64| (megapixels / count).ln().abs();
        let usual = format.usual_megapixels.iter().copied();
        let count = usual.min_by(|a, b| near(a).total_cmp(&near(b)));
        (
            word,
            "",
            sensor_edit(format.sensor(count.unwrap_or(megapixels))),
        )
    };
    let options: Vec<_> = FORMATS.iter().zip(CHIPS).map(chip).collect();
    let group = ToggleGroup {
        name: "sensor format",
        options: &options,
        chosen: found.and_then(|found| FORMATS.iter().position(|format| format == found)),
        tall: false,
    };
    html! {
        <>
            <p class="label">{ "Body" }</p>
            { chips(&group, dispatch) }
        </>
    }
}

fn usual_counts(kit: &Kit, dispatch: &Dispatch) -> Html {
    let Some(format) = kit.sensor.format() else {
        return Html::default();
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
    html! {
        <>
            <p class="label">{ "Megapixels" }</p>
            { chips(&counts, dispatch) }
        </>
    }
}

/// One exact number of the sensor.
struct ExactNumber {
    id: &'static str,
    label: &'static str,
    bounds: Bounds,
    value: fn(&Sensor) -> String,
    set: fn(&mut Sensor, f64),
}

const EXACT_NUMBERS: [ExactNumber; 5] = [
    ExactNumber {
        id: "width",
        label: "Width",
        bounds: SENSOR_MM,
        value: |sensor| plain(sensor.width_mm),
        set: |sensor, mm| sensor.width_mm = mm,
    },
    ExactNumber {
        id: "height",
        label: "Height",
        bounds: SENSOR_MM,
        value: |sensor| plain(sensor.height_mm),
        set: |sensor, mm| sensor.height_mm = mm,
    },
    ExactNumber {
        id: "across",
        label: "Pixels across",
        bounds: SIDE_PX,
        value: |sensor| sensor.pixels_across.to_string(),
        set: |sensor, pixels| sensor.pixels_across = pixels as u32,
    },
    ExactNumber {
        id: "down",
        label: "Pixels down",
        bounds: SIDE_PX,
        value: |sensor| sensor.pixels_down.to_string(),
        set: |sensor, pixels| sensor.pixels_down = pixels as u32,
    },
    ExactNumber {
        id: "megapixels",
        label: "or megapixels",
        bounds: MEGAPIXELS,
        value: |sensor| fixed(sensor.megapixels(), 1),
        set: set_megapixels,
    },
];

fn exact_fields(sensor: Sensor, dispatch: &Dispatch) -> Html {
    let fields = EXACT_NUMBERS.map(|number| exact_field(number, sensor, dispatch));
    html! { <div class="pair">{ for fields }</div> }
}

fn exact_field(number: ExactNumber, sensor: Sensor, dispatch: &Dispatch) -> Html {
    let ExactNumber {
        id,
        label,
        bounds,
        value,
        set,
    } = number;
    let whole = bounds == SIDE_PX;
    let read = Callback::from(move |text: String| {
        let number = if whole {
            bounds.read_whole(&text).map(f64::from)
        } else {
            bounds.read(&text)
        }?;
        let mut sensor = sensor;
        set(&mut sensor, number);
        Ok(sensor_edit(sensor))
    });
    let field = TextField::digits((id, label, bounds.unit), value(&sensor)).stepped(bounds);
    text_field(field, read, dispatch)
}

/// So many millions of square pixels on the sensor as it is.
fn set_megapixels(sensor: &mut Sensor, megapixels: f64) {
    let ratio = sensor.width_mm / sensor.height_mm;
    let across = (megapixels * 1e6 * ratio).sqrt();
    sensor.pixels_across = across.round().clamp(SIDE_PX.least, SIDE_PX.most) as u32;
    sensor.pixels_down = (across / ratio).round().clamp(SIDE_PX.least, SIDE_PX.most) as u32;
}
