//! The view through the lens: what the sensor will frame at the minute looked
//! at.

use yew::prelude::*;

use crate::camera::contours::Piece;
use crate::decimal::fixed;
use crate::light::visibility_limit::{limiting_magnitude, milky_way_threshold};
use crate::outing::exposure::Answer;
use crate::outing::framing::scene::land::Land;
use crate::outing::framing::scene::{MoonInFrame, Place, Scene};
use crate::outing::plan::Outing;
use crate::sky::almanac::SkyBody;
use crate::ui::screens::framing::draggable::{DragTarget, Draggable};
use crate::ui::state::derived::selected_night::{SelectedNight, days_of};
use crate::ui::text::framing;
use crate::ui::text::night as words;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::element::{Changing, el_with, text};
use crate::ui::widgets::svg_path::SvgPath;

/// Longer side of a level drawing, and the height of an upright one, in its own
/// units; text of 18 units is then at least 16 px on the narrowest phone.
const LONG_SIDE: f64 = 330.0;
const UPRIGHT_SIDE: f64 = 420.0;

/// Stars from this magnitude on are drawn as one kind, the bright ones larger.
const KINDS: [(f64, &str); 4] = [
    (1.2, "star first"),
    (2.3, "star second"),
    (3.5, "star third"),
    (9.0, "star"),
];

/// Time between the points of the core's path, days.
const PATH_STEP: f64 = 8.0 / 1440.0;

/// Radius at which the Moon is drawn at the least.
const MOON_LEAST: f64 = 7.0;

/// Words nearer than this across and in height run into one another.
const APART: (f64, f64) = (52.0, 22.0);

/// Middle of the heights written along the left edge.
const HEIGHTS: f64 = 28.0;

/// The drawing.
pub fn camera_view(
    outing: &Outing,
    answer: &Answer,
    shown: &SelectedNight,
    drift_laid: bool,
    dispatch: &Dispatch,
) -> Html {
    let night = shown.night.site_sky.night(shown.night.date);
    let scene = Scene::new(outing, &shown.night.site_sky, night);
    let shape = scene.shape();
    let size = if shape >= 1.0 {
        (LONG_SIDE, LONG_SIDE / shape)
    } else {
        (UPRIGHT_SIDE * shape, UPRIGHT_SIDE)
    };
    let at = days_of(shown.minute);
    let mut drawn = sky(&scene, shown, at, size);
    let land = scene.land(&outing.site.ridge);
    drawn.extend(ground(&land, size));
    if drift_laid {
        let shutter = answer.shutter().exact_s();
        let map = answer.view.drift_map(shutter, answer.allowed_px);
        drawn.push(line("drift", pieces(&map.lines, size)));
        drawn.push(line("allowed", pieces(&map.allowed, size)));
    }
    drawn.extend(core(&scene, shown, at, &land, size));
    drawn.extend(scales(&land, size));
    let view = &scene.view;
    let target = DragTarget {
        at: (shown.night.date, shown.minute),
        frame: outing.pointing().frame,
        across_deg: (view.sensor.width_mm / view.lens.focal_mm).to_degrees(),
    };
    html! {
        <Draggable
            class={if shape < 1.0 { "lens tall" } else { "lens" }}
            label={framing::view(outing, shown, &scene, at)}
            view_box={format!("0 0 {} {}", fixed(size.0, 0), fixed(size.1, 0))}
            {target}
            dispatch={dispatch.clone()}
        >
            { for drawn }
        </Draggable>
    }
}

fn line(class: &'static str, path: String) -> Html {
    let about = vec![("class", class.to_owned()), ("d", path)];
    el_with("path", &[], about, Vec::new())
}

fn scaled((x, y): Place, (width, height): (f64, f64)) -> (f64, f64) {
    (x * width, y * height)
}

fn pieces(pieces: &[Piece], size: (f64, f64)) -> String {
    let mut path = SvgPath::default();
    for (from, to) in pieces {
        path.move_to(scaled(*from, size)).line_to(scaled(*to, size));
    }
    path.finish()
}

fn lines(lines: &[Vec<Place>], size: (f64, f64)) -> String {
    let mut path = SvgPath::default();
    for line in lines {
        for (place, point) in line.iter().enumerate() {
            let point = scaled(*point, size);
            if place == 0 {
                path.move_to(point);
            } else {
                path.line_to(point);
            }
        }
    }
    path.finish()
}

/// The Milky Way's dots, the stars and the Moon, as far as the light in the sky
/// leaves them.
fn sky(scene: &Scene<'_>, shown: &SelectedNight, at: f64, size: (f64, f64)) -> Vec<Html> {
    let Some(light) = shown.reading.sky else {
        return moon(scene, at, size);
    };
    let dots = |places: &mut dyn Iterator<Item = Place>| {
        let mut path = SvgPath::default();
        for place in places {
            path.dot(scaled(place, size));
        }
        path.finish()
    };
    let glow = scene.dots(at, milky_way_threshold(light));
    let mut drawn = vec![line("glow", dots(&mut glow.iter().map(|dot| dot.0)))];
    let stars = scene.stars(at, limiting_magnitude(light));
    let mut brighter = -9.0;
    for (fainter, class) in KINDS {
        let kind = stars
            .iter()
            .filter(|star| star.1 >= brighter && star.1 < fainter);
        drawn.push(line(class, dots(&mut kind.map(|star| star.0))));
        brighter = fainter;
    }
    drawn.extend(moon(scene, at, size));
    drawn
}

/// The Moon with its phase, larger than it is where it would be a speck.
fn moon(scene: &Scene<'_>, at: f64, size: (f64, f64)) -> Vec<Html> {
    const POINTS: usize = 24;
    let Some(MoonInFrame {
        place,
        lit_towards,
        lit,
        radius,
    }) = scene.moon(at)
    else {
        return Vec::new();
    };
    let (x, y) = scaled(place, size);
    let radius = (radius * size.0).max(MOON_LEAST);
    let (sin, cos) = lit_towards.sin_cos();
    let put = |along: f64, across: f64| {
        (
            x + radius * (along * cos - across * sin),
            y + radius * (along * sin + across * cos),
        )
    };
    let mut path = SvgPath::default();
    // the lit limb from horn to horn, and the terminator back
    for step in 0..=2 * POINTS {
        let turn = std::f64::consts::PI * (step as f64 / POINTS as f64 - 0.5);
        let (across, along) = turn.sin_cos();
        let along = if step <= POINTS {
            along
        } else {
            along * (2.0 * lit - 1.0)
        };
        let point = put(along, across);
        if step == 0 {
            path.move_to(point);
        } else {
            path.line_to(point);
        }
    }
    let about = vec![
        ("cx", fixed(x, 1)),
        ("cy", fixed(y, 1)),
        ("r", fixed(radius, 1)),
    ];
    let disc = el_with("circle", &[("class", "disc")], about, Vec::new());
    let name = label((x, y + radius + 12.0), "Moon".to_owned(), "middle", size);
    vec![disc, line("lit", path.finish()), name]
}

/// Ground and ridge as silhouettes, and the ridge line.
fn ground(land: &Land, size: (f64, f64)) -> Vec<Html> {
    vec![
        line("far", lines(&land.ridge, size)),
        line("near", lines(&land.ground, size)),
        line("unsighted", lines(&land.unsighted, size)),
        line("sighted", lines(&land.sighted, size)),
    ]
}

/// The core, its way through the night with the hours, and where it clears the
/// ridge and goes behind.
fn core(
    scene: &Scene<'_>,
    shown: &SelectedNight,
    at: f64,
    land: &Land,
    size: (f64, f64),
) -> Vec<Html> {
    let span = crate::ui::screens::night::band::seen(shown);
    let mut path = SvgPath::default();
    let mut hidden = SvgPath::default();
    let mut last: Option<(Place, bool)> = None;
    let steps = ((span.end - span.start) / PATH_STEP).ceil().max(1.0);
    for step in 0..=steps as usize {
        let moment = span.start + (span.end - span.start) * step as f64 / steps;
        let Some(place) = scene.body(SkyBody::Core, moment) else {
            last = None;
            continue;
        };
        let clear = scene.core_is_clear(moment);
        if let Some((before, was_clear)) = last {
            let path = if clear && was_clear {
                &mut path
            } else {
                &mut hidden
            };
            path.move_to(scaled(before, size))
                .line_to(scaled(place, size));
        }
        last = Some((place, clear));
    }
    let mut drawn = vec![
        line("way hidden", hidden.finish()),
        line("way", path.finish()),
    ];
    let here = scene
        .body(SkyBody::Core, at)
        .map(|place| scaled(place, size));
    let heights = land
        .heights
        .iter()
        .map(|(down, _)| (HEIGHTS, down * size.1));
    // words stand above their place
    let mut taken: Vec<(f64, f64)> = heights.map(|(x, y)| (x, y + 14.0)).chain(here).collect();
    let crossings = shown.night.evening.core.crossings.iter();
    let marks = crossings.map(|crossing| (crossing.at, "edge"));
    let hours = crate::ui::screens::night::band::hours(shown, span).into_iter();
    let mut ticks = SvgPath::default();
    for (moment, kind) in marks.chain(hours.map(|hour| (hour, "hour"))) {
        let Some(place) = scene.body(SkyBody::Core, moment) else {
            continue;
        };
        let (x, y) = scaled(place, size);
        let clear =
            |other: &(f64, f64)| (other.0 - x).abs() > APART.0 || (other.1 - y).abs() > APART.1;
        let free = taken.iter().all(clear);
        let behind = kind == "hour" && !scene.core_is_clear(moment);
        if free && !behind && span.contains(moment) {
            taken.push((x, y));
            ticks.dot((x, y));
            let word = words::time(shown.local(moment));
            drawn.push(label((x, y - 14.0), word, "middle", size));
        }
    }
    drawn.push(line("tick", ticks.finish()));
    if let Some((x, y)) = here {
        let ring = vec![("cx", fixed(x, 1)), ("cy", fixed(y, 1))];
        let about = &[("class", "core"), ("r", "9")];
        drawn.push(el_with("circle", about, ring, Vec::new()));
        drawn.push(label((x, y + 22.0), "core".to_owned(), "middle", size));
    }
    drawn
}

/// Bearings along the lower edge, heights along the left.
fn scales(land: &Land, size: (f64, f64)) -> Vec<Html> {
    let mut ticks = SvgPath::default();
    let mut drawn = Vec::new();
    let degrees = |value: f64| fixed(value, usize::from(value.fract() != 0.0)) + "°";
    for (along, value) in &land.bearings {
        let x = along * size.0;
        ticks.move_to((x, size.1)).line_to((x, size.1 - 7.0));
        let word = degrees(value.rem_euclid(360.0));
        if x > 40.0 && x < size.0 - 20.0 {
            drawn.push(label((x, size.1 - 17.0), word, "middle", size));
        }
    }
    for (down, value) in &land.heights {
        let y = down * size.1;
        ticks.move_to((0.0, y)).line_to((7.0, y));
        if y > 12.0 && y < size.1 - 30.0 {
            drawn.push(label((10.0, y), degrees(*value), "start", size));
        }
    }
    drawn.push(line("tick", ticks.finish()));
    let inner = vec![
        ("width", fixed(size.0 - 2.0, 0)),
        ("height", fixed(size.1 - 2.0, 0)),
    ];
    let edge = &[("class", "edge"), ("x", "1"), ("y", "1")];
    drawn.push(el_with("rect", edge, inner, Vec::new()));
    drawn
}

/// A word, kept inside the drawing.
fn label((x, y): (f64, f64), word: String, anchor: &'static str, size: (f64, f64)) -> Html {
    let side = if anchor == "middle" { 26.0 } else { 0.0 };
    let x = x.max(side).min(size.0 - side);
    let y = y.max(12.0).min(size.1 - 12.0);
    let about: Vec<Changing> = vec![
        ("x", fixed(x, 0)),
        ("y", fixed(y, 0)),
        ("text-anchor", anchor.to_owned()),
    ];
    el_with(
        "text",
        &[("dominant-baseline", "central")],
        about,
        vec![text(word)],
    )
}
