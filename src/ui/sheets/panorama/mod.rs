//! The panorama: the horizon unrolled with the arch and the frames that cover it; and in the field
//! one frame after the other.

mod field;
mod notes;
mod unrolled;

use std::rc::Rc;

use yew::prelude::*;

use crate::angle::Angle;
use crate::decimal::fixed;
use crate::outing::plan::NIGHT_MIN;
use crate::sky::spans::Span;
use crate::ui::sheets::panorama::field::{field, field_keys};
use crate::ui::sheets::panorama::notes::notes;
use crate::ui::sheets::panorama::unrolled::unrolled;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::panorama::{ExposedPlan, Panorama};
use crate::ui::state::derived::selected_night::{SelectedNight, days_of, minute_of};
use crate::ui::state::document::night::NightEdit;
use crate::ui::state::panorama::PanoramaAction;
use crate::ui::text::night::{self, time};
use crate::ui::text::units::{degrees_to, shutter};
use crate::ui::widgets::dialog::keyed_dialog;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::row::{row, value_key};
use crate::ui::widgets::slider::{Slider, slider};
use crate::ui::widgets::stepper::{Stepper, stepper};
use crate::ui::widgets::svg_path::SvgPath;

/// Step of the overlap and its ends, share of a frame.
const OVERLAP_STEP: f64 = 0.05;
const OVERLAPS: (f64, f64) = (0.1, 0.6);

/// Height of the slider of the time, px, and where its line is.
const SLIDER_PX: f64 = 60.0;
const LINE_PX: f64 = 26.0;

/// Room of an hour's name, px.
const HOUR_PX: f64 = 30.0;

/// Space at the ends of the slider's line, px.
const ENDS_PX: f64 = 20.0;

/// In the field, below this height of the window, px, the frame to take comes before the panorama.
const LOW_PX: f64 = 700.0;

/// From this altitude on a frame is told as looking straight up: a bearing there leads nobody.
const STRAIGHT_UP_DEG: f64 = 82.0;

fn looks_straight_up(tilt: Angle) -> bool {
    tilt.degrees() >= STRAIGHT_UP_DEG
}

/// The sheet.
pub fn panorama_sheet(state: &State, derived: &Derived, dispatch: &Dispatch) -> Html {
    let (panorama, selected) = (derived.panorama(state), derived.night(state));
    let place = state.panorama.field;
    let taken = panorama.plan.as_ref().ok();
    let taken = taken.and_then(|exposed| Some((exposed, exposed.at(place?)?)));
    let (body, keys) = match taken {
        Some((exposed, (place, frame))) => {
            let count = exposed.frames.len();
            let all = unrolled(state, derived, &panorama, Some(place));
            let one = field(state, derived, (place, count), (frame, exposed.shutter));
            // in a low window only what comes first is seen without scrolling
            let [first, second] = if state.layout.0.height_px < LOW_PX {
                [one, all]
            } else {
                [all, one]
            };
            (
                html! { <div class="in-field">{ first }{ second }</div> },
                field_keys(place, count, dispatch),
            )
        }
        None => (
            html! {
                <>
                    { headline(&panorama, &selected) }
                    { unrolled(state, derived, &panorama, None) }
                    { time_slider(state, derived, &selected, dispatch) }
                    { settings(state, dispatch) }
                    { notes(state, &panorama, &selected, dispatch) }
                </>
            },
            start_key(panorama.plan.is_ok(), dispatch),
        ),
    };
    keyed_dialog("Panorama", body, keys, dispatch)
}

/// How many frames, how long they take, how high the arch is; or why there are none.
fn headline(panorama: &Panorama, selected: &SelectedNight) -> Html {
    let (count, time) = match &panorama.plan {
        Ok(exposed) => frames_and_time(exposed),
        Err(why) => (String::new(), format!("{why}.")),
    };
    let cut = panorama.plan.as_ref().is_ok_and(|exposed| exposed.cut);
    let top = degrees_to(panorama.arch.top.0, 0);
    let at = night::time(selected.local(days_of(selected.minute)));
    let top = if cut {
        format!("arch peaks at {top}, out of the frames")
    } else {
        format!("at {at} the arch peaks at {top}")
    };
    html! {
        <div class="readout" role="status">
            <p class="figure frames">{ count }</p>
            <div>
                <p class="fact">{ top }</p>
                <p class="fact quiet">{ time }</p>
            </div>
        </div>
    }
}

fn frames_and_time(exposed: &ExposedPlan) -> (String, String) {
    let count = exposed.plan.count();
    let whole_s = exposed.plan.time_s(count);
    let whole = if whole_s < 100.0 {
        format!("{} s", fixed(whole_s, 0))
    } else {
        format!("{} min", fixed(whole_s / 60.0, 0))
    };
    let word = if count == 1 { "frame" } else { "frames" };
    (
        format!("{count} {word}"),
        format!("{} each, {whole} in all", shutter(exposed.shutter)),
    )
}

fn start_key(possible: bool, dispatch: &Dispatch) -> Html {
    let onclick = on_click(dispatch, PanoramaAction::FieldStart);
    html! {
        <button
            id="panorama-start"
            type="button"
            class="chief"
            disabled={!possible}
            {onclick}
        >
            { "Take the frames" }
        </button>
    }
}

/// Rows, which a tap changes from one to two and to as many as it takes; and overlap.
fn settings(state: &State, dispatch: &Dispatch) -> Html {
    let draft = &state.panorama;
    let (word, next) = match draft.rows {
        None => ("all", Some(1)),
        Some(1) => ("1", Some(2)),
        Some(_) => ("2", None),
    };
    let rows = value_key(
        "panorama-rows",
        (word.to_owned(), if word == "1" { "row" } else { "rows" }),
        PanoramaAction::Rows(next),
        dispatch,
    );
    let overlap = |steps: f64| {
        let share = ((draft.overlap_share / OVERLAP_STEP).round() + steps) * OVERLAP_STEP;
        PanoramaAction::Overlap(share.clamp(OVERLAPS.0, OVERLAPS.1)).into()
    };
    let overlap = Stepper {
        name: "overlap",
        value: format!("{} %", fixed(draft.overlap_share * 100.0, 0)),
        caption: "overlap",
        less: overlap(-1.0),
        more: overlap(1.0),
        value_tapped: None,
    };
    html! {
        <div class="rows-and-overlap">{ row([rows, stepper(overlap, dispatch)]) }</div>
    }
}

/// The night as a line with its hours, the window on it, and the minute looked at.
fn time_slider(
    state: &State,
    derived: &Derived,
    selected: &SelectedNight,
    dispatch: &Dispatch,
) -> Html {
    let band = derived.night_band(state);
    let (span, width) = (band.span, state.layout.sheet().width);
    let x = |at: f64| {
        let along = (at - span.start) / (span.end - span.start);
        ENDS_PX + along.clamp(0.0, 1.0) * (width - 2.0 * ENDS_PX)
    };
    let stretch = |from: f64, to: f64| {
        let mut path = SvgPath::default();
        path.move_to((x(from), LINE_PX)).line_to((x(to), LINE_PX));
        path.finish()
    };
    let hour = |at: &f64| {
        let local = selected.local(*at);
        html! {
            <text class="caption" x={fixed(x(*at), 1)} y="52" text-anchor="middle">
                { format!("{:02}", local.hour) }
            </text>
        }
    };
    let room = ((width - 2.0 * ENDS_PX) / HOUR_PX).max(1.0) as usize;
    let every = band.hours.len().div_ceil(room).max(1);
    let at = x(days_of(selected.minute));
    let windows = selected.night.evening.usable.windows.iter();
    let windows: String = windows
        .map(|window| stretch(window.span.start, window.span.end))
        .collect();
    let mut bob = SvgPath::default();
    bob.polyline([
        (at - 9.0, 6.0),
        (at + 9.0, 6.0),
        (at, LINE_PX),
        (at - 9.0, 6.0),
    ]);
    let drawn = html! {
        <>
            <path class="scale" d={stretch(span.start, span.end)} />
            <path class="window" d={windows} />
            <g>{ for band.hours.iter().step_by(every).map(hour) }</g>
            <path class="bob" d={bob.finish()} />
        </>
    };
    let (date, minute) = (selected.night.date, selected.minute);
    let ends = (ENDS_PX / width, 1.0 - ENDS_PX / width);
    let timeline = Slider {
        class: "drawing timeline",
        label: "time of night",
        bounds: ("0", "1439"),
        value: minute.to_string(),
        value_text: format!(
            "{}: {}",
            time(selected.local(days_of(minute))),
            night::core_now(selected)
        ),
        ends,
        pointed: Rc::new(move |along| {
            let at = span.start + along * (span.end - span.start);
            NightEdit::Minute(date, minute_of(at)).into()
        }),
        keyed: Rc::new(move |key| {
            Some(NightEdit::Minute(date, after_key(key, minute, span)?).into())
        }),
    };
    let timeline = slider(timeline, (width, SLIDER_PX), vec![drawn], dispatch);
    html! { <div class="bleed">{ timeline }</div> }
}

/// Arrows move by five minutes, page keys by an hour, Home and End to the ends.
fn after_key(key: &str, minute: u16, span: Span) -> Option<u16> {
    let to = |minutes: i32| {
        let minute = i32::from(minute) + minutes;
        minute.clamp(0, i32::from(NIGHT_MIN) - 1) as u16
    };
    Some(match key {
        "ArrowRight" | "ArrowUp" => to(5),
        "ArrowLeft" | "ArrowDown" => to(-5),
        "PageUp" => to(60),
        "PageDown" => to(-60),
        "Home" => minute_of(span.start),
        "End" => minute_of(span.end),
        _ => return None,
    })
}
