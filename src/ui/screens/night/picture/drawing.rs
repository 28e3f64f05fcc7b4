//! What stands still in the picture of a night: land, the core's path, the shot windows, hours,
//! events and the Moon.

use std::rc::Rc;

use yew::prelude::*;

use super::labels::{GroundMark, MoonMark, arranged};
use super::scale::{NightScale, value_at, within};
use crate::decimal::fixed;
use crate::sky::spans::Span;
use crate::ui::layout::Size;
use crate::ui::state::derived::night_band::NightBand;
use crate::ui::state::derived::selected_night::Night;
use crate::ui::text::night as words;
use crate::ui::widgets::bodies::moon_disc;
use crate::ui::widgets::svg_path::SvgPath;

/// Lines of writing in the ground, px below its upper edge: hours, times, words.
const LINES_PX: (f64, f64, f64) = (18.0, 42.0, 60.0);

/// Altitudes are written each so many degrees, in a high picture twice as many.
const TICKS_DEG: f64 = 10.0;
const HIGH_DEG: f64 = 45.0;

/// Above this the readout stands, px from the top.
const READOUT_PX: f64 = 62.0;

/// What the altitudes at the left edge take, px.
const ALTITUDES_PX: f64 = 36.0;

/// Radius of the Moon, px.
const MOON_PX: f64 = 10.0;

/// Width of the words at the Moon, and height of their two lines, px.
const MOON_WORDS_PX: f64 = 84.0;
const MOON_LINES_PX: f64 = 38.0;

/// From the Moon to words beside it, px.
const BESIDE_PX: f64 = 6.0;

/// Between two strokes of hatching, px.
const HATCH_PX: f64 = 9.0;

#[derive(Properties)]
pub struct NightDrawingProps {
    /// The night.
    pub night: Rc<Night>,
    /// Its curves.
    pub band: Rc<NightBand>,
    /// Events.
    pub ground: Vec<GroundMark>,
    /// The Moon's.
    pub moons: Vec<MoonMark>,
    /// Size on the screen.
    pub size: Size,
}

impl PartialEq for NightDrawingProps {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.night, &other.night)
            && Rc::ptr_eq(&self.band, &other.band)
            && self.size == other.size
            && self.ground == other.ground
            && self.moons == other.moons
    }
}

/// The drawing; drawn anew for another night, other limits or another size.
#[component(NightDrawing)]
pub fn night_drawing(props: &NightDrawingProps) -> Html {
    let NightDrawingProps {
        night, band, size, ..
    } = props;
    let scale = NightScale::new(band.span, band.top_deg, *size);
    let (width, height) = (fixed(size.width, 0), fixed(size.height, 0));
    let windows: Vec<Span> = night
        .evening
        .usable
        .windows
        .iter()
        .map(|window| window.span)
        .collect();
    html! {
        <svg
            class="drawing"
            viewBox={size.view_box(0)}
            {width}
            {height}
            aria-hidden="true"
        >
            { hour_lines(band, &scale) }
            <path class="window" d={lit_areas(band, &windows, &scale)} />
            { land(band, &scale) }
            { path(band, &windows, &scale) }
            { posts(band, &windows, &scale) }
            { altitudes(&scale) }
            { for props.moons.iter().map(|moon| moon_sign(moon, &props.ground, (band, &scale))) }
            { ground(&props.ground, &scale) }
            { hours(night, band, &scale) }
        </svg>
    }
}

fn hour_lines(band: &NightBand, scale: &NightScale) -> Html {
    let mut lines = SvgPath::default();
    for hour in &band.hours {
        let x = scale.x(*hour);
        lines.move_to((x, 0.0)).line_to((x, scale.level_px()));
    }
    html! { <path class="hours" d={lines.finish()} /> }
}

/// The light of the windows, between the core's path and the skyline.
fn lit_areas(band: &NightBand, windows: &[Span], scale: &NightScale) -> String {
    let mut area = SvgPath::default();
    for span in windows {
        let above = within(&band.core, *span);
        let below = within(&band.ridge, *span);
        let around = above.into_iter().chain(below.into_iter().rev());
        area.polyline(around.map(|point| scale.place(point)));
    }
    area.finish()
}

/// The skyline at the core's bearing at each minute, and the land under it.
fn land(band: &NightBand, scale: &NightScale) -> Html {
    let level = scale.level_px();
    let places = || band.ridge.iter().map(|point| scale.place(*point));
    let (mut land, mut line) = (SvgPath::default(), SvgPath::default());
    land.polyline(places())
        .line_to((scale.size.width, level))
        .line_to((0.0, level));
    line.polyline(places());
    let land = land.finish();
    let mut hatch = SvgPath::default();
    let mut x = -level;
    while x < scale.size.width {
        hatch.move_to((x, 0.0)).line_to((x + level, level));
        x += HATCH_PX;
    }
    html! {
        <>
            <clipPath id="night-land"><path d={land.clone()} /></clipPath>
            <path class="land" d={land} />
            <g clip-path="url(#night-land)"><path class="hatch" d={hatch.finish()} /></g>
            <path class="skyline" d={line.finish()} />
        </>
    }
}

/// The core's path over the skyline: dotted, solid in the windows.
fn path(band: &NightBand, windows: &[Span], scale: &NightScale) -> Html {
    let mut dotted = SvgPath::default();
    let points = || band.core.iter().zip(&band.ridge);
    let clear = |(core, ridge): &(&(f64, f64), &(f64, f64))| core.1 > ridge.1.max(0.0);
    let all: Vec<_> = points().collect();
    for piece in all.chunk_by(|one, next| clear(one) == clear(next)) {
        if clear(&piece[0]) {
            dotted.polyline(piece.iter().map(|(core, _)| scale.place(**core)));
        }
    }
    let mut solid = SvgPath::default();
    for span in windows {
        let piece = within(&band.core, *span);
        solid.polyline(piece.into_iter().map(|point| scale.place(point)));
    }
    let (dotted, solid) = (dotted.finish(), solid.finish());
    html! {
        <>
            <path class="path back" d={dotted.clone()} />
            <path class="path" d={dotted} />
            <path class="path glow" d={solid.clone()} />
            <path class="path clear" d={solid} />
        </>
    }
}

/// A post at each end of a window, from the path to the ground.
fn posts(band: &NightBand, windows: &[Span], scale: &NightScale) -> Html {
    let mut posts = SvgPath::default();
    for at in windows.iter().flat_map(|span| [span.start, span.end]) {
        if scale.shows(at) {
            let (x, y) = scale.place((at, value_at(&band.core, at)));
            posts.move_to((x, y)).line_to((x, scale.level_px()));
        }
    }
    html! { <path class="window-posts" d={posts.finish()} /> }
}

fn altitudes(scale: &NightScale) -> Html {
    let step = if scale.top_deg > HIGH_DEG {
        2.0 * TICKS_DEG
    } else {
        TICKS_DEG
    };
    let count = (scale.top_deg / step) as usize;
    let marks = (1..=count).map(|number| number as f64 * step);
    let shown = marks.filter(|altitude| scale.y(*altitude) > READOUT_PX);
    let tick = |altitude: f64| {
        let y = scale.y(altitude);
        let mut tick = SvgPath::default();
        tick.move_to((0.0, y)).line_to((7.0, y));
        html! {
            <>
                <path class="tick" d={tick.finish()} />
                <text class="caption" x="11" y={fixed(y + 5.0, 1)}>
                    { fixed(altitude, 0) + "°" }
                </text>
            </>
        }
    };
    html! { <g>{ for shown.map(tick) }</g> }
}

/// The Moon on the skyline at the time it rises or sets. Its words stand below it in the land, or over
/// it where the land is too low for them; beside it, on the far side, where an end of a window is
/// near: there stand the post and, mostly, the plumb line.
fn moon_sign(
    moon: &MoonMark,
    marks: &[GroundMark],
    (band, scale): (&NightBand, &NightScale),
) -> Html {
    let skyline = value_at(&band.ridge, moon.at);
    let (x, y) = scale.place((moon.at, skyline));
    let width = scale.size.width;
    let middle = (
        x.clamp(MOON_PX + 2.0, width - MOON_PX - 2.0),
        (y - MOON_PX - 3.0).max(READOUT_PX),
    );
    let posts = marks.iter().filter(|mark| mark.post);
    let posts = posts.map(|mark| scale.place((mark.at, 0.0)).0 - middle.0);
    let nearest = posts.min_by(|one, other| one.abs().total_cmp(&other.abs()));
    let nearest = nearest.filter(|off| off.abs() < MOON_WORDS_PX);
    let aside = nearest.and_then(|off| {
        let (anchor, x) = if off < 0.0 {
            ("start", middle.0 + MOON_PX + BESIDE_PX)
        } else {
            ("end", middle.0 - MOON_PX - BESIDE_PX)
        };
        let room = if off < 0.0 { width - x } else { x };
        (room >= MOON_WORDS_PX).then_some((anchor, x, middle.1 + MOON_LINES_PX / 2.0 - 6.0))
    });
    let (anchor, words_x, last) = aside.unwrap_or_else(|| {
        let half = MOON_WORDS_PX / 2.0;
        let below = middle.1 + MOON_PX + MOON_LINES_PX;
        let last = if below <= scale.level_px() - 4.0 {
            below
        } else {
            middle.1 - MOON_PX - 6.0
        };
        let least = ALTITUDES_PX + half;
        ("middle", middle.0.clamp(least, width - half), last)
    });
    let word = |class: &'static str, y: f64, word: String| {
        html! {
            <text {class} x={fixed(words_x, 1)} y={fixed(y, 1)} text-anchor={anchor}>{ word }</text>
        }
    };
    html! {
        <>
            { moon_disc(middle, MOON_PX, moon.lit, moon.lit_towards) }
            { word("time", last - 16.0, moon.time.clone()) }
            { word("caption", last, moon.word.to_owned()) }
        </>
    }
}

/// The events in the ground.
fn ground(marks: &[GroundMark], scale: &NightScale) -> Html {
    let level = scale.level_px();
    let word = |class: &'static str, (x, y): (f64, f64), word: &str| {
        html! {
            <text {class} x={fixed(x, 1)} y={fixed(y, 1)} text-anchor="middle">{ word }</text>
        }
    };
    let mark = |(number, x): (usize, f64)| {
        let mark = &marks[number];
        let class = if mark.post { "time post" } else { "time" };
        html! {
            <>
                { word(class, (x, level + LINES_PX.1), &mark.time) }
                { word("caption", (x, level + LINES_PX.2), &mark.word) }
            </>
        }
    };
    html! { <g class="ground">{ for arranged(marks, scale).into_iter().map(mark) }</g> }
}

/// The hours along the ground.
fn hours(night: &Night, band: &NightBand, scale: &NightScale) -> Html {
    const EDGE_PX: f64 = 15.0;
    let inside = |hour: &&f64| (EDGE_PX..=scale.size.width - EDGE_PX).contains(&scale.x(**hour));
    let hour = |hour: &f64| {
        let local = night.clock.local(night.evening.start.plus_days(*hour));
        let y = scale.level_px() + LINES_PX.0;
        html! {
            <text
                class="caption"
                x={fixed(scale.x(*hour), 1)}
                y={fixed(y, 1)}
                text-anchor="middle"
            >
                { words::hour(local) }
            </text>
        }
    };
    html! { <g>{ for band.hours.iter().filter(inside).map(hour) }</g> }
}
