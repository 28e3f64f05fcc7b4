//! The arch of the Milky Way, and the panorama that covers it.

use crate::ui::state::panorama::{CLICK_STOPS, PanoramaAction};
use yew::prelude::*;

use crate::angle::Angle;
use crate::camera::dial::Shutter;
use crate::decimal::fixed;
use crate::outing::exposure::Answer;
use crate::outing::framing::arch::{Arch, Arches};
use crate::outing::framing::panorama::area::Area;
use crate::outing::framing::panorama::exposure::{FrameLimit, SharpAt, limiting_frame};
use crate::outing::framing::panorama::{NoPanorama, PanoramaPlan, PanoramaSettings, Row};
use crate::outing::plan::bounds::{OVERLAP, PAUSE_S, SIGHTED};
use crate::sky::altitude::TrueAltitude;
use crate::sky::spans::Spans;
use crate::ui::state::State;
use crate::ui::state::derived::selected_night::{SelectedNight, days_of};
use crate::ui::text::exposure::{clean, degrees_to, focal, shutter};
use crate::ui::text::night::{bearing, time};
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::element::{all, say};
use crate::ui::widgets::text_field::number_field;
use crate::ui::widgets::toggle_group::{ToggleGroup, toggle_group};

/// Room left about the arch.
const MARGIN: Angle = Angle::from_degrees(10.0);

/// Width of a panorama about the core alone, degrees.
const ABOUT_CORE_DEG: f64 = 120.0;

/// The sheet.
pub fn panorama_sheet(
    state: &State,
    answer: &Answer,
    shown: &SelectedNight,
    dispatch: &Dispatch,
) -> Html {
    let draft = &state.panorama;
    let arches = arches(state, shown);
    let arch = arches.at(days_of(shown.minute));
    let wanted = wanted(state, answer, shown, &arch);
    let ways = ToggleGroup {
        name: "the head turns",
        options: &[
            ("freely", "", PanoramaAction::ClickStops(0).into()),
            ("by degrees", "", PanoramaAction::ClickStops(1).into()),
            ("by stops", "", PanoramaAction::ClickStops(2).into()),
        ],
        chosen: Some(draft.click_stops),
        tall: false,
    };
    let areas = ToggleGroup {
        name: "what is covered",
        options: &[
            (
                "the whole arch",
                "",
                PanoramaAction::AboutCore(false).into(),
            ),
            (
                "120° about the core",
                "",
                PanoramaAction::AboutCore(true).into(),
            ),
        ],
        chosen: Some(usize::from(draft.about_core)),
        tall: false,
    };
    let parts = vec![
        say("p", &[("class", "in-use")], message(&arch, shown)),
        say("p", &[], low_enough(&arches, &wanted, shown)),
        say("h3", &[], "The panorama"),
        plan(planned(state, shown, &wanted, answer), state),
        toggle_group(&areas, dispatch),
        toggle_group(&ways, dispatch),
        number_field(
            ("overlap", "Overlap of neighbours", "%"),
            draft.overlap_share * 100.0,
            OVERLAP,
            |value| PanoramaAction::Overlap(value / 100.0),
            dispatch,
        ),
        number_field(
            ("pause", "Pause between frames", "s"),
            draft.pause_s,
            PAUSE_S,
            PanoramaAction::Pause,
            dispatch,
        ),
        number_field(
            ("lowest", "Lowest height in the picture", "°"),
            draft.low.degrees(),
            SIGHTED,
            |value| PanoramaAction::Low(Angle::from_degrees(value)),
            dispatch,
        ),
    ];
    dialog("Arch and panorama", parts, dispatch)
}

/// The arch over the night shown.
pub(super) fn arches(state: &State, shown: &SelectedNight) -> Arches {
    Arches::over(state.outing().site.on_earth(), shown.night.evening.start)
}

/// The panorama in the making.
pub(super) fn wanted(
    state: &State,
    answer: &Answer,
    shown: &SelectedNight,
    arch: &Arch,
) -> PanoramaSettings {
    let (draft, view) = (&state.panorama, answer.view);
    let mut area = Area::around_arch(arch, MARGIN, draft.low);
    if draft.about_core {
        let core = shown.reading.core.bearing.degrees();
        area.left = Angle::from_degrees((core - ABOUT_CORE_DEG / 2.0).rem_euclid(360.0));
        area.width = Angle::from_degrees(ABOUT_CORE_DEG);
    }
    PanoramaSettings {
        sensor: view.sensor,
        lens: view.lens,
        area,
        overlap: draft.overlap_share,
        clicks: CLICK_STOPS[draft.click_stops],
        exposure_s: answer.shutter().exact_s(),
        pause_s: draft.pause_s,
    }
}

/// The panorama's frames, the setting for all of them, and the frame that decides it.
pub(super) struct Planned {
    /// The frames, so exposed.
    pub plan: PanoramaPlan,
    /// The setting.
    pub shutter: Shutter,
    /// The frame that allows the least; nothing where none holds sky.
    pub limit: Option<FrameLimit>,
}

/// Plans the panorama, exposed as long as its own frames allow.
pub(super) fn planned(
    state: &State,
    shown: &SelectedNight,
    wanted: &PanoramaSettings,
    answer: &Answer,
) -> Result<Planned, NoPanorama> {
    let plan = wanted.plan()?;
    let core = shown.reading.core;
    let at = (core.bearing, core.altitude.0);
    let limit = limiting_frame(state.outing(), &plan, at);
    let shutter = limit.map_or_else(|| answer.shutter(), |limit| limit.shutter());
    Ok(Planned {
        plan: plan.exposed(shutter.exact_s()),
        shutter,
        limit,
    })
}

/// Where the arch stands.
fn message(arch: &Arch, shown: &SelectedNight) -> String {
    format!(
        "At {} the arch tops out {} up, {}; its feet stand at {} and {}.",
        time(shown.local(days_of(shown.minute))),
        degrees_to(arch.top.0, 0),
        bearing(arch.top_bearing),
        bearing(arch.feet[0]),
        bearing(arch.feet[1]),
    )
}

/// When one row of this kit covers it in the dark.
fn low_enough(arches: &Arches, wanted: &PanoramaSettings, shown: &SelectedNight) -> String {
    let Some(most) = wanted.one_row() else {
        return "One row of this lens never covers it.".to_owned();
    };
    let top = TrueAltitude(Angle::from_degrees(most.degrees() - MARGIN.degrees()));
    let Spans(spans) = arches
        .no_higher_than(top)
        .intersection(&shown.night.evening.usable.dark);
    if spans.is_empty() {
        return "In the dark hours it is never low enough for one row.".to_owned();
    }
    let mut message = "Low enough for one row, in the dark: ".to_owned();
    for (place, span) in spans.iter().enumerate() {
        if place > 0 {
            message += ", ";
        }
        message += &time(shown.local(span.start));
        message += "–";
        message += &time(shown.local(span.end));
    }
    message + "."
}

fn plan(planned: Result<Planned, NoPanorama>, state: &State) -> Html {
    let Planned {
        plan,
        shutter: setting,
        limit,
    } = match planned {
        Ok(planned) => planned,
        Err(why) => return say("p", &[("role", "status")], format!("{why}.")),
    };
    let count = plan.count();
    let slip = plan.sky_rotation(plan.count_with_sky());
    let minutes = plan.time_s(count) / 60.0;
    let all_told = format!(
        "{count} frames of {}, {}, in {} min; the sky slips {} while its rows are taken.",
        shutter(setting),
        focal(state.outing().kit.lens.focal_mm),
        fixed(minutes, 1),
        degrees_to(slip.total, 1),
    );
    let mut lines = vec![say(
        "p",
        &[("class", "in-use"), ("role", "status")],
        all_told,
    )];
    if let Some(limit) = limit {
        lines.push(say("p", &[], limit_told(&limit)));
    }
    for row in &plan.rows {
        lines.push(say("p", &[], row_told(row)));
    }
    lines.push(say(
        "p",
        &[("class", "legend")],
        "Take the rows in this order, each from left to right: the sky first, without a pause to \
         look; the ground can wait.",
    ));
    all(lines)
}

/// The frame that decides the exposure, and where in it.
fn limit_told(limit: &FrameLimit) -> String {
    let place = match limit.at {
        SharpAt::Core => "at the core",
        SharpAt::Middle => "in its middle",
        SharpAt::Worst => "in its fastest place",
        SharpAt::Declination => "for the stars to be kept sharp",
    };
    format!(
        "Each frame's own sky counts: frame {}, towards {}, allows the least, {} {place}.",
        limit.number,
        bearing(limit.frame.bearing),
        clean(limit.longest),
    )
}

fn row_told(row: &Row) -> String {
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
