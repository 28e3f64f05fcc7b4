//! The search along a bearing, cell by cell, for the highest apparent point.
//!
//! Between four points the ground is interpolated bilinearly, so along a line it is a parabola,
//! whose highest apparent point has a closed form: there is no step size. Whole blocks of cells,
//! and cells, are skipped where their highest point is below the highest found.

use crate::land::height_grid::{BLOCK, Cell, Grid};

/// Mean radius of the Earth, m.
const RADIUS_M: f64 = 6_371_000.0;

/// Start of the search, m: nearer, no tile resolves the ground.
const START_M: f64 = 1.0;

/// An eye above the Earth's surface.
#[derive(Debug, Clone, Copy)]
pub(super) struct RefractedEye {
    /// Height above the sea, m.
    height_m: f64,
    /// Effective Earth radius, on which refracted lines of sight are straight, m.
    radius_m: f64,
}

impl RefractedEye {
    /// An eye, with the refraction coefficient `bend`.
    pub fn new(height_m: f64, bend: f64) -> Self {
        Self {
            height_m,
            radius_m: RADIUS_M / (1.0 - bend),
        }
    }

    /// Steepness of a point above the eye's horizontal, rise over run: with θ = distance / R',
    /// ((R' + h) cos θ − (R' + eye)) / ((R' + h) sin θ).
    ///
    /// The sine and cosine are series, good to 1e-12 for θ of a few hundredths at most.
    fn steepness(&self, height_m: f64, distance_m: f64) -> f64 {
        let angle = distance_m / self.radius_m;
        let square = angle * angle;
        let less_cos = square / 2.0 * (1.0 - square / 12.0);
        let sin = angle * (1.0 - square / 6.0);
        let radius = self.radius_m + height_m;
        (height_m - self.height_m - radius * less_cos) / (radius * sin)
    }

    /// Upper bound of the steepness of points up to a height between two distances.
    ///
    /// The rise falls with the distance and the run grows, so the greatest rise is divided by the
    /// least run, or by the greatest where it is negative.
    fn steepest(&self, top_m: f64, near_m: f64, far_m: f64) -> f64 {
        let near = self.steepness(top_m, near_m.max(START_M));
        if near >= 0.0 {
            return near;
        }
        // the run is nearly the distance, and taken slightly too long
        near * near_m.max(START_M) / (far_m.max(START_M) * 1.000_01)
    }

    /// Height of the eye's horizontal plane at a distance, m, to about a millimetre.
    fn level(&self, distance_m: f64) -> f64 {
        self.height_m + distance_m * distance_m / (2.0 * self.radius_m)
    }

    /// The horizon of a plain at a height above the sea; `None` for an eye not above it.
    ///
    /// cos dip = (R' + h) / (R' + eye)
    pub fn horizon(&self, height_m: f64) -> Option<HighestPoint> {
        let radius = self.radius_m + height_m;
        let above = self.height_m - height_m;
        let run = (2.0 * radius + above) * above;
        (above > 0.0).then(|| {
            let slope = run.sqrt() / radius;
            HighestPoint {
                steepness: -slope,
                distance_m: self.radius_m * slope.atan(),
                height_m,
            }
        })
    }
}

/// The highest apparent point found along a bearing.
#[derive(Debug, Clone, Copy)]
pub(super) struct HighestPoint {
    /// Apparent rise over run.
    pub steepness: f64,
    /// Distance, m.
    pub distance_m: f64,
    /// Height above the sea, m.
    pub height_m: f64,
}

/// A point on the line: steps right and down from a grid's first point, and distance from the eye.
#[derive(Debug, Clone, Copy)]
pub(super) struct PathPoint {
    pub x: f64,
    pub y: f64,
    pub distance_m: f64,
}

impl PathPoint {
    fn towards(self, to: Self, part: f64) -> Self {
        Self {
            x: self.x + (to.x - self.x) * part,
            y: self.y + (to.y - self.y) * part,
            distance_m: self.distance_m + (to.distance_m - self.distance_m) * part,
        }
    }
}

/// Searches a straight segment, and updates `found`.
pub(super) fn scan_segment(
    grid: &Grid,
    eye: &RefractedEye,
    from: PathPoint,
    to: PathPoint,
    found: &mut Option<HighestPoint>,
) {
    let cells = (to.x - from.x).abs().max((to.y - from.y).abs());
    let parts = (cells / BLOCK as f64).ceil().max(1.0);
    let mut start = from;
    let mut part = 0.0;
    while part < parts {
        part += 1.0;
        let end = from.towards(to, part / parts);
        let top = grid.top_between((start.x, start.y), (end.x, end.y));
        let hopeful = match found {
            Some(found) => eye.steepest(top, start.distance_m, end.distance_m) > found.steepness,
            None => true,
        };
        if top > f64::NEG_INFINITY && hopeful {
            scan_cells(grid, eye, start, end, found);
        }
        start = end;
    }
}

/// The next grid line along one direction, as a fraction of the segment, and the fraction from line
/// to line.
fn lines(from: f64, to: f64) -> (f64, f64) {
    let run = to - from;
    if run == 0.0 {
        return (f64::INFINITY, f64::INFINITY);
    }
    let next = if run > 0.0 {
        from.floor() + 1.0
    } else {
        from.ceil() - 1.0
    };
    ((next - from) / run, 1.0 / run.abs())
}

/// Searches each cell of a short segment.
fn scan_cells(
    grid: &Grid,
    eye: &RefractedEye,
    from: PathPoint,
    to: PathPoint,
    found: &mut Option<HighestPoint>,
) {
    let (mut next_x, every_x) = lines(from.x, to.x);
    let (mut next_y, every_y) = lines(from.y, to.y);
    let mut enter = 0.0;
    if from.distance_m < START_M {
        enter = (START_M - from.distance_m) / (to.distance_m - from.distance_m);
    }
    while enter < 1.0 {
        while next_x <= enter {
            next_x += every_x;
        }
        while next_y <= enter {
            next_y += every_y;
        }
        let leave = next_x.min(next_y).min(1.0);
        let middle = from.towards(to, (enter + leave) / 2.0);
        if let Some(cell) = grid.cell_at(middle.x, middle.y) {
            let [enter, leave] = [enter, leave].map(|part| from.towards(to, part));
            scan_cell(&cell, eye, enter, leave, found);
        }
        enter = leave;
    }
}

/// Searches the line through one cell.
fn scan_cell(
    cell: &Cell,
    eye: &RefractedEye,
    enter: PathPoint,
    leave: PathPoint,
    found: &mut Option<HighestPoint>,
) {
    let [nw, ne, sw, se] = cell.corners;
    if let Some(found) = found {
        let top = nw.max(ne).max(sw).max(se);
        if eye.steepest(top, enter.distance_m, leave.distance_m) <= found.steepness {
            return;
        }
    }
    let at = |place: PathPoint| {
        let (u, v) = (place.x - cell.column as f64, place.y - cell.row as f64);
        cell.height(u, v)
    };
    let mut keep = |height_m: f64, distance_m: f64| {
        let steepness = eye.steepness(height_m, distance_m);
        if found.is_none_or(|found| steepness > found.steepness) {
            *found = Some(HighestPoint {
                steepness,
                distance_m,
                height_m,
            });
        }
    };
    let (first, last) = (at(enter), at(leave));
    keep(first, enter.distance_m);
    keep(last, leave.distance_m);
    // the height is first + b s + c s², for s from 0 to 1
    let twist = nw - ne - sw + se;
    let c = twist * (leave.x - enter.x) * (leave.y - enter.y);
    if c < 0.0 {
        let b = last - first - c - (eye.level(leave.distance_m) - eye.level(enter.distance_m));
        let rise = first - eye.level(enter.distance_m);
        let (way, run) = (enter.distance_m, leave.distance_m - enter.distance_m);
        // (rise + b s + c s²) / (way + run s) turns where c run s² + 2 c way s + b way − rise run =
        // 0
        let inner = way * way - run * (b * way - rise * run) / c;
        let s = (inner.max(0.0).sqrt() - way) / run;
        if s > 0.0 && s < 1.0 {
            let place = enter.towards(leave, s);
            keep(at(place), place.distance_m);
        }
    }
}
