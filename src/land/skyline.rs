//! The skyline of a site, computed from the heights around it.
//!
//! Light is slightly curved towards the ground, as if the Earth's radius were R / (1 − k), with k
//! the refraction coefficient.

use serde::{Deserialize, Serialize};

use crate::angle::Angle;
use crate::land::error::TerrainError;
use crate::land::geodesic::GeodesicOrigin;
use crate::land::height_grid::Grid;
use crate::land::horizon_scan::{HighestPoint, PathPoint, RefractedEye, scan_segment};
use crate::land::survey::Surveyed;
use crate::land::terrain::{REACH_M, Terrain};

/// Bearings of a skyline: one every quarter of a degree.
pub const BEARINGS: usize = 1440;

/// Limits of the refraction coefficient.
const BENDS: [f64; 2] = [-1.0, 0.9];

/// Default height of the eye above the ground, m.
pub const EYE_M: f64 = 1.7;

/// Length of the segments of the geodesic that are straight in latitude and longitude, m. The error
/// is at most a quarter of a metre up to 70° of latitude: length² tan φ / 8 R.
const PIECE_M: f64 = 2000.0;

/// A viewpoint.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Viewpoint {
    /// Latitude, north positive (WGS84).
    pub latitude: Angle,
    /// Longitude, east positive (WGS84).
    pub longitude: Angle,
    /// Height of the eye above the sea, m; where it is `None` or under the
    /// ground of the tiles, see [`skyline`].
    pub height_m: Option<f64>,
}

/// A skyline.
#[derive(Debug, Clone, PartialEq)]
pub struct Skyline {
    /// Height of the eye above the sea, m.
    pub eye_m: f64,
    /// One for each of the [`BEARINGS`], from north through east.
    pub points: Vec<SkylinePoint>,
}

/// The skyline in one direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SkylinePoint {
    /// True bearing.
    pub bearing: Angle,
    /// The highest point there; `None` where the tiles have no height at all.
    pub top: Option<HorizonPoint>,
}

/// The highest apparent point in a direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HorizonPoint {
    /// Apparent altitude.
    pub height: Angle,
    /// Distance along the ground, m.
    pub distance_m: f64,
    /// Whether it is the sea, exactly 0 m in tiles: then this is its horizon, as if the sea
    /// continued beyond the tiles, since there are no tiles of sea alone.
    pub sea: bool,
    /// Whether this is not a skyline but the end of the model: it is where the known ground ends
    /// (at a void, the tiles' edge or [`REACH_M`]), or so low that level ground beyond that end
    /// would be visible above it. Never for the sea.
    pub model_edge: bool,
}

/// The skyline around an eye, as far as the tiles go or [`REACH_M`].
///
/// `bend` is k, from −1 to 0.9, usually [`BEND`](crate::land::sighting::BEND). The eye is [`EYE_M`]
/// above the ground where its height is not given, and on the ground where it is given lower. Voids
/// are skipped.
///
/// Fails where the place is nearer than 5° to a pole, `bend` is out of bounds, or the ground at the
/// site is needed and void.
///
/// Source: geometry on a sphere of R = 6 371 000 m for heights, on WGS84 for places. Accuracy for
/// the ground of the tiles: 0.01° against a brute-force walk over PROJ's geodesics, see
/// `tests/terrain/`; tiles themselves miss summits by metres. An error of 0.1 in k moves a
/// skyline 20 km away by 0.01°.
pub fn skyline(terrain: &Terrain, eye: Viewpoint, bend: f64) -> Result<Skyline, TerrainError> {
    let start =
        GeodesicOrigin::new(eye.latitude, eye.longitude).ok_or(TerrainError::NoSuchPlace)?;
    if !(BENDS[0]..=BENDS[1]).contains(&bend) {
        return Err(TerrainError::Bend);
    }
    let (latitude, longitude) = (eye.latitude.degrees(), eye.longitude.degrees());
    let ground = terrain.height_at(latitude, longitude);
    let given = eye.height_m.filter(|height| height.is_finite());
    let eye_m = match (given, ground) {
        (Some(given), Some(ground)) => given.max(ground),
        (Some(given), None) => given,
        (None, Some(ground)) => ground + EYE_M,
        (None, None) => return Err(TerrainError::HeightUnknown),
    };
    let eye = RefractedEye::new(eye_m, bend);
    let points = (0..BEARINGS).map(|place| {
        let bearing = bearing(place);
        let way = BearingPath::along(terrain, &start, bearing);
        SkylinePoint {
            bearing,
            top: way.top(&eye),
        }
    });
    Ok(Skyline {
        eye_m,
        points: points.collect(),
    })
}

/// The true bearing of a point of the skyline, by index.
pub fn bearing(place: usize) -> Angle {
    Angle::from_degrees(place as f64 * (360.0 / BEARINGS as f64))
}

/// Accuracy of a skyline, rise over run: 0.01°. A point lower than this below the horizon of a
/// level continuation counts as that horizon.
const CLOSE: f64 = 1.75e-4;

/// The geodesic along a bearing, out to [`REACH_M`], in segments.
struct BearingPath<'a> {
    terrain: &'a Terrain,
    start: &'a GeodesicOrigin,
    bearing: Angle,
    /// Latitude and longitude of the ends of its segments, degrees.
    places: Vec<(f64, f64)>,
}

impl<'a> BearingPath<'a> {
    fn along(terrain: &'a Terrain, start: &'a GeodesicOrigin, bearing: Angle) -> Self {
        let pieces = (REACH_M / PIECE_M).ceil() as usize;
        let place = |at: usize| start.destination(bearing, at as f64 * PIECE_M);
        Self {
            terrain,
            start,
            bearing,
            places: (0..=pieces).map(place).collect(),
        }
    }

    /// The two ends of a segment on a grid.
    fn piece(&self, grid: &Grid, piece: usize) -> [PathPoint; 2] {
        [piece, piece + 1].map(|at| {
            let (latitude, longitude) = self.places[at];
            let (x, y) = grid.place(latitude, longitude);
            let distance_m = at as f64 * PIECE_M;
            PathPoint { x, y, distance_m }
        })
    }

    fn pieces(&self) -> std::ops::Range<usize> {
        0..self.places.len() - 1
    }

    /// The highest apparent point along it.
    fn top(&self, eye: &RefractedEye) -> Option<HorizonPoint> {
        let mut found: Option<HighestPoint> = None;
        for piece in self.pieces() {
            for grid in &self.terrain.grids {
                let [from, to] = self.piece(grid, piece);
                scan_segment(grid, eye, from, to, &mut found);
            }
        }
        let found = found?;
        let sea = found.height_m == 0.0;
        let seen = match eye.horizon(0.0) {
            Some(horizon) if sea => horizon,
            _ => found,
        };
        Some(HorizonPoint {
            height: Angle::from_radians(seen.steepness.atan()),
            distance_m: seen.distance_m,
            sea,
            model_edge: !sea && self.ends_at(eye, found),
        })
    }

    /// Whether the highest point is only the end of the model.
    fn ends_at(&self, eye: &RefractedEye, found: HighestPoint) -> bool {
        // in the last cell of known ground
        let beyond_m = found.distance_m + self.terrain.step_m();
        let (latitude, longitude) = self.start.destination(self.bearing, beyond_m);
        if beyond_m > REACH_M || self.terrain.height_at(latitude, longitude).is_none() {
            return true;
        }
        // above the eye's level, level ground farther away appears lower
        if found.steepness >= 0.0 {
            return false;
        }
        let end = self.last_height_m();
        let horizon = end.and_then(|height_m| eye.horizon(height_m));
        horizon.is_some_and(|horizon| horizon.steepness > found.steepness + CLOSE)
    }

    /// Height of the farthest known ground along it, m.
    fn last_height_m(&self) -> Option<f64> {
        let steps = (PIECE_M / self.terrain.step_m()).ceil().max(1.0);
        let known = |grid: &Grid, piece: usize| {
            let [from, to] = self.piece(grid, piece);
            grid.top_between((from.x, from.y), (to.x, to.y)) > f64::NEG_INFINITY
        };
        self.pieces().rev().find_map(|piece| {
            if !self.terrain.grids.iter().any(|grid| known(grid, piece)) {
                return None;
            }
            let (from, to) = (self.places[piece], self.places[piece + 1]);
            (0..=steps as usize).rev().find_map(|step| {
                let part = step as f64 / steps;
                let between = |from: f64, to: f64| from + (to - from) * part;
                self.terrain
                    .height_at(between(from.0, to.0), between(from.1, to.1))
            })
        })
    }
}

impl Skyline {
    /// The skyline as a survey of the ridge line: unknown where there is no height or the model
    /// ends.
    pub fn survey(&self) -> Vec<Surveyed> {
        let point = |point: &SkylinePoint| Surveyed {
            bearing: point.bearing,
            height: point
                .top
                .filter(|top| !top.model_edge)
                .map(|top| top.height),
        };
        self.points.iter().map(point).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_survey_leaves_out_what_no_tile_knows() {
        let point = |place: usize| SkylinePoint {
            bearing: bearing(place),
            top: (!place.is_multiple_of(4)).then(|| HorizonPoint {
                height: Angle::from_radians(place as f64 / 1e4 - 0.02),
                distance_m: 100.0 + place as f64,
                sea: place % 4 == 2,
                model_edge: place % 4 == 3,
            }),
        };
        let skyline = Skyline {
            eye_m: 1234.5,
            points: (0..BEARINGS).map(point).collect(),
        };
        let survey = skyline.survey();
        for (place, point) in survey.iter().enumerate() {
            assert_eq!(
                point.height.is_some(),
                matches!(place % 4, 1 | 2),
                "{place}"
            );
        }
    }
}
