//! What unfolds under the panorama: the rest of its settings, and its plan in words.

use yew::prelude::*;

use crate::angle::Angle;
use crate::decimal::fixed;
use crate::outing::framing::arch::Arch;
use crate::outing::framing::panorama::Row;
use crate::outing::framing::panorama::exposure::{FrameLimit, SharpAt};
use crate::outing::night::local_time::Rounding;
use crate::outing::plan::bounds::{PAUSE_S, SIGHTED};
use crate::sky::spans::Spans;
use crate::sky::subject::Subject;
use crate::ui::state::State;
use crate::ui::state::action::Action;
use crate::ui::state::derived::panorama::{ExposedPlan, Panorama};
use crate::ui::state::derived::selected_night::{SelectedNight, days_of};
use crate::ui::state::panorama::{PanoramaAction, PanoramaDraft};
use crate::ui::text::exposure::clean;
use crate::ui::text::night::{bearing, time};
use crate::ui::text::units::{degrees_to, focal, shutter};
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::text_field::number_field;
use crate::ui::widgets::toggle_group::{ToggleGroup, toggle_group};

/// What is covered, how the head turns, pauses; and the plan in words.
pub(super) fn notes(
    state: &State,
    panorama: &Panorama,
    selected: &SelectedNight,
    dispatch: &Dispatch,
) -> Html {
    let focal_mm = state.outing().kit.lens.focal_mm;
    html! {
        <>
            <details>
                <summary>{ "Coverage, head and pauses" }</summary>
                { choices(&state.panorama, state.outing().subject, dispatch) }
                { numbers(&state.panorama, dispatch) }
            </details>
            <details>
                <summary>{ "Notes" }</summary>
                <p>{ arch_message(&panorama.arch, selected) }</p>
                <p>{ single_row_message(panorama.single_row.as_ref(), selected) }</p>
                if let Ok(exposed) = &panorama.plan {
                    { plan(exposed, focal_mm) }
                }
            </details>
        </>
    }
}

/// What is covered, and how the head turns.
fn choices(draft: &PanoramaDraft, subject: Subject, dispatch: &Dispatch) -> Html {
    let about_subject = ["120° about ", subject.with_article()].concat();
    fn option(word: &str, action: PanoramaAction) -> (&str, &'static str, Action) {
        (word, "", action.into())
    }
    let areas = ToggleGroup {
        name: "what is covered",
        options: &[
            option("the whole arch", PanoramaAction::AboutCore(false)),
            option(&about_subject, PanoramaAction::AboutCore(true)),
        ],
        chosen: Some(usize::from(draft.about_core)),
        tall: false,
    };
    let click_stops = ToggleGroup {
        name: "the head turns",
        options: &[
            option("free head", PanoramaAction::ClickStops(0)),
            option("by degrees", PanoramaAction::ClickStops(1)),
            option("click stops", PanoramaAction::ClickStops(2)),
        ],
        chosen: Some(draft.click_stops),
        tall: false,
    };
    html! {
        <>
            { toggle_group(&areas, dispatch) }
            { toggle_group(&click_stops, dispatch) }
        </>
    }
}

/// The numbers that may be typed.
fn numbers(draft: &PanoramaDraft, dispatch: &Dispatch) -> Html {
    let pause = number_field(
        ("pause", "Pause between frames", "s"),
        draft.pause_s,
        PAUSE_S,
        PanoramaAction::Pause,
        dispatch,
    );
    let lowest = number_field(
        ("lowest", "Lowest height in the picture", "°"),
        draft.low.degrees(),
        SIGHTED,
        |degrees| PanoramaAction::Low(Angle::from_degrees(degrees)),
        dispatch,
    );
    html! { <>{ pause }{ lowest }</> }
}

/// Where the arch stands.
fn arch_message(arch: &Arch, selected: &SelectedNight) -> String {
    format!(
        "At {} the arch peaks {} up, {}; it meets the horizon at {} and {}.",
        time(selected.local(days_of(selected.minute))),
        degrees_to(arch.top.0, 0),
        bearing(arch.top_bearing),
        bearing(arch.feet[0]),
        bearing(arch.feet[1]),
    )
}

/// When one row of this kit covers it in the dark.
fn single_row_message(single_row: Option<&Spans>, selected: &SelectedNight) -> String {
    let Some(Spans(spans)) = single_row else {
        return "One row of this lens never covers it.".to_owned();
    };
    if spans.is_empty() {
        return "In the dark hours it is never low enough for one row.".to_owned();
    }
    let mut message = "Low enough for one row, in the dark: ".to_owned();
    for (place, span) in spans.iter().enumerate() {
        if place > 0 {
            message += ", ";
        }
        message += &time(selected.event(span.start, Rounding::Opening));
        message += "–";
        message += &time(selected.event(span.end, Rounding::Closing));
    }
    message + "."
}

/// The frames with a lens of this focal length.
fn plan(exposed: &ExposedPlan, focal_mm: f64) -> Html {
    html! {
        <>
            <p>{ plan_message(exposed, focal_mm) }</p>
            if let Some(limit) = &exposed.limit {
                <p>{ limit_message(limit) }</p>
            }
            { for exposed.plan.rows.iter().map(|row| html! { <p>{ row_message(row) }</p> }) }
            <p class="legend">
                { "Take the rows in this order, each from left to right: the sky first, without \
                   a pause to look; the ground can wait." }
            </p>
        </>
    }
}

/// How many frames, how long they take, and how far the sky turns meanwhile.
fn plan_message(exposed: &ExposedPlan, focal_mm: f64) -> String {
    let plan = &exposed.plan;
    let count = plan.count();
    let minutes = plan.time_s(count) / 60.0;
    let rotation = plan.sky_rotation(plan.count_with_sky());
    format!(
        "{count} frames of {}, {}, in {} min; the sky moves {} while its rows are taken.",
        shutter(exposed.shutter),
        focal(focal_mm),
        fixed(minutes, 1),
        degrees_to(rotation.total, 1),
    )
}

/// The frame that decides the exposure, and where in it.
fn limit_message(limit: &FrameLimit) -> String {
    let place = match limit.at {
        SharpAt::Core => "where it must stay sharp",
        SharpAt::Middle => "in its middle",
        SharpAt::Worst => "in its fastest place",
        SharpAt::Declination => "for the stars to be kept sharp",
    };
    format!(
        "Each frame's own sky counts: frame {}, towards {}, trails soonest, {} {place}.",
        limit.number,
        bearing(limit.frame.bearing),
        clean(limit.longest),
    )
}

/// Where the frames of a row point.
fn row_message(row: &Row) -> String {
    let first = bearing(row.first);
    let tilt = degrees_to(row.tilt, 0);
    match row.columns {
        1 => format!("Tilted {tilt} up: one frame at {first}."),
        count => format!(
            "Tilted {tilt} up: {count} frames, the first at {first}, each {} to the right of the last.",
            degrees_to(row.turn, 1)
        ),
    }
}
