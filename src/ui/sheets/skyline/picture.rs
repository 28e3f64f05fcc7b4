//! The picture of the skyline: the line with its sightings, heights drawn taller than bearings, the
//! core's path over it, and where the thumb is.

use yew::prelude::*;

use super::thumb::{Scale, THUMB_PX, Thumb};
use super::{PX_PER_DEG, Strip, ground_keys};
use crate::angle::Angle;
use crate::decimal::fixed;
use crate::land::ridge::RidgeLine;
use crate::ui::layout::{LayoutKind, Size};
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::horizon::{Horizon, HorizonBodies};
use crate::ui::state::skyline::pull::SAME_DEG;
use crate::ui::text::night::{bearing, compass, time};
use crate::ui::text::units::degrees;
use crate::ui::widgets::bodies::core_sign;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::sky_canvas::SkyCanvas;
use crate::ui::widgets::svg_path::SvgPath;

/// Heights are drawn so many times taller than bearings are wide.
const TALLER: f64 = 2.7;

/// Ground under the level horizon, px: bearings, and the keys under them.
const GROUND_PX: f64 = 104.0;

/// What title, keys, the figures and the margins take of a sheet's height, px; on a phone on its
/// side the figures lie on the picture.
const OTHER_PX: f64 = 164.0;
const SIDE_OTHER_PX: f64 = 24.0;

/// Room above the highest sighting, degrees, and the steps in which the picture grows with it: so
/// it does not while the line is pulled a little.
const ROOM_DEG: f64 = 3.0;
const GROWS_DEG: f64 = 10.0;

/// Half width of a sighting's sign, px; and the least distance at which each of many is drawn.
const DIAMOND_PX: f64 = 7.0;
const APART_PX: f64 = 9.0;

/// Radius of the ring at the thumb, px.
const RING_PX: f64 = 28.0;

/// Figures, picture and the keys on its ground.
pub(super) fn picture(
    state: &State,
    derived: &Derived,
    strip: &Strip,
    dispatch: &Dispatch,
) -> Html {
    let sheet = state.layout.sheet();
    let other_px = match state.layout.kind() {
        LayoutKind::Side => SIDE_OTHER_PX,
        _ => OTHER_PX,
    };
    let size = Size {
        width: sheet.width,
        height: (sheet.height - other_px).max(180.0),
    };
    let left_deg = strip.middle.degrees() - strip.span_deg / 2.0;
    let left = Angle::from_degrees(left_deg.rem_euclid(360.0));
    let (horizon, bodies) = derived.sheet_horizon(state, left, strip.span_deg);
    let ridge = &state.outing().site.ridge;
    let scale = scale(ridge, left, size);
    let sky = Size {
        height: scale.level_px,
        ..size
    };
    let top_deg = scale.level_px / scale.up_px;
    let image = derived.sheet_sky(state, &horizon, top_deg, sky);
    let height = ridge.height(strip.at);
    let spoken = format!("{} at {}", degrees(height), bearing(strip.at));
    let subject = state.outing().subject;
    let selected = derived.night(state);
    let passes = derived.subject_passes(state, strip.at);
    let passes =
        passes.map(|at| format!("{} passes at {}", subject.word(), time(selected.local(at))));
    let drawn = drawing((ridge, strip), (&horizon, &bodies), &scale, size);
    html! {
        <>
            <div class="readout">
                <p class="figure">{ degrees(height) }</p>
                <div>
                    <p class="second">{ format!("at {}", bearing(strip.at)) }</p>
                    <p class="fact quiet">{ passes.unwrap_or_default() }</p>
                </div>
            </div>
            <div class="bleed unrolled">
                <SkyCanvas {image} size={sky} theme={state.display.theme} />
                <Thumb
                    {size}
                    {scale}
                    strip={*strip}
                    value={fixed(height.degrees(), 1)}
                    {spoken}
                    {drawn}
                    dispatch={dispatch.clone()}
                />
                { ground_keys(state, strip, dispatch) }
            </div>
        </>
    }
}

fn scale(ridge: &RidgeLine, left: Angle, size: Size) -> Scale {
    let level_px = size.height - GROUND_PX;
    let top_deg = level_px / (TALLER * PX_PER_DEG);
    let highest_deg = ridge.least_and_most().1.degrees() + ROOM_DEG;
    let top_deg = if highest_deg > top_deg {
        (highest_deg / GROWS_DEG).ceil() * GROWS_DEG
    } else {
        top_deg
    };
    Scale {
        left_deg: left.degrees(),
        across_px: (size.width / 360.0).max(PX_PER_DEG),
        up_px: level_px / top_deg,
        level_px,
    }
}

fn drawing(
    (ridge, strip): (&RidgeLine, &Strip),
    (horizon, bodies): (&Horizon, &HorizonBodies),
    scale: &Scale,
    size: Size,
) -> Html {
    let skyline = || horizon.skyline.iter().map(|place| scale.place(*place));
    let (mut land, mut line) = (SvgPath::default(), SvgPath::default());
    line.polyline(skyline());
    land.polyline(skyline());
    land.line_to((size.width, size.height))
        .line_to((0.0, size.height));
    let pieces = |pieces: &[Vec<(f64, f64)>]| {
        let mut path = SvgPath::default();
        for piece in pieces {
            path.polyline(piece.iter().map(|place| scale.place(*place)));
        }
        path.finish()
    };
    let windows = pieces(&horizon.windows);
    let x = scale.x(strip.at);
    let y = scale.place((0.0, ridge.height(strip.at).degrees())).1;
    let (mut plumb, mut hang) = (SvgPath::default(), SvgPath::default());
    plumb.move_to((x, 0.0)).line_to((x, y));
    hang.move_to((x, y)).line_to((x, y + THUMB_PX - RING_PX));
    html! {
        <>
            <path class="land" d={land.finish()} />
            if ridge.least_and_most().0 >= Angle::ZERO {
                // the ground of the page begins where no line is drawn
                <rect
                    class="ground"
                    x="0"
                    y={fixed(scale.level_px + 10.0, 0)}
                    width="100%"
                    height="100%"
                />
            }
            { heights(scale, size) }
            <path class="path" d={pieces(&horizon.path)} />
            <path class="path glow" d={windows.clone()} />
            <path class="path clear" d={windows} />
            <path class="skyline" d={line.finish()} />
            <path class="pulled" d={pulled(ridge, strip, scale)} />
            { bodies.core.map_or_else(Html::default, |place| {
                core_sign(scale.place(place), bodies.along_band, 13.0)
            }) }
            <path class="sighting" d={sightings(ridge, strip, scale, size)} />
            <path class="plumb" d={plumb.finish()} />
            <path class="thumb" d={hang.finish()} />
            <circle
                class="thumb"
                cx={fixed(x, 1)}
                cy={fixed(y + THUMB_PX, 1)}
                r={fixed(RING_PX, 0)}
            />
            <path class="sighting held" d={diamond((x, y), DIAMOND_PX + 2.0)} />
            { bearings(strip, scale, size) }
        </>
    }
}

fn diamond((x, y): (f64, f64), half: f64) -> String {
    let mut path = SvgPath::default();
    let places = [
        (x, y - half),
        (x + half, y),
        (x, y + half),
        (x - half, y),
        (x, y - half),
    ];
    path.polyline(places);
    path.finish()
}

/// The line from the sighting before the bearing looked at to the one after it.
fn pulled(ridge: &RidgeLine, strip: &Strip, scale: &Scale) -> String {
    let off = |to: Angle| (to.degrees() - strip.at.degrees() + 180.0).rem_euclid(360.0) - 180.0;
    let (mut before, mut after) = (-f64::INFINITY, f64::INFINITY);
    for sighting in ridge.sightings() {
        let off = off(sighting.bearing);
        if off < -SAME_DEG {
            before = before.max(off);
        } else if off > SAME_DEG {
            after = after.min(off);
        }
    }
    // where there is no neighbour near, the line falls to the height all round
    const ALONE_DEG: f64 = 2.5;
    let x = scale.x(strip.at);
    let [before, after] = [before.max(-90.0), after.min(90.0)];
    let ends = [before, 0.0, after].map(|off: f64| {
        let off = if off.abs() >= 90.0 {
            off.signum() * ALONE_DEG
        } else {
            off
        };
        let at = Angle::from_degrees((strip.at.degrees() + off).rem_euclid(360.0));
        let y = scale.place((0.0, ridge.height(at).degrees())).1;
        (x + off * scale.across_px, y)
    });
    let mut path = SvgPath::default();
    path.polyline(ends);
    path.finish()
}

/// Signs of the sightings in sight; of a survey, which has one every degree or so, none.
fn sightings(ridge: &RidgeLine, strip: &Strip, scale: &Scale, size: Size) -> String {
    let places: Vec<_> = ridge
        .sightings()
        .iter()
        .filter(|sighting| (sighting.bearing.degrees() - strip.at.degrees()).abs() > SAME_DEG)
        .map(|sighting| {
            let y = scale.place((0.0, sighting.height.degrees())).1;
            (scale.x(sighting.bearing), y)
        })
        .filter(|(x, _)| *x <= size.width)
        .collect();
    if places.len() as f64 * APART_PX > size.width {
        return String::new();
    }
    let signs = places.into_iter().map(|place| diamond(place, DIAMOND_PX));
    signs.collect()
}

/// Lines at heights, named at their right ends.
fn heights(scale: &Scale, size: Size) -> Html {
    let top_deg = scale.level_px / scale.up_px;
    let every_deg = if top_deg > 45.0 { 15.0 } else { 5.0 };
    let line = |step: u32| {
        let height_deg = f64::from(step) * every_deg;
        let y = scale.place((0.0, height_deg)).1;
        let mut path = SvgPath::default();
        path.move_to((0.0, y)).line_to((size.width, y));
        html! {
            <>
                <path class="height" d={path.finish()} />
                if step > 0 {
                    <text
                        class="caption"
                        x={fixed(size.width - 8.0, 0)}
                        y={fixed(y - 4.0, 1)}
                        text-anchor="end"
                    >
                        { format!("{}°", fixed(height_deg, 0)) }
                    </text>
                }
            </>
        }
    };
    let count = ((top_deg - 1.5) / every_deg).max(0.0) as u32;
    html! { <g>{ for (0..=count).map(line) }</g> }
}

/// Bearings in the ground, each ten degrees; the eight names of the compass where they stand.
fn bearings(strip: &Strip, scale: &Scale, size: Size) -> Html {
    /// Half the room of a name, px.
    const HALF_PX: f64 = 20.0;
    let y = size.height - 66.0;
    let first = (scale.left_deg / 10.0).ceil();
    let name = |step: u32| {
        let at_deg = (first + f64::from(step)) * 10.0;
        let x = (at_deg - scale.left_deg) * scale.across_px;
        let at = Angle::from_degrees(at_deg.rem_euclid(360.0));
        let word = if at.degrees() % 90.0 == 0.0 {
            compass(at).to_owned()
        } else {
            format!("{}°", fixed(at.degrees(), 0))
        };
        let mut tick = SvgPath::default();
        tick.move_to((x, y - 22.0)).line_to((x, y - 16.0));
        let inside = (HALF_PX..=size.width - HALF_PX).contains(&x);
        inside.then(|| {
            html! {
                <>
                    <path class="tick" d={tick.finish()} />
                    <text class="caption" x={fixed(x, 1)} y={fixed(y, 1)} text-anchor="middle">
                        { word }
                    </text>
                </>
            }
        })
    };
    let count = (strip.span_deg / 10.0) as u32;
    html! { <g>{ for (0..=count).filter_map(name) }</g> }
}
