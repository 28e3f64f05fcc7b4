//! The drift map: the frame with the length of trails drawn over it.

use std::fmt::Write;

use yew::prelude::*;

use crate::camera::contours::Piece;
use crate::camera::drift_map::{DriftMap, DriftReading, Mark};
use crate::decimal::fixed;
use crate::outing::exposure::{Answer, ShutterTrails};
use crate::ui::text::exposure;
use crate::ui::widgets::element::{Fixed, el_with, nothing, text};
use crate::ui::widgets::svg_path::SvgPath;

/// Longer side of the drawing, in its own units; text of 18 units is then at
/// least 16 px on the narrowest phone.
const LONG_SIDE: f64 = 330.0;

/// An upright frame is drawn this much shorter, so that it fits the screen.
const UPRIGHT_SIDE: f64 = 360.0;

/// Distance of the outer numbers from the edges.
const INSET: (f64, f64) = (34.0, 22.0);

/// The drift map for the shutter tried.
pub fn map(answer: &Answer, trial: &ShutterTrails) -> Html {
    let map = answer
        .view
        .drift_map(trial.shutter.exact_s(), answer.allowed_px);
    let (width, height) = if map.shape >= 1.0 {
        (LONG_SIDE, LONG_SIDE / map.shape)
    } else {
        (UPRIGHT_SIDE * map.shape, UPRIGHT_SIDE)
    };
    let size = (width, height);
    let line = |class: &'static [Fixed], pieces: &[Piece]| {
        el_with("path", class, vec![("d", path(pieces, size))], Vec::new())
    };
    let mut drawn = vec![
        line(&[("class", "beyond")], &map.beyond),
        line(&[("class", "contour")], &map.lines),
        line(&[("class", "allowed")], &map.allowed),
        line(&[("class", "horizon")], &map.horizon),
    ];
    drawn.extend(
        map.marks
            .iter()
            .map(|mark| number(mark, size, answer.allowed_px)),
    );
    let inner = vec![
        ("width", fixed(width - 2.0, 0)),
        ("height", fixed(height - 2.0, 0)),
    ];
    let edge = &[("class", "edge"), ("x", "1"), ("y", "1")];
    drawn.push(el_with("rect", edge, inner, Vec::new()));
    let about = vec![
        (
            "viewBox",
            format!("0 0 {} {}", fixed(width, 0), fixed(height, 0)),
        ),
        ("aria-label", spoken(&map, trial)),
    ];
    let class: &'static [Fixed] = if map.shape < 1.0 {
        &[("class", "map tall"), ("role", "img")]
    } else {
        &[("class", "map"), ("role", "img")]
    };
    el_with("svg", class, about, drawn)
}

fn path(pieces: &[Piece], (width, height): (f64, f64)) -> String {
    let mut path = SvgPath::default();
    let mut last = None;
    for (from, to) in pieces {
        if last != Some(from) {
            path.move_to((from.0 * width, from.1 * height));
        }
        path.line_to((to.0 * width, to.1 * height));
        last = Some(to);
    }
    path.finish()
}

fn number(mark: &Mark, (width, height): (f64, f64), allowed_px: f64) -> Html {
    let place = |side: i8, length: f64, inset: f64| match side {
        -1 => inset,
        0 => length / 2.0,
        _ => length - inset,
    };
    let x = place(mark.column, width, INSET.0);
    let y = place(-mark.row, height, INSET.1);
    // one word for the ground is enough
    if mark.reading == DriftReading::Ground && mark.column != 0 {
        return nothing();
    }
    let (word, class) = match mark.reading {
        DriftReading::Trail(pixels) => {
            let over = pixels > allowed_px;
            let class = if over { "number over" } else { "number" };
            (exposure::bare_trail(Some(pixels)), class)
        }
        DriftReading::Ground => ("ground".to_owned(), "number ground"),
        DriftReading::Nothing => return nothing(),
    };
    let about = vec![
        ("class", class.to_owned()),
        ("x", fixed(x, 0)),
        ("y", fixed(y, 0)),
    ];
    let middle = &[("text-anchor", "middle"), ("dominant-baseline", "central")];
    el_with("text", middle, about, vec![text(word)])
}

/// The map for a screen reader.
fn spoken(map: &DriftMap, trial: &ShutterTrails) -> String {
    const ROWS: [&str; 3] = ["bottom", "middle", "top"];
    const COLUMNS: [&str; 3] = ["left", "centre", "right"];
    let mut text = format!("trails after {}: ", exposure::shutter(trial.shutter));
    for mark in &map.marks {
        let row = ROWS[(mark.row + 1) as usize % 3];
        let column = COLUMNS[(mark.column + 1) as usize % 3];
        let reading = match mark.reading {
            DriftReading::Trail(pixels) => exposure::trail(pixels),
            DriftReading::Ground => "ground".to_owned(),
            DriftReading::Nothing => "no picture".to_owned(),
        };
        let _ = write!(text, "{row} {column} {reading}; ");
    }
    text
}
