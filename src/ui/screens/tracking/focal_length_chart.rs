//! Reach: the longest clean exposure against focal length, both by powers of
//! ten.
//!
//! Nothing rests on hue: the tripod's line is heavy, the tracker's double, the
//! rules' dotted. A band along the foot says up to where a tripod does; the lens
//! looked at stands as an upright line that a thumb can move.

use yew::prelude::*;

use crate::decimal::fixed;
use crate::outing::exposure::by_focal_length::{ExposureCurves, LONGEST_MM, Point, SHORTEST_MM};
use crate::ui::screens::tracking::focal_length_slider::draggable;
use crate::ui::state::derived::tracking_analysis::TargetExposure;
use crate::ui::text::tracking as words;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::element::{Changing, Fixed, el_with, text};
use crate::ui::widgets::svg_path::SvgPath;

/// Size of the drawing, in its own units, which are about a pixel each.
const SIZE: (f64, f64) = (330.0, 334.0);

/// Where the plot lies.
const LEFT: f64 = 56.0;
const RIGHT: f64 = 322.0;
const TOP: f64 = 26.0;
const FOOT: f64 = 272.0;

/// Height of the band along the foot.
const BAND: f64 = 28.0;

/// Shortest and longest time shown, s.
const TIMES_S: (f64, f64) = (0.05, 1000.0);

/// Times with a line and a number, s.
const ROUND_S: [(f64, &str); 4] = [
    (0.1, "0.1 s"),
    (1.0, "1 s"),
    (10.0, "10 s"),
    (100.0, "100 s"),
];

/// Focal lengths with a tick and a number, mm.
const ROUND_MM: [f64; 6] = [10.0, 20.0, 50.0, 100.0, 200.0, 500.0];

/// What the chart shows.
pub struct FocalLengthChart<'a> {
    /// The lines.
    pub reaches: &'a ExposureCurves,
    /// The lens in use, mm.
    pub own_mm: f64,
    /// The lens looked at, mm.
    pub tried_mm: f64,
    /// From where on a tripod is too little, mm: for the usual body, and for the best one
    /// that it could be.
    pub too_long_mm: [Option<f64>; 2],
    /// The targets, each with the lens that frames it.
    pub targets: &'a [TargetExposure],
    /// What a screen reader says of the lens looked at.
    pub message: String,
}

/// The chart.
pub fn focal_length_chart(chart: &FocalLengthChart<'_>, dispatch: &Dispatch) -> Html {
    let reaches = chart.reaches;
    let mut drawn = vec![path("grid", grid())];
    for (class, points) in [
        ("rule", &reaches.rule_500),
        ("rule", &reaches.rule_300),
        ("pitch", &reaches.pixel_pitch),
        ("half", &reaches.half_rate),
        ("tracked", &reaches.tracked),
        ("tracked in", &reaches.tracked),
        ("tripod", &reaches.tripod),
    ] {
        drawn.push(path(class, line(points)));
    }
    drawn.extend(foot(chart));
    for (seconds, word) in ROUND_S {
        drawn.push(label((LEFT - 6.0, y(seconds) + 5.0), word, "end", ""));
    }
    for focal_mm in ROUND_MM {
        let word = fixed(focal_mm, 0);
        drawn.push(label((x(focal_mm), SIZE.1 - 8.0), &word, "middle", ""));
    }
    drawn.extend(lenses(chart));
    // over the lens, which would strike them out
    drawn.extend(names(reaches));
    let ends = (LEFT / SIZE.0, RIGHT / SIZE.0);
    let message = chart.message.clone();
    draggable(chart.tried_mm, ends, SIZE, drawn, message, dispatch)
}

fn x(focal_mm: f64) -> f64 {
    let along = (focal_mm / SHORTEST_MM).ln() / (LONGEST_MM / SHORTEST_MM).ln();
    LEFT + along.clamp(0.0, 1.0) * (RIGHT - LEFT)
}

fn y(seconds: f64) -> f64 {
    let (least, most) = TIMES_S;
    let along = (seconds.clamp(least, most) / least).ln() / (most / least).ln();
    FOOT - along * (FOOT - TOP)
}

fn path(class: &'static str, d: String) -> Html {
    let about = vec![("class", class.to_owned()), ("d", d)];
    el_with("path", &[], about, Vec::new())
}

fn label((x, y): (f64, f64), word: &str, anchor: &'static str, class: &'static str) -> Html {
    let about: Vec<Changing> = vec![
        ("x", fixed(x, 1)),
        ("y", fixed(y, 1)),
        ("text-anchor", anchor.to_owned()),
        ("class", class.to_owned()),
    ];
    el_with("text", HIDDEN, about, vec![text(word.to_owned())])
}

/// The drawing says all of it in one sentence; its pieces would be read apart.
const HIDDEN: &[Fixed] = &[("aria-hidden", "true")];

fn grid() -> String {
    let mut path = SvgPath::default();
    for (seconds, _) in ROUND_S {
        path.move_to((LEFT, y(seconds)))
            .line_to((RIGHT, y(seconds)));
    }
    for focal_mm in ROUND_MM {
        path.move_to((x(focal_mm), FOOT + BAND))
            .line_to((x(focal_mm), FOOT + BAND + 6.0));
    }
    path.finish()
}

/// A line, cut where it leaves the plot.
fn line(points: &[Point]) -> String {
    let (least, most) = TIMES_S;
    let mut path = SvgPath::default();
    let mut drawing = false;
    for (focal_mm, seconds) in points {
        let place = (x(*focal_mm), y(*seconds));
        if drawing {
            path.line_to(place);
        }
        let inside = (least..=most).contains(seconds);
        if inside && !drawing {
            path.move_to(place);
        }
        drawing = inside;
    }
    path.finish()
}

/// The band along the foot: hollow where a tripod does, full where it is too
/// little; over it a tick for each target.
fn foot(chart: &FocalLengthChart<'_>) -> Vec<Html> {
    // where the body is not known, the stretch between is neither
    let [usual, best] = chart.too_long_mm.map(|mm| mm.map_or(RIGHT, x));
    let (does, fails) = (usual.min(best), usual.max(best));
    let rect = |class: &'static str, from: f64, to: f64| {
        let about = vec![
            ("class", class.to_owned()),
            ("x", fixed(from, 1)),
            ("y", fixed(FOOT, 1)),
            ("width", fixed((to - from).max(0.0), 1)),
            ("height", fixed(BAND, 0)),
        ];
        el_with("rect", &[], about, Vec::new())
    };
    let mut drawn = vec![rect("does", LEFT, does), rect("fails", fails, RIGHT)];
    let words_y = FOOT + BAND - 7.5;
    // a word needs its room
    if does - LEFT > 64.0 {
        drawn.push(label(
            ((LEFT + does) / 2.0, words_y),
            "tripod",
            "middle",
            "",
        ));
    }
    if RIGHT - fails > 64.0 {
        drawn.push(label(
            ((RIGHT + fails) / 2.0, words_y),
            "tracker",
            "middle",
            "full",
        ));
    }
    let mut ticks = SvgPath::default();
    for TargetExposure { compared, .. } in chart.targets {
        let focal_mm = compared.strategies.focal_mm;
        if (SHORTEST_MM..=LONGEST_MM).contains(&focal_mm) {
            ticks
                .move_to((x(focal_mm), FOOT))
                .line_to((x(focal_mm), FOOT - 9.0));
        }
    }
    drawn.push(path("target", ticks.finish()));
    drawn
}

/// The names of the lines, where they have room.
fn names(reaches: &ExposureCurves) -> Vec<Html> {
    let at = |points: &[Point], share: f64| {
        let place = share * (points.len().max(1) - 1) as f64;
        points.get(place as usize).copied()
    };
    [
        (&reaches.tracked, 0.7, 22.0, words::TRACKED),
        (&reaches.tripod, 0.6, 24.0, words::TRIPOD),
    ]
    .into_iter()
    .filter_map(|(points, share, off, word)| {
        let (focal_mm, seconds) = at(points, share)?;
        Some(label((x(focal_mm), y(seconds) + off), word, "end", "name"))
    })
    .collect()
}

/// The lens in use and the one looked at.
fn lenses(chart: &FocalLengthChart<'_>) -> Vec<Html> {
    let upright = |class: &'static str, focal_mm: f64| {
        let mut line = SvgPath::default();
        line.move_to((x(focal_mm), TOP))
            .line_to((x(focal_mm), FOOT + BAND));
        path(class, line.finish())
    };
    let beyond = match chart.tried_mm {
        long if long > LONGEST_MM => " ›",
        short if short < SHORTEST_MM => " ‹",
        _ => "",
    };
    let word = fixed(chart.tried_mm, 0) + " mm" + beyond;
    let place = x(chart.tried_mm);
    let (anchor, at) = match place {
        near if near < LEFT + 40.0 => ("start", LEFT),
        near if near > RIGHT - 40.0 => ("end", RIGHT),
        _ => ("middle", place),
    };
    vec![
        upright("own", chart.own_mm),
        upright("tried", chart.tried_mm),
        label((at, TOP - 8.0), &word, anchor, "name"),
    ]
}
