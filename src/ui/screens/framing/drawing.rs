//! What is drawn over the sky of a frame: land, thirds, the core's path with its hours, core and
//! Moon, and the frame's edges where there is more than the frame to be seen.

use yew::prelude::*;

use crate::camera::contours::Piece;
use crate::camera::drift_map::DriftMap;
use crate::decimal::fixed;
use crate::outing::framing::scene::land::Land;
use crate::outing::framing::scene::{MoonInFrame, Place};
use crate::ui::screens::framing::wide_view::WideView;
use crate::ui::state::derived::scene::FramedScene;
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::text::night::time;
use crate::ui::widgets::bodies::{core_sign, moon_disc};
use crate::ui::widgets::labels::{Label, Labels, Rect, sides_of};
use crate::ui::widgets::svg_path::SvgPath;

/// Least radius of the Moon's disc, px: half a degree is 4 px of a wide lens.
const MOON_PX: f64 = 8.0;
const SMALL_MOON_PX: f64 = 4.0;

/// Reach of the core's sign, px.
const CORE_PX: f64 = 17.0;
const SMALL_CORE_PX: f64 = 8.0;

/// Length of a tick that hangs from the core's path, px.
const TICK_PX: f64 = 9.0;

/// A margin narrower than this beside the frame is not worth a line, px.
const MARGIN_PX: f64 = 1.5;

/// Words about the edges of the frame keep this far off, px.
const EDGE_PX: f64 = 4.0;

/// A large picture of a frame, to be drawn.
pub struct FrameDrawing<'a> {
    /// Frame and picture.
    pub wide: &'a WideView,
    /// What it shows, of the whole picture.
    pub scene: &'a FramedScene,
    /// The site's clock.
    pub selected: &'a SelectedNight,
    /// Laid over the frame.
    pub drift_map: Option<&'a DriftMap>,
    /// Words and keys that lie over the picture.
    pub covered: Vec<Rect>,
}

fn path(class: &'static str, d: String) -> Html {
    html! { <path {class} {d} /> }
}

fn lines(lines: &[Vec<Place>], px: impl Fn(Place) -> Place) -> String {
    let mut path = SvgPath::default();
    for line in lines {
        path.polyline(line.iter().map(|place| px(*place)));
    }
    path.finish()
}

fn pieces(pieces: &[Piece], px: impl Fn(Place) -> Place) -> String {
    let mut path = SvgPath::default();
    for (from, to) in pieces {
        path.move_to(px(*from)).line_to(px(*to));
    }
    path.finish()
}

impl FrameDrawing<'_> {
    /// The drawing.
    pub fn draw(self) -> Html {
        let (wide, scene) = (self.wide, self.scene);
        let words = self.words();
        let px = |place| wide.px(place);
        let path_of = &scene.core_path;
        let window = lines(&path_of.window, px);
        let mut ticks = SvgPath::default();
        for (_, place) in &path_of.hours {
            let (x, y) = px(*place);
            ticks.move_to((x, y)).line_to((x, y + TICK_PX));
        }
        let core = scene.sky.core.filter(|_| scene.sky.core_is_clear);
        html! {
            <>
                { moon(scene.sky.moon, wide, MOON_PX) }
                { land(&scene.land, wide) }
                { path("thirds", thirds(wide)) }
                { drift(self.drift_map, wide) }
                { path("path", lines(&path_of.outside, px)) }
                { path("path glow", window.clone()) }
                { path("path clear", window) }
                { path("hours", ticks.finish()) }
                { outside_frame(wide, &self.covered) }
                { core.map_or_else(Html::default, |place| sign(scene, wide, place, CORE_PX)) }
                <g>{ for words.into_iter().map(word) }</g>
            </>
        }
    }

    /// Hours and the Moon's name, as far as they find a place in the frame.
    fn words(&self) -> Vec<Label> {
        let (wide, scene) = (self.wide, self.scene);
        let frame = wide.frame;
        let within = Rect {
            x: frame.x + EDGE_PX,
            y: frame.y + EDGE_PX,
            width: frame.width - 2.0 * EDGE_PX,
            height: frame.height - 2.0 * EDGE_PX,
        };
        let mut labels = Labels::new(within, self.covered.clone());
        let mut found = Vec::new();
        if let Some(core) = scene.sky.core {
            labels.reserve(Rect::square_at(wide.px(core), CORE_PX));
        }
        if let Some(moon) = scene.sky.moon {
            let place = wide.px(moon.place);
            labels.reserve(Rect::square_at(place, MOON_PX));
            let sides = sides_of((1.0, 0.0));
            found.extend(labels.put("Moon".to_owned(), place, MOON_PX, sides));
        }
        let hours = &scene.core_path.hours;
        for (number, (at, place)) in hours.iter().enumerate() {
            let place = wide.px(*place);
            // along the path to the next hour, or from the one before
            let other = hours
                .get(number + 1)
                .or_else(|| hours.get(number.checked_sub(1)?));
            let slope = other.map_or((1.0, 0.0), |other| {
                let there = wide.px(other.1);
                (there.0 - place.0, there.1 - place.1)
            });
            let hour = time(self.selected.local(*at));
            found.extend(labels.put(hour, place, TICK_PX - 3.0, sides_of(slope)));
        }
        found
    }
}

/// A small picture of a frame: land, path, core and Moon without words.
pub fn small_drawing(scene: &FramedScene, wide: &WideView) -> Html {
    let px = |place| wide.px(place);
    let core = scene.sky.core.filter(|_| scene.sky.core_is_clear);
    html! {
        <>
            { moon(scene.sky.moon, wide, SMALL_MOON_PX) }
            { land(&scene.land, wide) }
            { path("path clear", lines(&scene.core_path.window, px)) }
            { core.map_or_else(Html::default, |place| sign(scene, wide, place, SMALL_CORE_PX)) }
        </>
    }
}

/// Haze over the land: it pales towards the skyline. In red it is hatched.
pub fn haze() -> Html {
    html! {
        <defs>
            <linearGradient id="haze" x1="0" y1="0" x2="0" y2="1">
                <stop class="far-stop" offset="0" />
                <stop class="mid-stop" offset="0.45" />
                <stop class="near-stop" offset="1" />
            </linearGradient>
            <pattern
                id="hatch"
                width="9"
                height="9"
                patternUnits="userSpaceOnUse"
                patternTransform="rotate(-60)"
            >
                <path class="hatch" d="M0 0H9" />
            </pattern>
        </defs>
    }
}

fn land(land: &Land, wide: &WideView) -> Html {
    let px = |place| wide.px(place);
    let ridge = lines(&land.ridge, px);
    html! {
        <>
            <path class="far" fill="url(#haze)" d={ridge.clone()} />
            <path class="near" d={lines(&land.ground, px)} />
            <path class="hatched" fill="url(#hatch)" d={ridge} />
            <path class="skyline unsighted" d={lines(&land.unsighted, px)} />
            <path class="skyline" d={lines(&land.sighted, px)} />
        </>
    }
}

fn thirds(wide: &WideView) -> String {
    let mut path = SvgPath::default();
    for third in [1.0 / 3.0, 2.0 / 3.0] {
        for (from, to) in [((third, 0.0), (third, 1.0)), ((0.0, third), (1.0, third))] {
            path.move_to(wide.frame_px(from)).line_to(wide.frame_px(to));
        }
    }
    path.finish()
}

fn drift(map: Option<&DriftMap>, wide: &WideView) -> Html {
    let px = |place| wide.frame_px(place);
    map.map_or_else(Html::default, |map| {
        html! {
            <>
                { path("drift", pieces(&map.lines, px)) }
                { path("allowed", pieces(&map.allowed, px)) }
            </>
        }
    })
}

/// A veil over what lies beyond the frame, and the frame's edges where no words or keys lie over them.
fn outside_frame(wide: &WideView, covered: &[Rect]) -> Html {
    let Rect {
        x,
        y,
        width,
        height,
    } = wide.frame;
    if x < MARGIN_PX && y < MARGIN_PX {
        return Html::default();
    }
    let mut veil = SvgPath::default();
    let (right, foot) = (wide.size.width, wide.size.height);
    veil.polyline([(0.0, 0.0), (right, 0.0), (right, foot), (0.0, foot)]);
    veil.polyline([
        (x, y),
        (x + width, y),
        (x + width, y + height),
        (x, y + height),
    ]);
    let mut edges = SvgPath::default();
    if x >= MARGIN_PX {
        for x in [x, x + width] {
            let words = covered.iter().filter(|words| words.y < height / 2.0);
            let across = words.filter(|words| (words.x..words.x + words.width).contains(&x));
            let top = across.fold(y, |top, words| top.max(words.y + words.height));
            edges.move_to((x, top)).line_to((x, y + height));
        }
    }
    if y >= MARGIN_PX {
        edges.move_to((x, y)).line_to((x + width, y));
        edges
            .move_to((x, y + height))
            .line_to((x + width, y + height));
    }
    html! { <>{ path("veil", veil.finish()) }{ path("cut", edges.finish()) }</> }
}

/// The core where it stands, along the band.
fn sign(scene: &FramedScene, wide: &WideView, place: Place, reach_px: f64) -> Html {
    let (x, y) = wide.px(place);
    let along = scene.sky.ahead.map_or((0.0, 1.0), |ahead| {
        let there = wide.px(ahead);
        let (right, up) = (there.0 - x, y - there.1);
        let length = right.hypot(up).max(1e-9);
        (right / length, up / length)
    });
    core_sign((x, y), along, reach_px)
}

fn moon(moon: Option<MoonInFrame>, wide: &WideView, least_px: f64) -> Html {
    moon.map_or_else(Html::default, |moon| {
        let radius = (moon.radius * wide.size.width).max(least_px);
        let (down, right) = moon.lit_towards.sin_cos();
        moon_disc(wide.px(moon.place), radius, moon.lit, (right, -down))
    })
}

fn word(label: Label) -> Html {
    let Label { word, at, .. } = label;
    html! {
        <text x={fixed(at.0, 1)} y={fixed(at.1, 1)} text-anchor="middle" dominant-baseline="central">
            { word }
        </text>
    }
}
