//! The ground: settings for the foreground in dusk and dawn, under the Moon and in starlight, and
//! the focus steps, each as a picture.

use yew::prelude::*;

use crate::camera::dial::next_of;
use crate::decimal::{fixed, plain};
use crate::outing::ground::focus_steps::FocusStep;
use crate::outing::ground::{BlueHour, BlueStep, Ground, GroundExposure};
use crate::outing::night::local_time::Rounding;
use crate::ui::layout::Size;
use crate::ui::screens::card::{details, paragraphs};
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::horizon::directions::moon_lit_towards;
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::state::ground::{GroundAction, GroundDraft};
use crate::ui::text::ground as words;
use crate::ui::text::night::time;
use crate::ui::text::units::f_stop;
use crate::ui::widgets::bodies::moon_disc;
use crate::ui::widgets::dialog::keyed_dialog;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::labels::{Labels, Rect, Side};
use crate::ui::widgets::stepper::{Stepper, stepper};
use crate::ui::widgets::svg_path::SvgPath;

/// Shutter times to wait for, s, and distances of the nearest foreground, m.
const LONGEST_S: [f64; 12] = [
    1.0, 2.0, 4.0, 8.0, 15.0, 32.0, 60.0, 120.0, 240.0, 480.0, 900.0, 1800.0,
];
const NEAREST_M: [f64; 15] = [
    0.3, 0.5, 0.7, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 7.0, 10.0, 15.0, 20.0, 30.0, 50.0,
];

/// Heights of the pictures, px: a blue hour, Moon and stars, focus.
const HOUR_PX: f64 = 118.0;
const DISC_PX: f64 = 64.0;
const FOCUS_PX: f64 = 76.0;

/// Room beside the outermost words of a line, px.
const SIDE_PX: f64 = 30.0;

/// The sheet.
pub fn ground_sheet(state: &State, derived: &Derived, dispatch: &Dispatch) -> Html {
    let (ground, selected) = (derived.ground(state), derived.night(state));
    let width = state.layout.sheet().width.min(720.0) - 32.0;
    let f_number = f_stop(state.outing().f_number);
    let hour = |name, hour: &Option<BlueHour>| match hour {
        Some(hour) => blue_hour(name, hour, &selected, width),
        None => {
            html! { <p class="quiet">{ format!("{name}: never enough light, or too much") }</p> }
        }
    };
    let body = html! {
        <div class="ground">
            <p class="quiet">{ format!("ISO {}, {f_number}", plain(ground.iso)) }</p>
            { hour("Dusk", &ground.dusk) }
            { hour("Dawn", &ground.dawn) }
            { night_lights(&ground, &selected) }
            <h3>{ "Focus: " }{ words::pictures(ground.focus_steps.len()) }</h3>
            { focus_line(&ground.focus_steps, state.ground, width) }
            { details("Notes", paragraphs(words::NOTES)) }
        </div>
    };
    keyed_dialog("The ground", body, keys(state.ground, dispatch), dispatch)
}

/// The longest time and the nearest distance.
fn keys(draft: GroundDraft, dispatch: &Dispatch) -> Html {
    let longest = |up| GroundAction::Longest(next_of(&LONGEST_S, draft.longest_s, up)).into();
    let nearest = |up| GroundAction::Nearest(next_of(&NEAREST_M, draft.nearest_m, up)).into();
    let time = Stepper {
        name: "longest shutter in dusk and dawn",
        value: words::wait(draft.longest_s),
        caption: "longest",
        less: longest(false),
        more: longest(true),
        value_tapped: None,
    };
    let distance = Stepper {
        name: "nearest foreground",
        value: words::distance(draft.nearest_m * 1000.0),
        caption: "nearest",
        less: nearest(false),
        more: nearest(true),
        value_tapped: None,
    };
    html! {
        <div class="row">{ stepper(time, dispatch) }{ stepper(distance, dispatch) }</div>
    }
}

fn word(class: &'static str, (x, y): (f64, f64), word: String) -> Html {
    html! {
        <text {class} x={fixed(x, 1)} y={fixed(y, 1)} text-anchor="middle">{ word }</text>
    }
}

/// Light over the time of a blue hour, with the shutter at each step over it and the clock under
/// it.
fn blue_hour(name: &'static str, hour: &BlueHour, selected: &SelectedNight, width: f64) -> Html {
    const TOP_PX: f64 = 34.0;
    const FOOT_PX: f64 = HOUR_PX - 26.0;
    let bounds = (
        time(selected.event(hour.span.start, Rounding::Opening)),
        time(selected.event(hour.span.end, Rounding::Closing)),
    );
    // light in stops: the brightest step stands highest
    let stops = |exposure: &GroundExposure| exposure.illuminance_lx.max(1e-9).log2();
    let all = hour.steps.iter().map(|step| stops(&step.exposure));
    let (least, most) = all.fold((f64::MAX, f64::MIN), |(least, most), stops| {
        (least.min(stops), most.max(stops))
    });
    let length = (hour.span.end - hour.span.start).max(1e-9);
    let place = |at: f64, stops: f64| {
        let along = SIDE_PX + (width - 2.0 * SIDE_PX) * (at - hour.span.start) / length;
        let share = 0.12 + 0.88 * (stops - least) / (most - least).max(1e-9);
        (along, FOOT_PX - (FOOT_PX - TOP_PX) * share)
    };
    let line = || {
        hour.steps
            .iter()
            .map(|step| place(step.at, stops(&step.exposure)))
    };
    let mut light = SvgPath::default();
    light.polyline(line());
    let mut area = SvgPath::default();
    area.polyline(line());
    area.line_to((width - SIDE_PX, FOOT_PX))
        .line_to((SIDE_PX, FOOT_PX));
    let mut posts = SvgPath::default();
    for (x, y) in line() {
        posts.move_to((x, y)).line_to((x, FOOT_PX + 4.0));
    }
    let last = hour.steps.len().saturating_sub(1);
    let step = |(number, step): (usize, &BlueStep)| {
        // its ends are told as in the heading
        let clock = match number {
            0 => bounds.0.clone(),
            end if end == last => bounds.1.clone(),
            _ => time(selected.event(step.at, Rounding::Nearest)),
        };
        let (x, y) = place(step.at, stops(&step.exposure));
        html! {
            <>
                { word("large", (x, y - 10.0), words::time(&step.exposure)) }
                { word("caption", (x, HOUR_PX - 6.0), clock) }
            </>
        }
    };
    let size = Size {
        width,
        height: HOUR_PX,
    };
    html! {
        <>
            <h3>{ format!("{name} {}–{}", bounds.0, bounds.1) }</h3>
            <svg
                class="drawing ground-light"
                role="img"
                aria-label={format!("{name}: shutter by the clock")}
                viewBox={size.view_box(1)}
                width={fixed(width, 1)}
                height={fixed(HOUR_PX, 1)}
            >
                <path class="area" d={area.finish()} />
                <path class="posts" d={posts.finish()} />
                <path class="light" d={light.finish()} />
                <g>{ for hour.steps.iter().enumerate().map(step) }</g>
            </svg>
        </>
    }
}

/// Under the Moon of the minute looked at, and in starlight.
fn night_lights(ground: &Ground, selected: &SelectedNight) -> Html {
    let middle = (DISC_PX / 2.0, DISC_PX / 2.0);
    let size = Size {
        width: DISC_PX,
        height: DISC_PX,
    };
    let tile = |name: String, sign: Html, exposure: Option<&GroundExposure>| {
        let (shutter, light) = exposure.map_or_else(
            || ("–".to_owned(), String::new()),
            |exposure| (words::time(exposure), words::lux(exposure.illuminance_lx)),
        );
        html! {
            <div class="light-tile">
                <svg
                    class="drawing"
                    aria-hidden="true"
                    viewBox={size.view_box(1)}
                    width={fixed(DISC_PX, 0)}
                    height={fixed(DISC_PX, 0)}
                >
                    { sign }
                </svg>
                <div>
                    <p class="second">{ shutter }</p>
                    <p class="quiet">{ name }</p>
                    <p class="quiet">{ light }</p>
                </div>
            </div>
        }
    };
    let moon = moon_disc(
        middle,
        24.0,
        selected.reading.lit,
        moon_lit_towards(selected),
    );
    let mut stars = SvgPath::default();
    for star in [
        (14.0, 40.0),
        (24.0, 18.0),
        (36.0, 34.0),
        (50.0, 22.0),
        (46.0, 48.0),
    ] {
        stars.dot(star);
    }
    let named = if ground.moon.is_some() {
        "this Moon"
    } else {
        "no moonlight"
    };
    html! {
        <div class="row">
            { tile(named.to_owned(), moon, ground.moon.as_ref()) }
            { tile(
                "starlight".to_owned(),
                html! { <path class="star-dots" d={stars.finish()} /> },
                Some(&ground.starlight),
            ) }
        </div>
    }
}

/// From the nearest foreground to infinity: a piece a picture, with the distance to focus at.
/// Along the line goes one over the distance, of which every picture covers as much.
fn focus_line(steps: &[FocusStep], draft: GroundDraft, width: f64) -> Html {
    const LINE_PX: f64 = 40.0;
    let nearest_mm = steps.last().map_or(draft.nearest_m * 1000.0, |step| {
        step.near_mm.min(draft.nearest_m * 1000.0)
    });
    let place = |mm: f64| {
        let share = (nearest_mm / mm).clamp(0.0, 1.0);
        width - SIDE_PX - (width - 2.0 * SIDE_PX) * share
    };
    let mut pieces = SvgPath::default();
    let mut ends = SvgPath::default();
    let mut labels = Labels::new(
        Rect {
            x: 0.0,
            y: 0.0,
            width,
            height: FOCUS_PX,
        },
        Vec::new(),
    );
    let mut found = Vec::new();
    let foot = [(draft.nearest_m * 1000.0), f64::INFINITY];
    for mm in foot {
        let sides = [Side::Below; 2];
        found.extend(labels.put(words::distance(mm), (place(mm), LINE_PX), 8.0, sides));
    }
    for step in steps {
        let (from, to) = (place(step.near_mm), place(step.far_mm));
        pieces
            .move_to((from + 2.0, LINE_PX))
            .line_to((to - 2.0, LINE_PX));
        ends.dot((place(step.focus_mm), LINE_PX));
        let sides = [Side::Above; 2];
        let at = (place(step.focus_mm), LINE_PX);
        found.extend(labels.put(words::distance(step.focus_mm), at, 5.0, sides));
    }
    let size = Size {
        width,
        height: FOCUS_PX,
    };
    let count = words::pictures(steps.len());
    html! {
        <svg
            class="drawing focus-line"
            role="img"
            aria-label={["focus: ", &count].concat()}
            viewBox={size.view_box(1)}
            width={fixed(width, 1)}
            height={fixed(FOCUS_PX, 1)}
        >
            <path class="pieces" d={pieces.finish()} />
            <path class="focus-dots" d={ends.finish()} />
            <g>
                { for found.into_iter().map(|label| {
                    word("", (label.at.0, label.at.1 + 5.0), label.word)
                }) }
            </g>
        </svg>
    }
}
