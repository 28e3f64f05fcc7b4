//! The sharp pool: the frame over its own sky, trails as short strokes, the line within which
//! they are as short as asked for, and hatching outside it.

use yew::prelude::*;

use crate::camera::contours::Piece;
use crate::camera::dial::Shutter;
use crate::camera::sharp_pool::Stroke;
use crate::decimal::{fixed, plain};
use crate::outing::exposure::{Answer, ShutterTrails};
use crate::outing::framing::scene::Place;
use crate::outing::plan::pointing::AimTarget;
use crate::ui::layout::Size;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::sky_images::Grain;
use crate::ui::text::exposure;
use crate::ui::text::units::{shutter as shutter_words, trail};
use crate::ui::widgets::bodies::core_sign;
use crate::ui::widgets::sky_canvas::SkyCanvas;
use crate::ui::widgets::svg_path::SvgPath;

/// Half length of the core's sign, px.
const CORE_PX: f64 = 19.0;

/// The picture, of this size, after a shutter time.
pub fn sharp_pool(
    state: &State,
    derived: &Derived,
    answer: &Answer,
    shutter: Shutter,
    size: Size,
) -> Html {
    let drawn = derived.sharp_pool(state, shutter, size);
    let image = derived.frame_sky(state, answer.view, size, Grain::Fine);
    let land = derived.land_in_frame(state);
    let (_, bodies) = derived.horizon(state);
    let sensor = answer.view.sensor;
    let subject_at = match answer.target {
        AimTarget::Subject(_) => answer.target_at,
        AimTarget::Equator => None,
    };
    let core = subject_at.map(|point| {
        let at = (
            (point.x_mm / sensor.width_mm + 0.5) * size.width,
            (0.5 - point.y_mm / sensor.height_mm) * size.height,
        );
        core_sign(at, bodies.along_band, CORE_PX)
    });
    let stroke_path = |beyond| {
        let kind = drawn.pool.strokes.iter();
        strokes(kind.filter(|it| it.beyond == beyond), drawn.factor, size)
    };
    let hatch = pieces(&drawn.pool.beyond, size);
    let label = label(answer, shutter);
    let Size { width, height } = size;
    html! {
        <div class="pool">
            <SkyCanvas {image} {size} theme={state.display.theme} />
            <svg
                class="drawing"
                role="img"
                aria-label={label}
                viewBox={size.view_box(0)}
                width={fixed(width, 0)}
                height={fixed(height, 0)}
            >
                <path class="hatch under" d={hatch.clone()} />
                <path class="hatch" d={hatch} />
                <path class="shore" d={pieces(&drawn.pool.shore, size)} />
                <path class="stroke" d={stroke_path(false)} />
                <path class="stroke beyond" d={stroke_path(true)} />
                <path class="land" d={areas(&land.ridge, size)} />
                <path class="land near" d={areas(&land.ground, size)} />
                <path class="skyline" d={areas(&land.sighted, size)} />
                <path class="skyline" d={areas(&land.unsighted, size)} />
                { core.unwrap_or_default() }
                <text x={fixed(width - 10.0, 0)} y={fixed(height - 11.0, 0)} text-anchor="end">
                    { ["trails × ", &plain(drawn.factor)].concat() }
                </text>
            </svg>
        </div>
    }
}

/// The picture for a screen reader.
fn label(answer: &Answer, shutter: Shutter) -> String {
    let left = ShutterTrails::new(answer, shutter);
    let mut label = format!(
        "the frame after {}: inside the line trails stay within {}. ",
        shutter_words(shutter),
        trail(answer.allowed_px)
    );
    label += &exposure::clean_time_summary(answer, &left);
    label
}

fn scaled((x, y): Place, Size { width, height }: Size) -> (f64, f64) {
    (x * width, y * height)
}

fn pieces(pieces: &[Piece], size: Size) -> String {
    let mut path = SvgPath::default();
    let mut last = None;
    for (from, to) in pieces {
        if last != Some(from) {
            path.move_to(scaled(*from, size));
        }
        path.line_to(scaled(*to, size));
        last = Some(to);
    }
    path.finish()
}

fn areas(areas: &[Vec<Place>], size: Size) -> String {
    let mut path = SvgPath::default();
    for area in areas {
        path.polyline(area.iter().map(|place| scaled(*place, size)));
    }
    path.finish()
}

/// Trails, so many times as long as they are.
fn strokes<'a>(strokes: impl Iterator<Item = &'a Stroke>, factor: f64, size: Size) -> String {
    let mut path = SvgPath::default();
    for stroke in strokes {
        let (x, y) = scaled(stroke.middle, size);
        let half = |along: f64| along * size.width * factor / 2.0;
        let (right, down) = (half(stroke.trail.0), half(stroke.trail.1));
        path.move_to((x - right, y - down))
            .line_to((x + right, y + down));
    }
    path.finish()
}
