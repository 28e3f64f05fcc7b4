//! Reach: the longest clean exposure against focal length, both by powers of ten.
//!
//! Two hills, the tripod's before the tracker's, with the 500 rule between them; the user's own
//! lenses are posts from one to the other. The lens looked at is a post in the hand's colour, which
//! a thumb moves.

use yew::prelude::*;

use crate::decimal::fixed;
use crate::outing::exposure::by_focal_length::{ExposureCurves, LONGEST_MM, Point, SHORTEST_MM};
use crate::outing::exposure::strategies::TRACKED_MOST_S;
use crate::ui::layout::Size;
use crate::ui::screens::tracking::focal_length_slider::focal_length_slider;
use crate::ui::text::tracking as words;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::svg_path::SvgPath;

/// Space at the left of the plot, where the times are written, at its right, over and under it, px.
const LEFT_PX: f64 = 54.0;
const RIGHT_PX: f64 = 14.0;
const TOP_PX: f64 = 12.0;
const FOOT_PX: f64 = 30.0;

/// Shortest and longest time shown, s.
const TIMES_S: (f64, f64) = (0.15, 240.0);

/// Times with a tick and a number, s.
const ROUND_S: [(f64, &str); 3] = [(1.0, "1 s"), (10.0, "10 s"), (100.0, "100 s")];

/// Focal lengths with a number where no lens of the user's own stands, mm.
const ROUND_MM: [f64; 5] = [10.0, 20.0, 50.0, 100.0, 300.0];

/// Words nearer than this run into one another, px.
const APART_PX: f64 = 38.0;

/// Names of lines stand at least so far from one another, and the width of a letter, px.
const NAMES_PX: f64 = 20.0;
const LETTER_PX: f64 = 8.0;

/// What the chart shows.
pub struct FocalLengthChart<'a> {
    /// The lines.
    pub reaches: &'a ExposureCurves,
    /// The user's own lenses, mm.
    pub own_mm: &'a [f64],
    /// The lens looked at, mm.
    pub tried_mm: f64,
    /// The lens looked at, for a screen reader.
    pub message: String,
    /// Size on the screen.
    pub size: Size,
}

/// The chart.
pub fn focal_length_chart(chart: &FocalLengthChart<'_>, dispatch: &Dispatch) -> Html {
    let FocalLengthChart {
        reaches,
        own_mm,
        tried_mm,
        size,
        ..
    } = *chart;
    let plot = Plot { size };
    // longer frames on a tracker are not taken
    let tracked: Vec<Point> = reaches.tracked.iter().map(|point| capped(*point)).collect();
    let tripod = &reaches.tripod;
    let path = |class: &'static str, d: String| html! { <path {class} {d} /> };
    let mut drawn = vec![
        path("hill far", plot.hill(&tracked)),
        path("hill near", plot.hill(tripod)),
        path("rule", plot.line(&reaches.rule_500)),
        path("tracked", plot.line(&tracked)),
        path("tripod", plot.line(tripod)),
        path("ticks", plot.ticks()),
    ];
    drawn.extend(ROUND_S.map(|(seconds, word)| {
        plot.label(
            (LEFT_PX - 8.0, plot.y(seconds) + 5.0),
            word,
            "end",
            "caption",
        )
    }));
    let others = own_mm.iter().copied().filter(|mm| *mm != tried_mm);
    drawn.extend(
        others
            .clone()
            .map(|mm| plot.post(mm, (tripod, &tracked), "post")),
    );
    drawn.push(plot.post(tried_mm, (tripod, &tracked), "post tried"));
    drawn.extend(plot.focal_lengths(others, tried_mm));
    drawn.extend(plot.names([
        (words::TRACKED, &tracked, -9.0),
        ("500 rule", &reaches.rule_500, -7.0),
        (words::TRIPOD, tripod, 20.0),
    ]));
    let ends = (LEFT_PX / size.width, 1.0 - RIGHT_PX / size.width);
    let size = (size.width, size.height);
    focal_length_slider(tried_mm, ends, size, drawn, chart.message.clone(), dispatch)
}

fn capped((focal_mm, seconds): Point) -> Point {
    (focal_mm, seconds.min(TRACKED_MOST_S))
}

/// The time of a line at a focal length, s, between its points by equal factors.
fn at(points: &[Point], focal_mm: f64) -> f64 {
    let next = points.iter().position(|point| point.0 >= focal_mm);
    let next = next.unwrap_or(points.len().saturating_sub(1));
    let (Some(after), Some(before)) = (points.get(next), points.get(next.saturating_sub(1))) else {
        return 0.0;
    };
    let share = (focal_mm / before.0).ln() / (after.0 / before.0).ln();
    if share.is_finite() {
        let (from, to) = (clamped(before.1).ln(), clamped(after.1).ln());
        (from + share.clamp(0.0, 1.0) * (to - from)).exp()
    } else {
        clamped(after.1)
    }
}

/// A time within the plot; none is infinite.
fn clamped(seconds: f64) -> f64 {
    seconds.max(TIMES_S.0).min(TIMES_S.1)
}

/// Where things stand in the plot.
struct Plot {
    size: Size,
}

impl Plot {
    fn foot(&self) -> f64 {
        self.size.height - FOOT_PX
    }

    fn right(&self) -> f64 {
        self.size.width - RIGHT_PX
    }

    fn x(&self, focal_mm: f64) -> f64 {
        let along = (focal_mm / SHORTEST_MM).ln() / (LONGEST_MM / SHORTEST_MM).ln();
        LEFT_PX + along.clamp(0.0, 1.0) * (self.right() - LEFT_PX)
    }

    fn y(&self, seconds: f64) -> f64 {
        let along = (clamped(seconds) / TIMES_S.0).ln() / (TIMES_S.1 / TIMES_S.0).ln();
        self.foot() - along * (self.foot() - TOP_PX)
    }

    fn place(&self, (focal_mm, seconds): Point) -> (f64, f64) {
        (self.x(focal_mm), self.y(seconds))
    }

    fn line(&self, points: &[Point]) -> String {
        let mut path = SvgPath::default();
        path.polyline(points.iter().map(|point| self.place(*point)));
        path.finish()
    }

    /// What lies under a line.
    fn hill(&self, points: &[Point]) -> String {
        let mut path = SvgPath::default();
        path.polyline(points.iter().map(|point| self.place(*point)));
        path.line_to((self.right(), self.foot()))
            .line_to((LEFT_PX, self.foot()));
        path.finish()
    }

    fn ticks(&self) -> String {
        let mut path = SvgPath::default();
        for (seconds, _) in ROUND_S {
            let y = self.y(seconds);
            path.move_to((LEFT_PX, y)).line_to((LEFT_PX + 8.0, y));
        }
        path.finish()
    }

    /// A lens: a post from the tripod's line to the tracker's.
    fn post(
        &self,
        focal_mm: f64,
        (tripod, tracked): (&[Point], &[Point]),
        class: &'static str,
    ) -> Html {
        let [low, high] = [tripod, tracked].map(|line| self.place((focal_mm, at(line, focal_mm))));
        let mut post = SvgPath::default();
        post.move_to(low).line_to(high);
        let dot = |class: &'static str, (x, y): (f64, f64)| {
            html! { <circle {class} cx={fixed(x, 1)} cy={fixed(y, 1)} r="6" /> }
        };
        html! {
            <g {class}>
                <path d={post.finish()} />
                { dot("full", low) }
                { dot("hollow", high) }
            </g>
        }
    }

    fn label(
        &self,
        (x, y): (f64, f64),
        word: &str,
        anchor: &'static str,
        class: &'static str,
    ) -> Html {
        // the drawing's value text holds all of it in one sentence
        html! {
            <text
                {class}
                aria-hidden="true"
                x={fixed(x, 1)}
                y={fixed(y, 1)}
                text-anchor={anchor}
            >
                { word.to_owned() }
            </text>
        }
    }

    /// Focal lengths along the foot: the lens looked at, the user's own, round ones; none over
    /// another.
    fn focal_lengths(&self, own: impl Iterator<Item = f64>, tried_mm: f64) -> Vec<Html> {
        let y = self.size.height - 9.0;
        let mut taken = vec![self.right()];
        let mut drawn = vec![self.label((self.right(), y), "mm", "end", "caption")];
        let all = std::iter::once(tried_mm).chain(own).chain(ROUND_MM);
        for (number, focal_mm) in all.enumerate() {
            let x = self.x(focal_mm);
            let x = x.max(LEFT_PX + 10.0).min(self.right() - 16.0);
            let free = taken.iter().all(|other| (other - x).abs() >= APART_PX);
            if number == 0 || free {
                taken.push(x);
                let class = if number == 0 { "name" } else { "caption" };
                drawn.push(self.label((x, y), &fixed(focal_mm, 0), "middle", class));
            }
        }
        drawn
    }

    /// Names at the ends of lines, from the highest down, so far from their lines. The lines fall,
    /// so a name stands over its line's place where the name begins, or under its end.
    fn names(&self, lines: [(&'static str, &[Point], f64); 3]) -> Vec<Html> {
        let mut above = 0.0;
        let name = |(word, line, off): (&'static str, &[Point], f64)| {
            let long_px = if off < 0.0 {
                word.len() as f64 * LETTER_PX
            } else {
                0.0
            };
            let along = 1.0 - long_px / (self.right() - LEFT_PX);
            let focal_mm = SHORTEST_MM * (along * (LONGEST_MM / SHORTEST_MM).ln()).exp();
            let y = (self.y(at(line, focal_mm)) + off)
                .max(above + NAMES_PX)
                .min(self.foot() - 4.0);
            above = y;
            self.label((self.right(), y), word, "end", "name")
        };
        lines.into_iter().map(name).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: between 10 mm and 40 mm, where the time falls from 16 s to 4 s, it is 8 s at 20 mm
    /// (both are geometric means). Beyond the ends it stays, and infinity becomes the plot's top.
    #[test]
    fn lines_are_read_by_equal_factors() {
        let line = [(10.0, 16.0), (40.0, 4.0)];
        assert!((at(&line, 20.0) - 8.0).abs() < 1e-9);
        assert!((at(&line, 10.0) - 16.0).abs() < 1e-9);
        assert!((at(&line, 600.0) - 4.0).abs() < 1e-9);
        let no_limit = [(10.0, f64::INFINITY), (40.0, f64::INFINITY)];
        assert!((at(&no_limit, 20.0) - TIMES_S.1).abs() < 1e-9);
        assert!(at(&[], 20.0).is_finite());
    }
}
