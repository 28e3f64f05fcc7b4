//! The loupe: a star pixel by pixel, as the sensor will see it.
//!
//! Each pixel is a square whose area is its light, so that the picture reads in
//! one colour alone.

use yew::prelude::*;

use crate::camera::point_spread::PointSpread;
use crate::camera::star_image::StarImage;
use crate::camera::view::SensorPoint;
use crate::outing::exposure::{Answer, ShutterTrails};
use crate::outing::plan::Outing;
use crate::ui::text::exposure;
use crate::ui::text::star_shape::looks;
use crate::ui::widgets::element::{Fixed, el, el_with, nothing, say, text};
use crate::ui::widgets::svg_path::SvgPath;

/// A line whose width does not grow with the drawing.
const THIN: Fixed = ("vector-effect", "non-scaling-stroke");

/// Light below this share of the brightest pixel is not drawn.
const FAINTEST: f64 = 0.004;

/// A star to be looked at.
struct Star {
    /// What the place is called.
    title: &'static str,
    point: SensorPoint,
    trail_px: Option<f64>,
    spread: PointSpread,
}

/// The star in the middle and in the worst place, at one scale.
pub fn loupes(outing: &Outing, answer: &Answer, trial: &ShutterTrails) -> Html {
    let view = &answer.view;
    let disc_um = outing.focus.disc_um(view.lens, view.sensor.diagonal_mm());
    let star = |title, point, trail_px| Star {
        title,
        point,
        trail_px,
        spread: view.point_spread_at(point, disc_um.unwrap_or(0.0)),
    };
    let middle = match answer.target_at {
        Some(point) => star(exposure::target_short(answer.target), point, trial.core_px),
        None => star("centre", SensorPoint::CENTRE, trial.centre_px),
    };
    let worst = answer.worst.as_ref();
    let worst = worst.map(|worst| star(exposure::worst(worst), worst.point, trial.worst_px));
    let stars = [Some(middle), worst];
    let side = |star: &Star| view.patch_side(star.trail_px.unwrap_or(0.0), star.spread);
    let side = stars.iter().flatten().map(side).max().unwrap_or_default();
    let seconds = trial.shutter.exact_s();
    let drawn = stars.iter().flatten().map(|star| {
        let picture = view.star_image(star.point, seconds, star.spread, side);
        loupe(star, picture, answer.allowed_px)
    });
    el("div", &[("class", "loupes")], drawn.collect())
}

fn loupe(star: &Star, picture: Option<StarImage>, allowed_px: f64) -> Html {
    let Some(picture) = picture else {
        return nothing();
    };
    let title = star.title;
    let length = exposure::trail_or_dash(star.trail_px);
    let looks = star.trail_px.map_or_else(String::new, |trail_px| {
        [" trail, ", &looks(star.spread.appearance(trail_px))].concat()
    });
    let side = picture.side as f64;
    let pixels = picture.side;
    let label =
        format!("a star, {title}: {length}{looks}, in a patch of {pixels} by {pixels} pixels");
    // the measure of what is allowed lies along the lower edge
    let (from, to) = ((side - allowed_px) / 2.0, (side + allowed_px) / 2.0);
    let foot = side * 0.95;
    let tick = side * 0.03;
    let (above, below) = (foot - tick, foot + tick);
    let mut measure = SvgPath::default();
    measure.move_to((from, above)).line_to((from, below));
    measure.move_to((from, foot)).line_to((to, foot));
    measure.move_to((to, above)).line_to((to, below));
    let mut drawn = vec![
        el_with(
            "path",
            &[("class", "mesh"), THIN],
            vec![("d", mesh(picture.side))],
            Vec::new(),
        ),
        el_with(
            "path",
            &[("class", "light")],
            vec![("d", squares(&picture))],
            Vec::new(),
        ),
    ];
    if allowed_px < side {
        let measure = vec![("d", measure.finish())];
        drawn.push(el_with(
            "path",
            &[("class", "measure"), THIN],
            measure,
            Vec::new(),
        ));
    }
    let about = vec![
        ("viewBox", format!("0 0 {pixels} {pixels}")),
        ("aria-label", label),
    ];
    let caption = vec![
        text([title, ": "].concat()),
        say("strong", &[], length),
        text(looks),
    ];
    el(
        "figure",
        &[("class", "loupe")],
        vec![
            el_with("svg", &[("role", "img")], about, drawn),
            el("figcaption", &[], caption),
        ],
    )
}

/// Lines between the pixels.
fn mesh(side: usize) -> String {
    let mut path = SvgPath::default();
    let end = side as f64;
    for line in (1..side).map(|line| line as f64) {
        path.move_to((line, 0.0)).line_to((line, end));
        path.move_to((0.0, line)).line_to((end, line));
    }
    path.finish()
}

/// A square for each lit pixel, its area the pixel's light.
fn squares(picture: &StarImage) -> String {
    let mut path = SvgPath::default();
    for (place, light) in picture.light.iter().enumerate() {
        if *light < FAINTEST {
            continue;
        }
        let (column, row) = (place % picture.side, place / picture.side);
        let size = light.sqrt();
        let inset = (1.0 - size) / 2.0;
        path.square((column as f64 + inset, row as f64 + inset), size);
    }
    path.finish()
}
