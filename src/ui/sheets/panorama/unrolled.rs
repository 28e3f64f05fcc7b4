//! The horizon unrolled: sky, arch and skyline, the true outlines of the frames, their numbers and
//! bearings, and how far neighbours overlap.

use yew::prelude::*;

use crate::angle::Angle;
use crate::decimal::fixed;
use crate::outing::framing::panorama::Row;
use crate::ui::layout::{LayoutKind, Size};
use crate::ui::sheets::panorama::looks_straight_up;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::panorama::{ExposedPlan, Panorama, PanoramaFrame};
use crate::ui::text::units::degrees_to;
use crate::ui::widgets::bodies::core_sign;
use crate::ui::widgets::sky_canvas::SkyCanvas;
use crate::ui::widgets::svg_path::SvgPath;

/// Altitudes of the picture, degrees.
const TOP_DEG: f64 = 84.0;
const LOW_DEG: f64 = -6.0;

/// What stands beside the picture on the sheet, px: while it is planned, and in the field.
const PLAN_PX: f64 = 350.0;
const FIELD_PX: f64 = 340.0;

/// Share of a sheet's width for the picture in the field on a phone on its side, where the frame to take
/// stands beside it: as in the style sheet.
const SIDE_FIELD_SHARE: f64 = 0.54;

/// Height of the picture over its width at most, and at the least, px.
const MOST_SHAPE: f64 = 0.62;
const LEAST_PX: f64 = 120.0;

/// Height of a row's numbers and bearings, where these stand under the numbers and where beside them,
/// and of the bars, px.
const ROW_PX: f64 = 58.0;
const LOW_ROW_PX: f64 = 36.0;
const BARS_PX: f64 = 24.0;

/// Rows whose numbers are drawn.
const ROWS: usize = 2;

/// Room of a row's height in words beside its numbers, px.
const CAPTION_PX: f64 = 60.0;

/// Half the room of a number in its ring, and of a bearing, px.
const RING_PX: f64 = 14.0;
const BEARING_PX: f64 = 44.0;

/// Where bearings and altitudes are on the picture.
struct Scale {
    width_px: f64,
    left: Angle,
    across_px: f64,
    up_px: f64,
    level_px: f64,
    /// Height of a row's numbers and bearings, and whether the bearings stand beside the numbers.
    row_px: f64,
    beside: bool,
}

impl Scale {
    /// Px of degrees to the right of the left end, and of altitude.
    fn place(&self, (across_deg, altitude_deg): (f64, f64)) -> (f64, f64) {
        (
            across_deg * self.across_px,
            self.level_px - altitude_deg.clamp(-90.0, 90.0) * self.up_px,
        )
    }

    /// A bearing as degrees to the right of the left end; one a little to the left of it is below
    /// zero.
    fn across(&self, bearing: Angle) -> f64 {
        (bearing.degrees() - self.left.degrees() + 40.0).rem_euclid(360.0) - 40.0
    }

    fn x(&self, bearing: Angle) -> f64 {
        self.across(bearing) * self.across_px
    }
}

/// The picture; in the field the frame at a place is marked.
pub(super) fn unrolled(
    state: &State,
    derived: &Derived,
    panorama: &Panorama,
    place: Option<usize>,
) -> Html {
    let beside = state.layout.kind() == LayoutKind::Side;
    let mut sheet = state.layout.sheet();
    if beside && place.is_some() {
        sheet.width = (sheet.width * SIDE_FIELD_SHARE).floor();
    }
    let exposed = panorama.plan.as_ref().ok();
    // before the field a frame shows how much one holds
    let marked = place.or_else(|| exposed.map(first_below_zenith));
    let rows = exposed.map_or(0, |exposed| exposed.plan.rows.len().min(ROWS));
    // both have one row's rings
    let row_px = if beside { LOW_ROW_PX } else { ROW_PX };
    let more_rows_px = rows.saturating_sub(1) as f64 * row_px;
    let other_px = more_rows_px + if place.is_some() { FIELD_PX } else { PLAN_PX };
    let sky_px = (sheet.height - other_px)
        .min(sheet.width * MOST_SHAPE)
        .max(LEAST_PX)
        .round();
    let (left, span_deg) = panorama.unrolled();
    let (horizon, bodies) = derived.sheet_horizon(state, left, span_deg);
    let up_px = sky_px / (TOP_DEG - LOW_DEG);
    let scale = Scale {
        width_px: sheet.width,
        left,
        across_px: sheet.width / span_deg,
        up_px,
        level_px: TOP_DEG * up_px,
        row_px,
        beside,
    };
    let sky = Size {
        width: sheet.width,
        height: scale.level_px,
    };
    let image = derived.sheet_sky(state, &horizon, TOP_DEG, sky);
    let bars = if exposed.is_some() { BARS_PX } else { 0.0 };
    let size = Size {
        width: sheet.width,
        height: sky_px + rows as f64 * row_px + bars,
    };
    let mut line = SvgPath::default();
    line.polyline(horizon.skyline.iter().map(|place| scale.place(*place)));
    let mut land = SvgPath::default();
    land.polyline(horizon.skyline.iter().map(|place| scale.place(*place)));
    land.line_to((size.width, sky_px)).line_to((0.0, sky_px));
    let top = scale.place((
        scale.across(panorama.arch.top_bearing),
        panorama.arch.top.0.degrees(),
    ));
    let (width, height) = (fixed(size.width, 0), fixed(size.height, 0));
    html! {
        <div class="bleed unrolled">
            <SkyCanvas {image} size={sky} theme={state.display.theme} />
            <svg
                class="drawing"
                role="img"
                aria-label={label(panorama)}
                viewBox={size.view_box(0)}
                width={width}
                height={height}
            >
                <path class="land" d={land.finish()} />
                <path class="path" d={arch_path(panorama, &scale)} />
                { exposed.map_or_else(Html::default, |exposed| outlines(exposed, marked, &scale)) }
                <path class="skyline" d={line.finish()} />
                { bodies.core.map_or_else(Html::default, |place| {
                    core_sign(scale.place(place), bodies.along_band, 11.0)
                }) }
                <text x={fixed(top.0, 1)} y={fixed((top.1 - 8.0).max(16.0), 1)} text-anchor="middle">
                    { degrees_to(panorama.arch.top.0, 0) }
                </text>
                <rect class="ground" x="0" y={fixed(sky_px, 1)} width="100%" height="100%" />
                { exposed.map_or_else(Html::default, |exposed| {
                    numbers(exposed, marked, &scale, (sky_px, rows))
                }) }
            </svg>
        </div>
    }
}

/// The first frame that does not look straight up, where an outline says little.
fn first_below_zenith(exposed: &ExposedPlan) -> usize {
    let mut frames = exposed.frames.iter();
    let below = frames.position(|frame| !looks_straight_up(frame.frame.tilt));
    below.unwrap_or(0)
}

/// The arch as a path; across the ends of the picture it begins anew.
fn arch_path(panorama: &Panorama, scale: &Scale) -> String {
    let mut path = SvgPath::default();
    let mut before = 0.0;
    for (bearing, altitude) in panorama.arch_line() {
        let across = scale.across(bearing);
        let place = scale.place((across, altitude.degrees()));
        if arch_breaks(&mut before, across) {
            path.move_to(place);
        } else {
            path.line_to(place);
        }
    }
    path.finish()
}

fn arch_breaks(before: &mut f64, across: f64) -> bool {
    let breaks = (across - *before).abs() > 90.0 || *before == 0.0;
    *before = across;
    breaks
}

fn label(panorama: &Panorama) -> String {
    let frames = match &panorama.plan {
        Ok(exposed) => format!("{} frames", exposed.plan.count()),
        Err(_) => "no frames".to_owned(),
    };
    let top = degrees_to(panorama.arch.top.0, 0);
    format!("the horizon unrolled: {frames}, the arch up to {top}")
}

/// The frames' outlines, the one to be taken last.
fn outlines(exposed: &ExposedPlan, place: Option<usize>, scale: &Scale) -> Html {
    let path = |frame: &PanoramaFrame| {
        let mut path = SvgPath::default();
        let middle = scale.across(frame.frame.bearing);
        for piece in &frame.outline {
            let Some((first, _)) = piece.first() else {
                continue;
            };
            // the outline runs on from where it begins, beside the frame's own bearing
            let off_deg = first.degrees() - frame.frame.bearing.degrees();
            let begins = middle + (off_deg + 180.0).rem_euclid(360.0) - 180.0;
            let line = |turn_deg: f64| {
                piece.iter().map(move |(bearing, altitude)| {
                    let across = begins + turn_deg + bearing.degrees() - first.degrees();
                    scale.place((across, altitude.degrees()))
                })
            };
            path.polyline(line(0.0));
            // over the zenith an outline turns once around: what left the picture at one side is
            // drawn again at the other
            if goes_around(piece) {
                path.polyline(line(-360.0)).polyline(line(360.0));
            }
        }
        path.finish()
    };
    let others = exposed.frames.iter().enumerate();
    let others = others.filter(|(number, _)| Some(*number) != place);
    let others: String = others.map(|(_, frame)| path(frame)).collect();
    let taken = place.and_then(|place| exposed.frames.get(place));
    // such an outline encloses no area of the picture
    let around = taken.is_some_and(|frame| frame.outline.iter().any(|piece| goes_around(piece)));
    let class = classes!("frame", "taken", around.then_some("around"));
    html! {
        <>
            <path class="frame" d={others} />
            <path {class} d={taken.map(path).unwrap_or_default()} />
        </>
    }
}

/// Whether an outline turns around the zenith.
fn goes_around(piece: &[(Angle, Angle)]) -> bool {
    let turned_deg = match piece {
        [(first, _), .., (last, _)] => last.degrees() - first.degrees(),
        _ => 0.0,
    };
    turned_deg.abs() > 180.0
}

/// Numbers and bearings of the frames, a line for each row; and bars of the row taken now, so wide
/// as its frames are, in two lines so that overlaps can be seen.
fn numbers(
    exposed: &ExposedPlan,
    place: Option<usize>,
    scale: &Scale,
    (sky_px, rows): (f64, usize),
) -> Html {
    let taken_row = place.and_then(|place| exposed.frames.get(place));
    let taken_row = taken_row.map_or(0, |frame| frame.row);
    // of many rows, from the one taken now on
    let first_row = taken_row.min(exposed.plan.rows.len().saturating_sub(rows));
    let shown = |row: usize| {
        let lines = first_row..first_row + rows;
        lines.contains(&row).then(|| row - first_row)
    };
    let row_of = |frame: &PanoramaFrame| exposed.plan.rows.get(frame.row);
    let mut drawn = Vec::new();
    let (mut bars, mut bar) = (SvgPath::default(), SvgPath::default());
    let mut column = 0;
    for (number, frame) in exposed.frames.iter().enumerate() {
        column = if frame.overlap.is_none() {
            0
        } else {
            column + 1
        };
        let Some(row) = row_of(frame) else { continue };
        let is_taken = Some(number) == place;
        let x = scale.x(frame.frame.bearing);
        if frame.row == taken_row {
            let half = row.frame_width.degrees() / 2.0 * scale.across_px;
            let y = sky_px + rows as f64 * scale.row_px + 4.0 + 9.0 * f64::from(column % 2);
            let path = if is_taken { &mut bar } else { &mut bars };
            path.polyline([
                (x - half, y),
                (x + half, y),
                (x + half, y + 6.0),
                (x - half, y + 6.0),
                (x - half, y),
            ]);
        }
        if let Some(line) = shown(frame.row) {
            let y = sky_px + line as f64 * scale.row_px + RING_PX + 5.0;
            let room = Room::new(row, scale);
            drawn.push(name(frame, (number, column), (x, y), is_taken, &room));
        }
    }
    let captions = (0..rows).filter(|_| exposed.plan.rows.len() > 1);
    let captions = captions.filter_map(|line| {
        let row = exposed.plan.rows.get(first_row + line)?;
        Some(row_caption(row, scale, sky_px + line as f64 * scale.row_px))
    });
    html! {
        <>
            { for captions }
            { for drawn }
            <path class="frame" d={bars.finish()} />
            <path class="frame bar" d={bar.finish()} />
        </>
    }
}

/// The height of a row, at the end of its line where its numbers leave more room.
fn row_caption(row: &Row, scale: &Scale, top_px: f64) -> Html {
    let (first, turns) = (scale.x(row.first), f64::from(row.columns.saturating_sub(1)));
    let last = first + turns * row.turn.degrees() * scale.across_px;
    let right = scale.width_px - last > first;
    let x = if right { scale.width_px - 6.0 } else { 6.0 };
    let room_px = first.max(scale.width_px - last) - RING_PX;
    let height = degrees_to(row.tilt, 0);
    let caption = if looks_straight_up(row.tilt) {
        "straight up".to_owned()
    } else if room_px < CAPTION_PX {
        height
    } else {
        [&height, " up"].concat()
    };
    html! {
        <text
            class="caption"
            x={fixed(x, 1)}
            y={fixed(top_px + RING_PX + 10.5, 1)}
            text-anchor={if right { "end" } else { "start" }}
        >
            { caption }
        </text>
    }
}

/// Every how many frames of a row there is room for a number and for a bearing.
struct Room {
    number: u32,
    bearing: u32,
    /// Whether a bearing stands beside its number.
    beside: bool,
}

impl Room {
    fn new(row: &Row, scale: &Scale) -> Self {
        let apart_px = (row.turn.degrees() * scale.across_px).max(1.0);
        let every = |px: f64| (px / apart_px).ceil().max(1.0) as u32;
        Self {
            number: every(2.0 * RING_PX + 2.0),
            bearing: every(BEARING_PX + if scale.beside { 2.0 * RING_PX } else { 0.0 }),
            beside: scale.beside,
        }
    }
}

fn name(
    frame: &PanoramaFrame,
    (number, column): (usize, u32),
    (x, y): (f64, f64),
    taken: bool,
    room: &Room,
) -> Html {
    let class = if taken { "ring taken" } else { "ring" };
    let has_bearing =
        !looks_straight_up(frame.frame.tilt) && (taken || column.is_multiple_of(room.bearing));
    let (bearing_x, bearing_y, anchor) = if room.beside {
        (x + RING_PX + 5.0, y + 5.5, "start")
    } else {
        (x, y + 33.0, "middle")
    };
    html! {
        <g {class}>
            if taken || column.is_multiple_of(room.number) {
                <circle cx={fixed(x, 1)} cy={fixed(y, 1)} r={fixed(RING_PX, 0)} />
                <text x={fixed(x, 1)} y={fixed(y + 5.5, 1)} text-anchor="middle">
                    { number + 1 }
                </text>
            }
            if has_bearing {
                <text
                    class="caption"
                    x={fixed(bearing_x, 1)}
                    y={fixed(bearing_y, 1)}
                    text-anchor={anchor}
                >
                    { degrees_to(frame.frame.bearing, 0) }
                </text>
            }
        </g>
    }
}
