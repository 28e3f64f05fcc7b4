//! The land in the frame: ground, ridge line, and scales along the edges.
//!
//! The frame is sampled column by column, so that any tilt and any projection is drawn correctly.

use crate::angle::Angle;
use crate::camera::view::SensorPoint;
use crate::land::ridge::RidgeLine;
use crate::outing::framing::scene::{Place, Scene};
use crate::vector::Vector;

/// How closely the land is followed in the frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LandDetail {
    /// For a picture at rest.
    Fine,
    /// For small pictures, and while something changes.
    Coarse,
}

impl LandDetail {
    /// Columns in which it is sampled, less one.
    const fn columns(self) -> usize {
        match self {
            Self::Fine => 110,
            Self::Coarse => 36,
        }
    }

    /// Samples in a column at which land is distinguished from sky, less one.
    const fn rows(self) -> usize {
        match self {
            Self::Fine => 24,
            Self::Coarse => 12,
        }
    }
}

/// Bisections of an edge between two samples of a column, before a straight line between the last
/// two: within 1/2000 of the height also where the ridge line has a corner.
const HALVINGS: usize = 4;

/// The same at the edge of the lens's image, beyond which there is nothing to draw a line to.
const HALVINGS_AT_RIM: usize = 9;

/// Most numbers along an edge.
const MOST_NUMBERS: f64 = 5.0;

/// Degrees between numbers.
const STEPS: [f64; 9] = [0.5, 1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 45.0, 90.0];

/// The land, in fractions of the frame.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Land {
    /// Areas below the ridge line.
    pub ridge: Vec<Vec<Place>>,
    /// Areas below both the flat horizon and the ridge line.
    pub ground: Vec<Vec<Place>>,
    /// The ridge line where it was sighted.
    pub sighted: Vec<Vec<Place>>,
    /// The line where nothing was sighted.
    pub unsighted: Vec<Vec<Place>>,
    /// Bearings along the lower edge: position from the left, and degrees.
    pub bearings: Vec<(f64, f64)>,
    /// Altitudes along the left edge: position from the top, and degrees.
    pub heights: Vec<(f64, f64)>,
}

/// Direction of a line of sight in east, north, up; `None` where the lens has no image.
type Sight = Option<Vector>;

/// A step's share of all.
fn share(step: usize, steps: usize) -> f64 {
    step as f64 / steps as f64
}

/// Altitude of a direction, degrees.
fn altitude_deg(sight: Vector) -> f64 {
    let level = (sight.x * sight.x + sight.y * sight.y).sqrt();
    sight.z.atan2(level).to_degrees()
}

/// True bearing of a direction.
fn bearing(sight: Vector) -> Angle {
    Angle::from_degrees(sight.x.atan2(sight.y).to_degrees().rem_euclid(360.0))
}

/// What counts as land: all below the ridge line, or only what is below the flat horizon too.
struct Cover<'a> {
    ridge: &'a RidgeLine,
    ground_only: bool,
    /// Sines of altitudes below and above which all is land and sky, whatever the bearing: for most
    /// sights no angle is computed.
    all_land: f64,
    all_sky: f64,
}

impl<'a> Cover<'a> {
    fn new(ridge: &'a RidgeLine, ground_only: bool) -> Self {
        let (least, most) = ridge.least_and_most();
        // there is no ground in front of the sky where the skyline is below level
        let level = if ground_only { 0.0 } else { f64::INFINITY };
        Self {
            ridge,
            ground_only,
            all_land: least.sin().min(level),
            all_sky: most.sin().min(level),
        }
    }

    /// Altitude of a sight above the land's edge, degrees.
    fn over(&self, sight: Vector) -> f64 {
        let altitude = altitude_deg(sight);
        let over = altitude - self.ridge.height(bearing(sight)).degrees();
        if self.ground_only {
            over.max(altitude)
        } else {
            over
        }
    }

    fn is_land(&self, sight: Sight) -> bool {
        sight.is_some_and(|sight| {
            sight.z < self.all_land || (sight.z <= self.all_sky && self.over(sight) < 0.0)
        })
    }
}

/// Land in a column from one place down to another; whether each end is an edge of the land instead
/// of the frame.
#[derive(Clone, Copy)]
struct Stretch {
    top: (f64, bool),
    foot: (f64, bool),
}

impl Scene<'_> {
    /// The land in the frame.
    pub fn land(&self, ridge: &RidgeLine, detail: LandDetail) -> Land {
        let (count, down) = (detail.columns(), detail.rows());
        let rows: Vec<Vec<Sight>> = (0..=count)
            .map(|column| {
                let x = share(column, count);
                (0..=down)
                    .map(|row| self.sight(x, share(row, down)))
                    .collect()
            })
            .collect();
        let columns = self.columns(&rows, &Cover::new(ridge, false));
        let mut land = Land {
            ridge: areas(&columns),
            ground: areas(&self.columns(&rows, &Cover::new(ridge, true))),
            ..Land::default()
        };
        for line in edges(&columns) {
            let looked = line.into_iter().map(|(x, y)| {
                let sight = self.sight(x, y);
                let sighted = sight.is_some_and(|sight| ridge.sighted(bearing(sight)));
                (sighted, (x, y))
            });
            let looked: Vec<(bool, Place)> = looked.collect();
            for piece in looked.chunk_by(|(a, _), (b, _)| a == b) {
                let kind = if piece[0].0 {
                    &mut land.sighted
                } else {
                    &mut land.unsighted
                };
                kind.push(piece.iter().map(|(_, place)| *place).collect());
            }
        }
        let along = |at: &dyn Fn(f64) -> Sight, which: fn(Vector) -> f64| {
            let values = (0..=count).map(|step| at(share(step, count)).map(which));
            numbers(&values.collect::<Vec<_>>())
        };
        land.bearings = along(&|x| self.sight(x, 1.0), |sight| bearing(sight).degrees());
        land.heights = along(&|y| self.sight(0.0, y), altitude_deg);
        land
    }

    /// The line of sight at a place of the frame.
    fn sight(&self, x: f64, y: f64) -> Sight {
        let point = SensorPoint {
            x_mm: (x - 0.5) * self.view.sensor.width_mm,
            y_mm: (0.5 - y) * self.view.sensor.height_mm,
        };
        self.view
            .direction_at(point)
            .map(|seen| self.view.to_enu(seen))
    }

    /// The land in each column.
    fn columns(&self, rows: &[Vec<Sight>], cover: &Cover<'_>) -> Vec<Vec<Stretch>> {
        let mut columns = Vec::with_capacity(rows.len());
        for (column, sights) in rows.iter().enumerate() {
            let x = share(column, rows.len() - 1);
            let land: Vec<bool> = sights.iter().map(|sight| cover.is_land(*sight)).collect();
            let mut found = Vec::new();
            let mut open = land[0].then_some((0.0, false));
            let down = sights.len() - 1;
            for row in 1..=down {
                if land[row - 1] == land[row] {
                    continue;
                }
                let within_image = sights[row - 1].is_some() && sights[row].is_some();
                let [high, low] = [row - 1, row].map(|row| share(row, down));
                let y = self.edge(x, (high, low), (cover, land[row - 1], within_image));
                let edge = (y, within_image);
                match open.take() {
                    Some(top) => found.push(Stretch { top, foot: edge }),
                    None => open = Some(edge),
                }
            }
            if let Some(top) = open {
                let foot = (1.0, false);
                found.push(Stretch { top, foot });
            }
            columns.push(found);
        }
        columns
    }

    /// Where the land begins or ends in a column, between a place and a lower one; whether the
    /// higher is land, and whether both are within the lens's image.
    fn edge(
        &self,
        x: f64,
        (mut high, mut low): (f64, f64),
        (cover, land_above, within_image): (&Cover<'_>, bool, bool),
    ) -> f64 {
        let halvings = if within_image {
            HALVINGS
        } else {
            HALVINGS_AT_RIM
        };
        for _ in 0..halvings {
            let middle = (high + low) / 2.0;
            if cover.is_land(self.sight(x, middle)) == land_above {
                high = middle;
            } else {
                low = middle;
            }
        }
        let over = |y: f64| Some(cover.over(self.sight(x, y)?));
        match (over(high), over(low)) {
            (Some(above), Some(below)) if above != below => {
                let way = (above / (above - below)).clamp(0.0, 1.0);
                high + (low - high) * way
            }
            _ => low,
        }
    }
}

/// Neighbouring columns with equally many stretches form areas.
fn areas(columns: &[Vec<Stretch>]) -> Vec<Vec<Place>> {
    let mut found = Vec::new();
    let mut start = 0;
    while start < columns.len() {
        let count = columns[start].len();
        let alike = columns[start..].iter().take_while(|c| c.len() == count);
        let end = start + alike.count();
        let last = columns.len() - 1;
        let x = |column: usize| share(column.min(last), last);
        let alike = &columns[start..end];
        for which in 0..count {
            let edge = |foot: bool| {
                let edge = alike.iter().enumerate().map(move |(column, stretches)| {
                    let Stretch { top, foot: low } = stretches[which];
                    (x(start + column), if foot { low.0 } else { top.0 })
                });
                // to the neighbour's edge, so that there is no visible gap
                let last = alike[alike.len() - 1][which];
                let y = if foot { last.foot.0 } else { last.top.0 };
                edge.chain([(x(end), y)])
            };
            let mut area: Vec<Place> = edge(false).collect();
            area.extend(edge(true).collect::<Vec<_>>().into_iter().rev());
            found.push(area);
        }
        start = end;
    }
    found
}

/// The lines between land and sky.
fn edges(columns: &[Vec<Stretch>]) -> Vec<Vec<Place>> {
    let most = columns.iter().map(Vec::len).max().unwrap_or(0);
    let mut lines = Vec::new();
    for which in 0..most {
        for end in [
            |stretch: &Stretch| stretch.top,
            |stretch: &Stretch| stretch.foot,
        ] {
            let mut line = Vec::new();
            for (column, stretches) in columns.iter().enumerate() {
                match stretches.get(which).map(end) {
                    Some((y, true)) => line.push((share(column, columns.len() - 1), y)),
                    _ => lines.push(std::mem::take(&mut line)),
                }
            }
            lines.push(line);
        }
    }
    lines.retain(|line| line.len() > 1);
    lines
}

/// Round numbers along an edge that has these values at even steps, and their positions.
fn numbers(values: &[Option<f64>]) -> Vec<(f64, f64)> {
    // bearings wrap around; neighbours differ by less than half a turn
    let apart = |from: f64, to: f64| (to - from + 540.0).rem_euclid(360.0) - 180.0;
    let passed = |pair: &[Option<f64>]| Some((pair[0]?, apart(pair[0]?, pair[1]?)));
    let mut whole = 0.0;
    for (_, turn) in values.windows(2).filter_map(passed) {
        whole += turn.abs();
    }
    let few = |step: &&f64| whole / **step <= MOST_NUMBERS;
    let step = STEPS.iter().find(few).copied().unwrap_or(90.0);
    let mut found = Vec::new();
    for (place, pair) in values.windows(2).enumerate() {
        let Some((from, turn)) = passed(pair) else {
            continue;
        };
        // a small offset, so that a number exactly at a sample is passed once
        const TOLERANCE: f64 = 1e-6;
        let steps = [from, from + turn].map(|value| ((value + TOLERANCE) / step).floor());
        if steps[0] != steps[1] && turn.abs() < 60.0 {
            let round = steps[0].max(steps[1]) * step;
            let along = (place as f64 + (round - from) / turn) / (values.len() - 1) as f64;
            found.push((along, round));
        }
    }
    found
}

#[cfg(test)]
mod tests;
