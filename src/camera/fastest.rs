//! The place in the frame where stars drift fastest.
//!
//! The fastest star may be in a corner, on an edge, inside the frame, on the horizon, or on the
//! edge of a fisheye's field. The interior is searched by a grid and then a pattern search; each of
//! the lines that bound the sky in the frame by a golden-section search.

use crate::angle::Angle;
use crate::camera::drift::Drift;
use crate::camera::lens::FIELD_LIMIT;
use crate::camera::view::{SensorPoint, View};

/// Which part of the frame is searched.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Search {
    /// All of it, ground included.
    WholeFrame,
    /// Only above the flat horizon.
    AboveHorizon,
}

/// A point in the frame and the speed of the star there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fastest {
    /// The point.
    pub point: SensorPoint,
    /// Speed, µm/s.
    pub speed_um_s: f64,
}

/// Points of the grid along the width and the height.
const GRID: (u32, u32) = (24, 16);

/// Samples along each bounding line.
const LINE_SAMPLES: u32 = 48;

/// Moves and halvings of the pattern together. A move is rarely needed more than twice, so the
/// point is good to about 1e-6 of the grid's spacing.
const PATTERN_STEPS: u32 = 30;

/// Golden-section steps along a line: 0.618³² is 2e-7 of the spacing.
const SECTIONS: u32 = 32;

/// (√5 − 1)/2.
const GOLDEN: f64 = 0.618_033_988_749_894_9;

/// Tolerance of the bounds, relative.
const ON_THE_LINE: f64 = 1e-12;

/// Speed at a point, where it is searched. A trait object, so that the search is compiled once.
type Speed<'a> = &'a dyn Fn(SensorPoint) -> Option<f64>;

impl View {
    /// The fastest star in the frame. `None` when no part of the frame is searched, as when the
    /// camera points at the ground.
    ///
    /// Within 0.1 % of a 361 × 241 grid for 30 cameras
    /// (`tests/drift_cases.rs`).
    ///
    /// ```text
    /// 45° N, due south, 20° up, 24 mm on 36 × 24 mm  →  2.8484 µm/s, upper corners
    /// ```
    pub fn fastest(&self, search: Search) -> Option<Fastest> {
        let speed = |point| self.speed_where_seen(point, search);
        // first, so that it is kept where no point is faster
        let mut best = measured(&speed, SensorPoint::CENTRE);
        for sample in [
            self.fastest_inside(&speed),
            self.fastest_on_edges(&speed),
            self.fastest_on_horizon(&speed, search),
            self.fastest_at_field_limit(&speed),
        ] {
            keep_faster(&mut best, sample);
        }
        best
    }

    /// The smallest |declination| anywhere in the frame, ground included: zero
    /// when the celestial equator crosses it.
    ///
    /// Found on the outline, the frame's edges or a fisheye's image circle, 80 points to each side:
    /// |δ| has no minimum inside other than zero.
    pub fn smallest_declination(&self) -> Angle {
        let (width, height) = (self.sensor.width_mm, self.sensor.height_mm);
        let mut lowest = f64::INFINITY;
        let mut highest = f64::NEG_INFINITY;
        let reach = self.field_radius_mm().unwrap_or(f64::INFINITY);
        let steps = 80;
        for step in 0..=steps {
            let share = f64::from(step) / f64::from(steps) - 0.5;
            for (x, y) in [(share, -0.5), (share, 0.5), (-0.5, share), (0.5, share)] {
                let edge = SensorPoint {
                    x_mm: x * width,
                    y_mm: y * height,
                };
                let inwards = (reach / edge.from_centre_mm()).min(1.0);
                let point = SensorPoint {
                    x_mm: edge.x_mm * inwards,
                    y_mm: edge.y_mm * inwards,
                };
                if let Some(dec) = self.declination_at(point) {
                    lowest = lowest.min(dec.radians());
                    highest = highest.max(dec.radians());
                }
            }
        }
        let centre = self.declination_at(SensorPoint::CENTRE);
        let centre = centre.map_or(0.0, Angle::radians);
        let (lowest, highest) = (lowest.min(centre), highest.max(centre));
        if lowest <= 0.0 && highest >= 0.0 {
            return Angle::ZERO;
        }
        Angle::from_radians(lowest.abs().min(highest.abs()))
    }

    /// Speed at a point if it is in the frame, in the lens's field and in the searched part.
    fn speed_where_seen(&self, point: SensorPoint, search: Search) -> Option<f64> {
        let inside = |at: f64, size: f64| at.abs() <= size / 2.0 * (1.0 + ON_THE_LINE);
        if !inside(point.x_mm, self.sensor.width_mm) || !inside(point.y_mm, self.sensor.height_mm) {
            return None;
        }
        let seen = self.direction_in_field(point)?;
        if search == Search::AboveHorizon && !self.is_above_horizon(seen) {
            return None;
        }
        self.drift_of(seen).map(Drift::speed_um_s)
    }

    fn fastest_inside(&self, speed: Speed<'_>) -> Option<Fastest> {
        // a fisheye's image circle can be far smaller than the sensor
        let across = 2.0 * self.field_radius_mm().unwrap_or(f64::INFINITY);
        let width = self.sensor.width_mm.min(across);
        let height = self.sensor.height_mm.min(across);
        let (mut step_x, mut step_y) = (width / f64::from(GRID.0), height / f64::from(GRID.1));
        let mut best = None;
        for column in 0..=GRID.0 {
            for row in 0..=GRID.1 {
                let point = SensorPoint {
                    x_mm: f64::from(column) * step_x - width / 2.0,
                    y_mm: f64::from(row) * step_y - height / 2.0,
                };
                keep_faster(&mut best, measured(speed, point));
            }
        }
        for _ in 0..PATTERN_STEPS {
            let from = best?.point;
            for (right, up) in [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)] {
                let point = SensorPoint {
                    x_mm: from.x_mm + right * step_x,
                    y_mm: from.y_mm + up * step_y,
                };
                keep_faster(&mut best, measured(speed, point));
            }
            if best?.point == from {
                step_x /= 2.0;
                step_y /= 2.0;
            }
        }
        best
    }

    fn fastest_on_edges(&self, speed: Speed<'_>) -> Option<Fastest> {
        let (right, top) = (self.sensor.width_mm / 2.0, self.sensor.height_mm / 2.0);
        let mut best = None;
        for side in [-1.0, 1.0] {
            let along_width = |at: f64| {
                Some(SensorPoint {
                    x_mm: at * right,
                    y_mm: side * top,
                })
            };
            let along_height = |at: f64| {
                Some(SensorPoint {
                    x_mm: side * right,
                    y_mm: at * top,
                })
            };
            keep_faster(&mut best, fastest_along(speed, &along_width, (-1.0, 1.0)));
            keep_faster(&mut best, fastest_along(speed, &along_height, (-1.0, 1.0)));
        }
        best
    }

    fn fastest_on_horizon(&self, speed: Speed<'_>, search: Search) -> Option<Fastest> {
        if search == Search::WholeFrame {
            return None;
        }
        let reach = self.horizon_reach()?;
        let line = |turn: f64| self.image_of(self.along_horizon(turn));
        fastest_along(speed, &line, (-reach, reach))
    }

    fn fastest_at_field_limit(&self, speed: Speed<'_>) -> Option<Fastest> {
        let radius = self.field_radius_mm()?;
        let line = |turn: f64| {
            Some(SensorPoint {
                x_mm: radius * turn.cos(),
                y_mm: radius * turn.sin(),
            })
        };
        fastest_along(speed, &line, (0.0, std::f64::consts::TAU))
    }

    /// Radius of the image circle, mm; `None` for a lens without one, or where distortion folds
    /// before it, which is then outside the frame.
    fn field_radius_mm(&self) -> Option<f64> {
        let radius = self.lens.projection.radius(FIELD_LIMIT.radians())?;
        let edge = SensorPoint {
            x_mm: radius * self.lens.focal_mm,
            y_mm: 0.0,
        };
        Some(self.distorted(edge)?.x_mm)
    }
}

/// The fastest star along a line: evenly spaced samples, then a golden-section search about each
/// that is no slower than its neighbours. A line that leaves the sky is searched up to where it
/// leaves.
fn fastest_along(
    speed: Speed<'_>,
    line: &dyn Fn(f64) -> Option<SensorPoint>,
    (start, end): (f64, f64),
) -> Option<Fastest> {
    let at = |place: f64| line(place).and_then(|point| measured(speed, point));
    let value = |place: f64| at(place).map_or(NOTHING, |found| found.speed_um_s);
    let step = (end - start) / f64::from(LINE_SAMPLES);
    let places = (0..=LINE_SAMPLES).map(|sample| start + step * f64::from(sample));
    let mut speeds = vec![NOTHING];
    speeds.extend(places.clone().map(value));
    speeds.push(NOTHING);
    let mut best = None;
    for (middle, near) in places.zip(speeds.windows(3)) {
        let (before, here, after) = (near[0], near[1], near[2]);
        if here == NOTHING || here < before || here < after {
            continue;
        }
        let reach = ((middle - step).max(start), (middle + step).min(end));
        let (low, high) = golden_section(value, reach);
        for place in [middle, low, high] {
            keep_faster(&mut best, at(place));
        }
    }
    best
}

/// The speed where there is no star.
const NOTHING: f64 = f64::NEG_INFINITY;

/// The maximum between two ends.
fn golden_section(value: impl Fn(f64) -> f64, (mut low, mut high): (f64, f64)) -> (f64, f64) {
    for _ in 0..SECTIONS {
        let (left, right) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
        let (at_left, at_right) = (value(left), value(right));
        if at_left == NOTHING && at_right == NOTHING {
            (low, high) = (left, right);
        } else if at_left > at_right {
            high = right;
        } else {
            low = left;
        }
    }
    (low, high)
}

fn measured(speed: Speed<'_>, point: SensorPoint) -> Option<Fastest> {
    speed(point).map(|speed_um_s| Fastest { point, speed_um_s })
}

/// Replaces `best` only where `found` is faster by more than rounding, so that of equal corners the
/// first is kept.
fn keep_faster(best: &mut Option<Fastest>, found: Option<Fastest>) {
    if let Some(found) = found
        && best.is_none_or(|current| found.speed_um_s > current.speed_um_s * (1.0 + ON_THE_LINE))
    {
        *best = Some(found);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::frame::Frame;
    use crate::camera::lens::{Lens, Projection};
    use crate::camera::sensor::FORMATS;

    /// A level full-frame camera at 36° N, pointed due south.
    fn view(projection: Projection, focal_mm: f64, tilt: f64) -> View {
        let lens = Lens {
            focal_mm,
            f_number: 2.8,
            projection,
            ..Lens::default()
        };
        let frame = Frame {
            bearing: Angle::from_degrees(180.0),
            tilt: Angle::from_degrees(tilt),
            roll: Angle::ZERO,
        };
        let latitude = Angle::from_degrees(36.0);
        View::new(FORMATS[1].sensor(24.0), lens, frame, latitude)
    }

    /// Due south the centre is at δ₀ = φ + tilt − 90°; in a rectilinear picture sin δ = (f sin δ₀ +
    /// y cos δ₀)/√(f² + x² + y²), so that a corner is nearest to the equator. Computed by hand from
    /// that.
    #[test]
    fn the_smallest_declination_is_that_of_the_nearest_corner() {
        let table = [
            // projection, f mm, tilt °, smallest |δ| °
            (Projection::Rectilinear, 20.0, 25.0, 0.0),
            (Projection::Rectilinear, 50.0, 25.0, 14.613_551),
            (Projection::Rectilinear, 50.0, 80.0, 11.791_637),
            // round pictures that reach 90° from the middle
            (Projection::Equisolid, 8.0, 25.0, 0.0),
            (Projection::Equisolid, 3.0, 25.0, 0.0),
        ];
        for (projection, focal_mm, tilt, want) in table {
            let view = view(projection, focal_mm, tilt);
            let got = view.smallest_declination().degrees();
            assert!(
                (got - want).abs() < 1e-5,
                "{projection:?} {focal_mm} mm: {got}, want {want}"
            );
        }
    }

    /// A fisheye's image circle of 4 mm on a sensor of 36 mm: the fastest star is inside it and is
    /// found.
    #[test]
    fn a_tiny_round_picture_is_searched_as_well() {
        let view = view(Projection::Equisolid, 1.5, 54.0);
        let found = view.fastest(Search::AboveHorizon).expect("sky");
        let fastest = crate::camera::drift::centre_speed_um_s(1.5, Angle::ZERO);
        assert!(
            (found.speed_um_s / fastest - 1.0).abs() < 1e-9,
            "{found:?}, want {fastest} µm/s"
        );
    }

    /// An equidistant lens shows the whole equator at one speed.
    #[test]
    fn where_no_place_is_faster_the_middle_stands() {
        let view = view(Projection::Equidistant, 300.0, 54.0);
        let found = view.fastest(Search::AboveHorizon).expect("sky");
        assert_eq!(found.point, SensorPoint::CENTRE);
    }

    #[test]
    fn ground_alone_has_no_stars() {
        let view = view(Projection::Rectilinear, 50.0, -60.0);
        assert_eq!(view.fastest(Search::AboveHorizon), None);
        assert!(view.fastest(Search::WholeFrame).is_some());
    }
}
